"""Rule 16 as rows of the programme: what is shared is counted slot by slot.

Each is the difference of two times once it is fixed who uses a thing before whom, so the grid
stays exact (see :mod:`tests.exact.solve`).
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping

from planner.model.crew import Crew
from planner.model.identifiers import CrewKind, RigId
from planner.model.position import Position
from planner.model.resource import Resource
from planner.model.rig import Rig
from planner.model.zone import Zone
from tests.exact.arcs import Kind
from tests.exact.model import Model, Term, by_slot
from tests.exact.rules import work_of
from tests.exact.water import NotCoveredError

Owner = Zone | Position | Rig | Crew


def never_more_than_there_are(model: Model) -> None:
    """Add rule 16."""
    if not model.scene.campaign.resources:
        return
    uses = list(_uses(model))
    for resource in model.scene.campaign.resources:
        if resource.price_day:
            raise NotCoveredError("a price of resources")
        rows: dict[int, list[Term]] = defaultdict(list)
        for owner, busy in uses:
            for slot, terms in busy.items():
                rows[slot] += [(n, factor * _count(owner, resource)) for n, factor in terms]
        for terms in rows.values():
            taking = [(n, factor) for n, factor in terms if factor]
            if taking:
                model.programme.row(taking, high=resource.number)


def _count(owner: Owner, resource: Resource) -> int:
    return sum(n.count for n in owner.needs if n.resource_id == resource.resource_id)


def _uses(model: Model) -> Iterator[tuple[Owner, Mapping[int, list[Term]]]]:
    """Yield everything that has needs, with what makes it busy in each slot."""
    campaign = model.scene.campaign
    for crew in (one for one in campaign.crews if one.needs):
        yield crew, work_of(model, crew.crew_id)
    for rig in (one for one in campaign.rigs if one.needs):
        yield rig, _rig_work(model, rig.rig_id)
    for position in (one for one in campaign.positions if one.needs):
        yield position, _position_work(model, position)
    for zone in (one for one in campaign.zones if one.needs):
        yield zone, _zone_work(model, zone)


def _rig_work(model: Model, rig: RigId) -> dict[int, list[Term]]:
    arcs = [(n, a) for n, a in enumerate(model.arcs) if a.works and a.rig == rig]
    return by_slot((slot, n) for n, a in arcs for slot in range(a.start, a.end))


def _position_work(model: Model, position: Position) -> dict[int, list[Term]]:
    if position.rigs_max > 1 and len(model.networks) > 1:
        raise NotCoveredError("needs of a position for several rigs")
    arcs = [
        (n, a)
        for n, a in enumerate(model.arcs)
        if a.works and a.kind is not Kind.MOVE and a.position == position.position_id
    ]
    return by_slot((slot, n) for n, a in arcs for slot in range(a.start, a.end))


def _zone_work(model: Model, zone: Zone) -> dict[int, list[Term]]:
    """Return spells with their zone change, trimming after the last, and break-out."""
    breakers = [c for c in model.scene.campaign.crews if c.kind is CrewKind.BREAK_OUT]
    if len(breakers) > 1:
        raise NotCoveredError("needs of a zone for several break-out crews")
    arcs = model.arcs
    ends = set(model.ends(zone.zone_id))
    pairs = []
    for n in model.of_zone[zone.zone_id]:
        mix = arcs[n].mix
        finish = model.scene.jobs[zone.zone_id, mix].finish if n in ends and mix else 0
        pairs += [(slot, n) for slot in range(arcs[n].start, arcs[n].end + finish)]
    busy = by_slot(pairs)
    for (_, slot), number in model.break_out.get(zone.zone_id, {}).items():
        busy[slot].append((number, 1.0))
    return busy
