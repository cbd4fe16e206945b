"""Rule 16: never more of a shared resource in use than there is; and what its use costs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from planner.checks.case import Case
from planner.checks.violation import Place, Violation
from planner.model.resource import Need, Resource


@dataclass(frozen=True, slots=True, kw_only=True)
class Taking:
    """A stretch in which a zone, position, rig or crew takes some of one resource."""

    start_min: int
    end_min: int
    taker: str
    count: int
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """A stretch in which the same are taking, with what they take together."""

    start_min: int
    end_min: int
    total: int
    takings: tuple[Taking, ...]


def rule_16(case: Case) -> Iterator[Violation]:
    """Keep the number of each resource."""
    if not case.campaign.resources:
        return
    takings = list(_takings(case))
    for resource in case.campaign.resources:
        over: list[Level] = []
        for level in _levels(takings, resource):
            if over and (level.total <= resource.number or over[-1].end_min < level.start_min):
                yield _too_many(case, resource, over)
                over = []
            if level.total > resource.number:
                over.append(level)
        if over:
            yield _too_many(case, resource, over)


def _too_many(case: Case, resource: Resource, over: list[Level]) -> Violation:
    """Return the violation of one stretch, at the row that joined last when it was worst."""
    worst = max(over, key=lambda level: level.total)
    last = max(worst.takings, key=lambda one: (one.start_min, one.place.table, one.place.row or 0))
    excess = worst.total - resource.number
    takers = ", ".join(sorted({one.taker for one in worst.takings}))
    return last.place.breaks(
        16,
        f"From {case.text(over[0].start_min)} to {case.text(over[-1].end_min)} up to "
        f"{worst.total} of resource {resource.resource_id} are in use ({takers}); there "
        f"{'is' if resource.number == 1 else 'are'} {resource.number}, {excess} too few.",
        excess,
    )


def resource_cost(case: Case) -> dict[str, float]:
    """Return the cost line of the resources, where there are any: most in use by day x price."""
    if not case.campaign.resources:
        return {}
    takings = list(_takings(case))
    total = 0.0
    for resource in case.campaign.resources:
        most = Counter[object]()
        for level in _levels(takings, resource):
            for day in case.clock.calendar():
                touched = level.start_min < case.clock.day_end(day)
                if touched and level.end_min > case.clock.day_start(day):
                    most[day] = max(most[day], level.total)
        total += resource.price_day * sum(most.values())
    return {"resource": total}


def _levels(takings: list[tuple[str, Taking]], resource: Resource) -> list[Level]:
    """Return the stretches between two changes in which some of a resource is in use.

    One taker counts once at a minute, however often it appears.
    """
    mine = [taking for name, taking in takings if name == resource.resource_id]
    mine.sort(key=lambda one: one.start_min, reverse=True)
    edges = sorted({edge for one in mine for edge in (one.start_min, one.end_min)})
    found = []
    inside: tuple[Taking, ...] = ()
    for start, end in pairwise(edges):
        inside = tuple(one for one in inside if one.end_min > start)
        while mine and mine[-1].start_min <= start:
            inside = (*inside, mine.pop())
        counts = {one.taker: one.count for one in inside}
        if counts:
            found.append(
                Level(start_min=start, end_min=end, total=sum(counts.values()), takings=inside)
            )
    return found


def _takings(case: Case) -> Iterator[tuple[str, Taking]]:
    """Yield who takes what and when, with the resource's name."""
    for ran in case.runs:
        users = (
            (f"rig {ran.rig.rig_id}", ran.rig.needs),
            (f"crew {ran.crew.crew_id}", ran.crew.needs),
            (f"position {ran.position.position_id}", ran.position.needs),
        )
        for taker, needs in users:
            yield from _of(taker, needs, ran.start_min, ran.end_min, ran.place)
    for move in case.moves:
        rig = f"rig {move.rig.rig_id}"
        yield from _of(rig, move.rig.needs, move.start_min, move.end_min, move.place)
        if move.crew is not None:
            crew = f"crew {move.crew.crew_id}"
            yield from _of(crew, move.crew.needs, move.start_min, move.end_min, move.place)
    for piece in case.pieces:
        crew, zone = f"crew {piece.crew.crew_id}", f"zone {piece.zone.zone_id}"
        yield from _of(crew, piece.crew.needs, piece.start_min, piece.end_min, piece.place)
        yield from _of(zone, piece.zone.needs, piece.start_min, piece.end_min, piece.place)
    for spell in case.spells:
        start = spell.start_min - case.rules.zone_change_min
        end = spell.end_min + case.finishing_min(spell)
        zone = f"zone {spell.zone.zone_id}"
        yield from _of(zone, spell.zone.needs, start, end, spell.place)


def _of(
    taker: str, needs: tuple[Need, ...], start: int, end: int, place: Place
) -> Iterator[tuple[str, Taking]]:
    for need in needs:
        yield (
            need.resource_id,
            Taking(start_min=start, end_min=end, taker=taker, count=need.count, place=place),
        )
