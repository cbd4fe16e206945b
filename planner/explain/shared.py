"""Rule 16 for one spell: how early it may begin before a resource runs out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from planner.core.spans import Spans
from planner.core.wording import moment
from planner.explain.cause import CauseKind
from planner.explain.ground import Ground
from planner.explain.hold import Hold, Place, from_on
from planner.model.identifiers import ResourceId

Thing = tuple[str, str]
Needs = Mapping[Thing, int]


def shared_hold(ground: Ground, place: Place, lowest: int) -> Hold | None:
    """Return from which start on, not below ``lowest``, all resources suffice.

    None where nothing that the spell needs is shared.

    Parameters
    ----------
    lowest
        Earliest start that is asked about [min].
    """
    bounds = [
        bound
        for resource in ground.campaign.resources
        if (bound := _bound(ground, place, resource.resource_id, resource.number, lowest))
    ]
    if not bounds:
        return None
    start, text = max(bounds)
    return Hold(kind=CauseKind.RESOURCE, allowed=from_on(ground, start), text=lambda _start: text)


def _bound(
    ground: Ground, place: Place, resource: ResourceId, number: int, lowest: int
) -> tuple[int, str] | None:
    """Return the first start from which one resource suffices until the spell's own."""
    needs = _needs(ground, resource)
    spell, run = place.spell, place.run
    change = ground.rules.zone_change_min
    zone: list[Thing] = [("zone", spell.zone)]
    team: list[Thing] = []
    if place.before is None:
        team = [("rig", run.rig), ("crew", run.crew), ("position", run.position)]
    if not any(needs.get(thing) for thing in (*zone, *team)):
        return None
    begin = run.start_min
    for start in range(spell.start_min - 1, lowest - 1, -1):
        checks = [(start - change, [*zone, *team] if start - change < begin else zone)]
        if team and start - place.lead_min < begin:
            checks.append((start - place.lead_min, team))
        for minute, extra in checks:
            takers = _takers(ground, needs, minute)
            total = sum(needs[thing] for thing in {*takers, *(t for t in extra if t in needs)})
            if total > number:
                names = ", ".join(sorted(f"{kind} {name}" for kind, name in takers))
                return start + 1, (
                    f"{names} take {resource}, of which there "
                    f"{'is' if number == 1 else 'are'} {number}, until "
                    f"{moment(ground.clock, _until(ground, takers, minute))}"
                )
    return None


def _needs(ground: Ground, resource: ResourceId) -> dict[Thing, int]:
    return {thing: count for thing, name, count in _every_need(ground) if name == resource}


def _every_need(ground: Ground) -> Iterator[tuple[Thing, ResourceId, int]]:
    campaign = ground.campaign
    owners = [
        *((("zone", str(row.zone_id)), row.needs) for row in campaign.zones),
        *((("position", str(row.position_id)), row.needs) for row in campaign.positions),
        *((("rig", str(row.rig_id)), row.needs) for row in campaign.rigs),
        *((("crew", str(row.crew_id)), row.needs) for row in campaign.crews),
    ]
    for thing, needs in owners:
        for need in needs:
            yield thing, need.resource_id, need.count


def _takers(ground: Ground, needs: Needs, minute: int) -> list[Thing]:
    return [thing for thing in needs if minute in ground.in_use.get(thing, Spans())]


def _until(ground: Ground, takers: list[Thing], minute: int) -> int:
    ends = [ground.in_use[thing].around(minute) for thing in takers]
    return min((span[1] for span in ends if span is not None), default=minute + 1)
