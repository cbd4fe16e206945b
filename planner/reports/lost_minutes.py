"""What each rig makes of each turn: minutes open, minutes sprayed, and what the rest went to."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

import pandas as pd

from planner.core.spans import Spans
from planner.explain.cause import CauseKind, Piece
from planner.explain.gap import why_gap
from planner.explain.ground import Ground
from planner.explain.parts import run_parts
from planner.model.identifiers import RigId
from planner.model.zone import Zone
from planner.plan.plan import Run
from planner.reports.scene import Scene
from planner.reports.turns import Turn
from planner.reports.window_shapes import Shape, window_shapes

NAMED = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """One rig in one turn.

    Attributes
    ----------
    turn, rig
        Which.
    runs
        Its runs in the turn, in time order.
    parts
        What its runs are made of.
    lost
        Time in which a face of its own was open and a crew on shift, but no run went on.
    open_min
        How long a face of its own was open with a crew on shift, runs included [min].
    shapes, shift
        The windows of its faces as shapes, and when a crew for it is on shift [min].
    """

    turn: Turn
    rig: RigId
    runs: tuple[Run, ...]
    parts: tuple[Piece, ...]
    lost: tuple[Piece, ...]
    open_min: int
    shapes: tuple[Shape, ...]
    shift: Spans

    @property
    def sprayed_min(self) -> int:
        """Return the time in which it sprays [min]."""
        return sum(part.minutes for part in self.parts if part.kind is CauseKind.SPELL)

    @property
    def is_idle(self) -> bool:
        """Return whether there is nothing to show of it."""
        return not self.runs and not self.lost

    def words(self) -> str:
        """Return what it makes of the turn, in a line."""
        said = f"{self.sprayed_min} min sprayed"
        if self.open_min:
            said += f" of {self.open_min} open"
        if not self.lost:
            return said
        sums = Counter[str]()
        for piece in self.lost:
            sums[str(piece.kind)] += piece.minutes
        rows = sums.most_common(NAMED)
        more = ", …" if len(sums) > NAMED else ""
        named = ", ".join(f"{name} {minutes}" for name, minutes in rows)
        return f"{said}; lost {sum(sums.values())}: {named}{more}"


class Shares:
    """What the rigs of a plan make of its turns; what does not change is worked out once.

    Parameters
    ----------
    scene, ground
        The same plan, to draw and to ask.
    """

    def __init__(self, scene: Scene, ground: Ground) -> None:
        self.scene = scene
        self.ground = ground
        self._room: dict[RigId, Spans] = {}
        self._zones: dict[RigId, list[Zone]] = {}
        self._runs: dict[RigId, list[Run]] = {}

    def zones(self, rig: RigId) -> list[Zone]:
        """Return the zones that a rig sprays in the plan."""
        if rig not in self._zones:
            self._zones[rig] = self.scene.zones_of(rig)
        return self._zones[rig]

    def room(self, rig: RigId) -> Spans:
        """Return when a face of a rig's is open, and a crew for it on shift [min]."""
        if rig not in self._room:
            room = self.scene.on_shift(rig) & self.ground.access.rig_open(self.ground.rigs[rig])
            if self.scene.has_water():
                room &= self.scene.any_open(self.zones(rig))
            self._room[rig] = room
        return self._room[rig]

    def of(self, turn: Turn, rig: RigId) -> Share:
        """Return what a rig makes of a turn."""
        ground = self.ground
        if rig not in self._runs:
            rows = ground.work_of_rig.get(rig, ())
            self._runs[rig] = [row for row in rows if isinstance(row, Run)]
        every = self._runs[rig]
        start, end = max(0, turn.start_min), min(turn.end_min, ground.clock.horizon_min)
        runs = tuple(row for row in every if row.start_min < end and start < row.end_min)
        last = every[-1].end_min if every else 0
        room = self.room(rig).clip(start, min(end, last))
        busy = Spans((row.start_min, row.end_min) for row in runs)
        pieces = [
            piece
            for low, high in room - busy
            for piece in why_gap(ground, rig, low, high)
            if piece.kind is not CauseKind.SHIFT
        ]
        return Share(
            turn=turn,
            rig=rig,
            runs=runs,
            parts=tuple(part for run in runs for part in run_parts(ground, run)),
            lost=tuple(pieces),
            open_min=room.minutes(),
            shapes=tuple(self._shapes(rig, start, end)),
            shift=self.scene.on_shift(rig).clip(start, end),
        )

    def _shapes(self, rig: RigId, start: int, end: int) -> list[Shape]:
        if not self.scene.has_water():
            return []
        return window_shapes(self.scene.access, self.zones(rig), start, end)


def shares_frame(shares: list[Share]) -> pd.DataFrame:
    """Return what rigs make of turns, one row for each."""
    rows = []
    for share in shares:
        sums = Counter[CauseKind]()
        for part in share.parts:
            sums[part.kind] += part.minutes
        rows.append(
            {
                "Turn": f"{share.turn.number} · {share.turn.name}",
                "Rig": share.rig,
                "Open (min)": share.open_min,
                "Start-up": sums[CauseKind.START_UP],
                "Zone change": sums[CauseKind.CHANGE],
                "Spraying": sums[CauseKind.SPELL],
                "Clean-up": sums[CauseKind.CLEAN_UP],
                "Waiting in runs": sums[CauseKind.SPARE],
                "Lost (min)": sum(piece.minutes for piece in share.lost),
                "Lost to": "; ".join(dict.fromkeys(piece.text for piece in share.lost)),
            }
        )
    return pd.DataFrame(rows)
