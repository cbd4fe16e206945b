"""What is still to be sprayed that a rig could spray from where it stands."""

from __future__ import annotations

from dataclasses import dataclass

from planner.core.clock import MINUTES_PER_HOUR
from planner.core.rounding import up
from planner.core.spans import Spans
from planner.core.wording import moment
from planner.explain.cause import CauseKind
from planner.explain.ground import Ground
from planner.explain.hold import place_of
from planner.explain.orders import order_holds
from planner.model.mix import MixFace
from planner.model.position import Position
from planner.model.rig import Rig
from planner.model.zone import Zone
from planner.plan.plan import Spell
from planner.trade.faces import rig_sprays
from planner.trade.rates import placing_rate_m3_h, spell_minutes


@dataclass(frozen=True, slots=True, kw_only=True)
class Left:
    """A layer that the plan sprays later, as a rig at a position would spray it.

    Attributes
    ----------
    zone, layer
        What is left.
    first_min
        When the plan begins to spray it [min].
    least_min
        Shortest spell of it from here [min].
    open, sprayable
        When people can be at the face; when a spell may lie there, wetting regarded [min].
    ready_min, kind, text
        Before this minute it waits, for this sort of thing, in these words.
    """

    zone: Zone
    layer: int
    first_min: int
    least_min: int
    open: Spans
    sprayable: Spans
    ready_min: int
    kind: CauseKind
    text: str
    horizon_min: int

    @property
    def name(self) -> str:
        """Return what it is called."""
        return f"layer {self.layer} of {self.zone.zone_id}"

    @property
    def from_ready(self) -> Spans:
        """Return the time from which it waits for nothing any more [min]."""
        return Spans.whole(self.ready_min, self.horizon_min)


def left_for(ground: Ground, rig: Rig, position: Position, start: int) -> list[Left]:
    """Return what the plan sprays after a minute and the rig could spray from the position.

    Zones keep the mix that the plan gives them; the soonest begun comes first.
    """
    mask = ground.reach.mask(position, rig)
    found: list[Left] = []
    for index, zone in enumerate(ground.campaign.zones):
        if not mask[index]:
            continue
        seen: set[int] = set()
        for spell in ground.spells_of_zone.get(zone.zone_id, ()):
            if spell.layer in seen:
                continue
            seen.add(spell.layer)
            face = ground.face(spell)
            if spell.start_min >= start and face is not None and rig_sprays(rig, face):
                left = _left(ground, rig, position, spell, face)
                if left is not None:
                    found.append(left)
    return sorted(found, key=lambda one: (one.first_min, one.zone.zone_id, one.layer))


def _left(
    ground: Ground, rig: Rig, position: Position, spell: Spell, face: MixFace
) -> Left | None:
    zone = ground.zones[spell.zone]
    hose = ground.reach.run(position, zone, rig)
    if hose is None:
        return None
    pieces = [row for row in ground.spells_of_zone[spell.zone] if row.layer == spell.layer]
    whole = spell_minutes(
        sum(row.volume_m3 for row in pieces), placing_rate_m3_h(rig, face, hose.hose_m)
    )
    least = min(whole, ground.rules.spell_min_min) if zone.joint_allowed else whole
    open_ = ground.access.shortened(zone)
    sprayable = open_.shrink(first=ground.rules.zone_change_min)
    if zone.wets_at_m is not None:
        dry = ground.access.dry(zone)
        sprayable &= dry.shrink(last=up(MINUTES_PER_HOUR * (face.protect_h or 0.0)))
    kind, ready, text = _ready(ground, spell)
    return Left(
        zone=zone,
        layer=spell.layer,
        first_min=spell.start_min,
        least_min=least,
        open=open_,
        sprayable=sprayable,
        ready_min=ready,
        kind=kind,
        text=text,
        horizon_min=ground.clock.horizon_min,
    )


def _ready(ground: Ground, spell: Spell) -> tuple[CauseKind, int, str]:
    """Return what a layer waits for longest, and until when, everything else left in place."""
    place = place_of(ground, spell)
    begin = ground.campaign.start_min
    best = (CauseKind.CAMPAIGN, begin, f"planning begins at {moment(ground.clock, begin)}")
    for hold in order_holds(ground, place):
        if hold.kind in _OF_THE_RUN:
            continue
        before = hold.allowed.complement(0, spell.start_min)
        if before and before.ends[-1] > best[1]:
            cause = hold.cause(before.ends[-1] - 1)
            best = (
                hold.kind,
                before.ends[-1],
                f"layer {spell.layer} of {spell.zone}: {cause.text}",
            )
    return best


_OF_THE_RUN = {CauseKind.CAMPAIGN, CauseKind.IDLE, CauseKind.NEXT_LAYER}
"""What hangs on the run in which the plan sprays a layer, and not on the layer."""
