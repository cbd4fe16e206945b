"""Variables of the programme and the questions that rules and goals ask of them."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from itertools import accumulate

from planner.model.identifiers import CrewId, CrewKind, MixId, ZoneId
from planner.model.zone import Zone
from tests.exact import quantities
from tests.exact.arcs import Arc, Kind
from tests.exact.network import RigNetwork
from tests.exact.programme import Programme
from tests.exact.scene import Scene

TOLERANCE = 1e-6
Term = tuple[int, float]
Piece = tuple[CrewId, int]
"""A slot of break-out: crew and slot."""


class Model:
    """The programme of one campaign: a flow for each rig, a choice of mix for each zone."""

    def __init__(self, scene: Scene) -> None:
        self.scene = scene
        self.programme = Programme()
        self.networks = [RigNetwork(scene, rig) for rig in scene.campaign.rigs]
        self.arcs: list[Arc] = [arc for network in self.networks for arc in network.arcs]
        for _ in self.arcs:
            self.programme.variable()
        self.spells: dict[tuple[ZoneId, MixId, int], list[int]] = defaultdict(list)
        self.of_zone: dict[ZoneId, list[int]] = defaultdict(list)
        for number, arc in enumerate(self.arcs):
            if arc.kind is Kind.SPELL and arc.zone is not None and arc.mix is not None:
                self.spells[arc.zone, arc.mix, arc.layer].append(number)
                self.of_zone[arc.zone].append(number)
        self.mix = {key: self.programme.variable() for key in scene.jobs}
        self.break_out = self._break_out()

    def _break_out(self) -> dict[ZoneId, dict[Piece, int]]:
        """Return the slots in which each zone may be broken out."""
        scene = self.scene
        found: dict[ZoneId, dict[Piece, int]] = {}
        for zone in scene.campaign.zones:
            if not scene.campaign.plans_break_out or zone.broken_out:
                continue
            pieces = found.setdefault(zone.zone_id, {})
            for crew in scene.campaign.crews:
                if crew.kind is CrewKind.BREAK_OUT:
                    for slot in self._break_out_slots(zone, crew.crew_id):
                        pieces[crew.crew_id, slot] = self.programme.variable()
        return found

    def _break_out_slots(self, zone: Zone, crew: CrewId) -> Iterator[int]:
        scene = self.scene
        ready = zone.ready_from_min or 0
        on_shift = {s for a, b in scene.crew_shifts[crew] for s in range(a, b)}
        for start, end in scene.windows[zone.zone_id]:
            for slot in range(start, end):
                if slot in on_shift & scene.crews_open[crew] and slot * scene.grid >= ready:
                    yield slot

    # questions ------------------------------------------------------------------------------

    def planned(self, zone: ZoneId) -> list[Term]:
        """Return the terms whose sum is 1 when a zone is planned."""
        return [(number, 1.0) for (z, _), number in self.mix.items() if z == zone]

    def volume_m3(self, zone: ZoneId) -> float:
        """Return the volume of a zone."""
        noun = next(z for z in self.scene.campaign.zones if z.zone_id == zone)
        return quantities.volume_m3(self.scene.campaign, noun)

    def first_layers(self, zone: ZoneId) -> list[int]:
        """Return the spells of a zone's first layer, with any mix."""
        return [n for n in self.of_zone[zone] if self.arcs[n].layer == 1]

    def ends(self, zone: ZoneId) -> list[int]:
        """Return the spells that complete a zone, with any mix."""
        jobs = self.scene.jobs
        out = []
        for number in self.of_zone[zone]:
            arc = self.arcs[number]
            if arc.mix is not None and arc.last and arc.layer == jobs[zone, arc.mix].layers:
                out.append(number)
        return out

    def forbid_after(self, finish_h: float) -> None:
        """Rule out spells, and starts of anything else of a rig, after the last spell."""
        last = finish_h * 60.0 / self.scene.grid + TOLERANCE
        for number, arc in enumerate(self.arcs):
            late = arc.end > last if arc.kind is Kind.SPELL else arc.works and arc.start > last
            if late and arc.kind is not Kind.CLEAN_UP:
                self.programme.upper[number] = 0.0

    def where(self, **wanted: object) -> list[int]:
        """Return the arcs with given attributes."""
        return [
            number
            for number, arc in enumerate(self.arcs)
            if all(getattr(arc, name) == value for name, value in wanted.items())
        ]


def by_slot(pairs: Iterable[tuple[int, int]]) -> dict[int, list[Term]]:
    """Group variables by slot: ``(slot, number)`` in, terms by slot out."""
    out: dict[int, list[Term]] = defaultdict(list)
    for slot, number in pairs:
        out[slot].append((number, 1.0))
    return out


def until(pairs: Iterable[tuple[int, int]], slots: int) -> list[list[Term]]:
    """Return for every slot ``s`` in ``0..slots`` the variables whose slot is at most ``s``."""
    groups = by_slot(pairs)
    return list(accumulate((groups.get(s, []) for s in range(slots + 1)), initial=[]))[1:]


def negative(terms: Iterable[Term]) -> list[Term]:
    """Return terms with the opposite sign."""
    return [(number, -factor) for number, factor in terms]
