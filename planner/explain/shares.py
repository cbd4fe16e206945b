"""Where the rigs' time goes: every minute of every rig has one share, so that they add up.

The whole is, for each rig, the time from the plan's start to the end of the last run or
relocation of any rig.  Minutes inside runs come from :mod:`planner.explain.parts`, those outside
from :mod:`planner.explain.gap`; the order in which several causes of one minute are asked stands
there.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from planner.explain.cause import CauseKind, Piece
from planner.explain.gap import why_gap
from planner.explain.ground import Ground
from planner.explain.parts import run_parts
from planner.model.identifiers import RigId
from planner.plan.plan import Relocation, Run


class Share(StrEnum):
    """What a rig's minute went to, in the words of tables, in the order of tables."""

    SPRAYING = "spraying"
    START_AND_CLEAN = "start-up and clean-up"
    CHANGES = "zone changes"
    PANELS = "test panels"
    IN_RUN = "waiting inside a run"
    RELOCATIONS = "relocations"
    WATER = "water"
    SHIFT = "no crew on shift"
    CLOSURES = "closures, weather, rig not there"
    CREWS = "crews busy or away"
    REST = "rest and hours of crews"
    LAYERS = "waiting between layers"
    OTHER_WORK = "waiting for other work"
    TOO_SHORT = "too short for a run"
    NOTHING = "nothing to do here"
    IDLE = "idle"


_SHARES = {
    CauseKind.SPELL: Share.SPRAYING,
    CauseKind.START_UP: Share.START_AND_CLEAN,
    CauseKind.CLEAN_UP: Share.START_AND_CLEAN,
    CauseKind.CHANGE: Share.CHANGES,
    CauseKind.PANEL_RUN: Share.PANELS,
    CauseKind.RELOCATION: Share.RELOCATIONS,
    CauseKind.WINDOW: Share.WATER,
    CauseKind.WET: Share.WATER,
    CauseKind.POSITION: Share.WATER,
    CauseKind.SHIFT: Share.SHIFT,
    CauseKind.CLOSURE: Share.CLOSURES,
    CauseKind.RIG_AWAY: Share.CLOSURES,
    CauseKind.CREW: Share.CREWS,
    CauseKind.DUTY: Share.REST,
    CauseKind.LAYER_GAP: Share.LAYERS,
    CauseKind.NEXT_LAYER: Share.LAYERS,
    CauseKind.TOO_SHORT: Share.TOO_SHORT,
    CauseKind.DONE: Share.NOTHING,
    CauseKind.SPARE: Share.IDLE,
}
"""Causes that are not here are work elsewhere that must come first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RigShare:
    """Minutes of one rig that went to one thing [min]; ``whole_min``: all of that rig's."""

    rig: RigId
    share: Share
    minutes: int
    whole_min: int


def shares(ground: Ground) -> tuple[RigShare, ...]:
    """Return what each rig's time went to; those of one rig add up to its whole.

    Rigs in table order, shares in the order of :class:`Share`, none without minutes.  Empty where
    nothing is planned.
    """
    start = ground.campaign.start_min
    rows: list[Run | Relocation] = [*ground.plan.runs, *ground.plan.relocations]
    end = max((row.end_min for row in rows), default=start)
    found: list[RigShare] = []
    for rig in ground.rigs:
        minutes: Counter[Share] = Counter()
        for share, piece in _pieces(ground, rig, start, end):
            minutes[share] += piece.minutes
        found += [
            RigShare(rig=rig, share=share, minutes=minutes[share], whole_min=end - start)
            for share in Share
            if minutes[share]
        ]
    return tuple(found)


def _pieces(ground: Ground, rig: RigId, start: int, end: int) -> Iterator[tuple[Share, Piece]]:
    """Yield what fills the time of a rig, run by run and gap by gap."""
    at = start
    for row in ground.work_of_rig.get(rig, ()):
        if not isinstance(row, Run):
            continue
        yield from _outside(ground, rig, at, row.start_min)
        for piece in run_parts(ground, row):
            waits = piece.kind is CauseKind.SPARE
            yield (Share.IN_RUN if waits else share_of(piece.kind)), piece
        at = row.end_min
    yield from _outside(ground, rig, at, end)


def _outside(ground: Ground, rig: RigId, start: int, end: int) -> Iterator[tuple[Share, Piece]]:
    if start < end:
        for piece in why_gap(ground, rig, start, end):
            yield share_of(piece.kind), piece


def share_of(kind: CauseKind) -> Share:
    """Return which share the minutes of a cause belong to."""
    return _SHARES.get(kind, Share.OTHER_WORK)
