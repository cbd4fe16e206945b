"""Which grid slots are open to a zone, position, rig, crew or shift: sets of slot numbers.

A slot ``s`` is the half-open stretch ``[s * grid, (s + 1) * grid)``; it is open when every minute
of it is.  Edges that do not lie on the grid are cut inward and remembered in ``off_grid``,
because the exactness argument of :mod:`tests.exact.solve` does not hold for them.
"""

from collections.abc import Iterable
from datetime import timedelta
from math import ceil, floor

from planner.model.campaign import Campaign
from planner.model.crew import Crew
from planner.model.identifiers import PositionId, Process, ShiftId
from planner.model.limits import Closure, ClosureScope
from planner.model.position import Position
from planner.model.rig import Rig
from planner.model.zone import Zone
from tests.exact.water import Edge, between, common, without

DAY_MIN = 24 * 60
DECIMALS = 6
Slots = frozenset[int]
Stretch = tuple[int, int]


class Calendar:
    """Open slots of everything in a campaign."""

    def __init__(self, campaign: Campaign, grid_min: int) -> None:
        self.campaign = campaign
        self.grid = grid_min
        self.off_grid: set[str] = set()
        self.slots = campaign.clock.horizon_min // grid_min
        self.whole: Edge = (0.0, float(campaign.clock.horizon_min))

    # closures -------------------------------------------------------------------------------

    def closed(self, scope: ClosureScope, target: str | None) -> list[Edge]:
        """Return the closures of one scope and target, hours by hours [min]."""
        found: list[Edge] = []
        for closure in self.campaign.closures:
            if closure.scope is scope and (scope is ClosureScope.SITE or closure.target == target):
                found.extend(self._stretches(closure))
        return found

    def _stretches(self, closure: Closure) -> list[Edge]:
        limits: Edge = (float(closure.from_min), float(closure.to_min))
        if closure.weekdays is None and closure.start_tod is None:
            return common([limits], [self.whole])
        clock = self.campaign.clock
        start_tod, end_tod = closure.start_tod or 0, closure.end_tod or 0
        days = [clock.first_day - timedelta(days=1), *clock.calendar()]
        daily = [
            clock.daily(day, start_tod=start_tod, end_tod=end_tod)
            for day in days
            if closure.weekdays is None or day.weekday() in closure.weekdays
        ]
        return common([limits], [(float(start), float(end)) for start, end in daily])

    # slots ----------------------------------------------------------------------------------

    def inside(self, edges: Iterable[Edge], what: str) -> list[Stretch]:
        """Return stretches of slots that lie wholly inside stretches of minutes."""
        out: list[Stretch] = []
        for start, end in common(edges, [self.whole]):
            first, last = ceil(round(start, DECIMALS)), floor(round(end, DECIMALS))
            if first % self.grid or last % self.grid:
                self.off_grid.add(what)
            stretch = (-(-first // self.grid), last // self.grid)
            if stretch[1] > stretch[0]:
                out.append(stretch)
        return out

    def open_slots(self, edges: Iterable[Edge], what: str) -> Slots:
        """Return the open slots as a set."""
        return frozenset(s for a, b in self.inside(edges, what) for s in range(a, b))

    # nouns ----------------------------------------------------------------------------------

    def zone_windows(self, zone: Zone) -> list[Stretch]:
        """Return the shortened windows of a zone (contract, section 2)."""
        rules, water = self.campaign.rules, self.campaign.water
        edges: list[Edge] = [self.whole]
        if zone.water_max_m is not None:
            low_m = zone.water_min_m
            wet = between(
                water,
                zone.section,
                low_m=None if low_m is None else low_m + water.allowance_low_m,
                high_m=zone.water_max_m - water.allowance_m,
            )
            edges = edges if wet is None else common(edges, wet)
        closed = [
            *self.closed(ClosureScope.SITE, None),
            *self.closed(ClosureScope.ZONE, zone.zone_id),
            *self.closed(ClosureScope.SECTION, zone.section),
        ]
        edges = without(edges, closed)
        get_in = rules.get_in_min if zone.get_in_min is None else zone.get_in_min
        get_out = rules.get_out_min if zone.get_out_min is None else zone.get_out_min
        usable = [
            (float(ceil(round(a, DECIMALS)) + get_in), float(floor(round(b, DECIMALS)) - get_out))
            for a, b in edges
            if round(b - a, DECIMALS) >= rules.window_min_min
        ]
        usable = [edge for edge in usable if edge[1] > edge[0]]
        return self.inside(usable, f"windows of {zone.zone_id}")

    def dry(self, zone: Zone) -> list[Edge] | None:
        """Return when fresh work in a zone stays dry [min]; None: always."""
        if zone.wets_at_m is None:
            return None
        water = self.campaign.water
        high_m = zone.wets_at_m - water.allowance_m
        return between(water, zone.section, low_m=None, high_m=high_m)

    def position(self, position: Position) -> Slots:
        """Return when a run or a relocation may be at a position."""
        water = self.campaign.water
        edges: list[Edge] = [self.whole]
        if position.water_min_m is not None or position.water_max_m is not None:
            low_m, high_m = position.water_min_m, position.water_max_m
            wet = between(
                water,
                None,
                low_m=None if low_m is None else low_m + water.allowance_low_m,
                high_m=None if high_m is None else high_m - water.allowance_m,
            )
            edges = edges if wet is None else common(edges, wet)
        closed = self.closed(ClosureScope.POSITION, position.position_id)
        site = self.closed(ClosureScope.SITE, None)
        return self.open_slots(without(edges, [*closed, *site]), f"{position.position_id} open")

    def positions(self) -> dict[PositionId, Slots]:
        """Return the open slots of every position."""
        return {p.position_id: self.position(p) for p in self.campaign.positions}

    def site(self) -> Slots:
        """Return when the site is not closed."""
        closed = self.closed(ClosureScope.SITE, None)
        return self.open_slots(without([self.whole], closed), "site open")

    def rig(self, rig: Rig) -> Slots:
        """Return when a rig may move: on site, not closed; closures of its process aside."""
        edges = [(float(rig.available_from_min), float(rig.available_to_min))]
        closed = self.closed(ClosureScope.RIG, rig.rig_id)
        return self.open_slots(without(edges, closed), f"{rig.rig_id} open")

    def process(self, process: Process) -> Slots:
        """Return when a process may run."""
        closed = self.closed(ClosureScope.PROCESS, str(process))
        return self.open_slots(without([self.whole], closed), f"{process} open")

    def crew(self, crew: Crew) -> Slots:
        """Return when a crew is on site and not closed; shifts aside."""
        edges = [(float(crew.available_from_min), float(crew.available_to_min))]
        closed = self.closed(ClosureScope.CREW, crew.crew_id)
        site = self.closed(ClosureScope.SITE, None)
        return self.open_slots(without(edges, [*closed, *site]), f"{crew.crew_id} open")

    def shifts(self, shift_id: ShiftId) -> list[Stretch]:
        """Return the occurrences of a shift, cut to the campaign's days."""
        shift = next(s for s in self.campaign.shifts if s.shift_id == shift_id)
        clock = self.campaign.clock
        out: list[Stretch] = []
        for day in [clock.first_day - timedelta(days=1), *clock.calendar()]:
            if day.weekday() in shift.weekdays:
                start, end = clock.daily(day, start_tod=shift.start_tod, end_tod=shift.end_tod)
                out.extend(self.inside([(float(start), float(end))], f"shift {shift_id}"))
        return out
