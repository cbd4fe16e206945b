"""What holds a spell from being sprayed earlier."""

from __future__ import annotations

from dataclasses import dataclass

from planner.core.spans import Spans
from planner.explain.cause import Cause, CauseKind
from planner.explain.ground import Ground
from planner.explain.hold import Hold, place_of
from planner.explain.hours import hours_hold
from planner.explain.orders import order_holds
from planner.explain.places import place_holds
from planner.explain.shared import shared_hold
from planner.plan.plan import Spell


@dataclass(frozen=True, slots=True, kw_only=True)
class SpellWhy:
    """What set the start of a spell, everything else in the plan staying where it is.

    Attributes
    ----------
    spell
        The spell asked about.
    free_from_min
        Earliest start that it could be moved to without a break [min]; its own start where it
        cannot be moved at all.
    causes
        Everything that forbids a start one minute before that.
    """

    spell: Spell
    free_from_min: int
    causes: tuple[Cause, ...]

    @property
    def spare_min(self) -> int:
        """Return by how much it could be earlier without moving anything else [min]."""
        return self.spell.start_min - self.free_from_min


def why_spell(ground: Ground, spell: Spell) -> SpellWhy:
    """Return what holds a spell of a valid plan from starting earlier.

    Each rule is asked by itself which starts it allows; the spell is free to move back as far
    as all of them allow every start on the way.  What is said was true of the plan as it
    stands: the same spell in another run, from another position or by another rig is another
    plan.
    """
    place = place_of(ground, spell)
    found = [*place_holds(ground, place), *order_holds(ground, place)]
    free_from = _back_to(_common(ground, found), spell.start_min)
    hours = hours_hold(ground, place, max(0, free_from - 1))
    if hours is not None:
        found.append(hours)
        free_from = _back_to(hours.allowed.clip(free_from, spell.start_min + 1), spell.start_min)
    shared = shared_hold(ground, place, max(0, free_from - 1))
    if shared is not None:
        found.append(shared)
        free_from = _back_to(shared.allowed.clip(free_from, spell.start_min + 1), spell.start_min)
    held = [hold for hold in found if free_from - 1 not in hold.allowed]
    if free_from <= place.lead_min + ground.campaign.start_min:
        held = [hold for hold in held if hold.kind is CauseKind.CAMPAIGN]
    return SpellWhy(spell=spell, free_from_min=free_from, causes=_told(held, free_from - 1))


def _common(ground: Ground, found: list[Hold]) -> Spans:
    common = Spans.whole(0, ground.clock.horizon_min + 1)
    for hold in found:
        common &= hold.allowed
    return common


def _back_to(allowed: Spans, start: int) -> int:
    around = allowed.around(start)
    return start if around is None else around[0]


def _told(held: list[Hold], start: int) -> tuple[Cause, ...]:
    causes = [hold.cause(start) for hold in held]
    known = list(dict.fromkeys(causes))
    order = list(CauseKind)
    return tuple(
        sorted(known, key=lambda cause: (-(cause.until_min or 0), order.index(cause.kind)))
    )
