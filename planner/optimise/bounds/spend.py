"""Bound on the cost: what every plan must pay whatever else it does.

The cost is a sum of lines.  Days on site, rigs, shifts, standby and material hang together
through the crews' turns: their sum is bounded by the flow of :mod:`planner.optimise.bounds.flow`
with prices.
"""

from __future__ import annotations

from collections.abc import Sequence

from planner.core.quantities import gross_m3
from planner.optimise.bounds.days import fewest_days, lead_minutes
from planner.optimise.bounds.demand import demand_of
from planner.optimise.bounds.flow import Flow, Turn
from planner.optimise.bounds.hours import rows_of
from planner.optimise.bounds.packing import Packing
from planner.optimise.bounds.posts import Site
from planner.optimise.bounds.stretches import least_days, least_idle, lines_below
from planner.optimise.bounds.work import Work
from planner.optimise.problem import Problem

MOST_NODES = 500
MOST_SECONDS = 20.0

Days = list[tuple[int, int]]
"""First and last civil day that work in each turn can touch."""


def material_cost(problem: Problem, z: int, m: int) -> float:
    """Return what a zone's material, hose and rebound cost at least with a mix [money].

    What is bought for a run is never less than what goes through the nozzle; line waste, least
    loads and load steps come on top.
    """
    prices = problem.campaign.prices
    face = problem.jobs[z][m].face
    volume = problem.left_volume[z]
    through = gross_m3(
        in_place_m3=volume, rebound=face.rebound, waste=problem.campaign.rules.waste
    )
    return (
        through * prices.material_m3.get(face.mix_id, 0.0)
        + through * prices.hose_m3.get(face.process, 0.0)
        + (through - volume) * prices.rebound_m3
    )


def least_cost(work: Work, zones: frozenset[int], volume_m3: float, minute: int) -> float:
    """Return a proven lower bound on all cost lines but relocations and set-ups [money].

    Over plans of at least a volume that finish by a minute.
    """
    return Spending(work, zones, volume_m3, minute).bound()


class Spending:
    """The flow with prices."""

    def __init__(self, work: Work, zones: frozenset[int], volume_m3: float, minute: int) -> None:
        problem = work.problem
        self.problem = problem
        self.prices = problem.campaign.prices
        self.minute = minute
        site = Site(work, minute, crews_count=True)
        self.packing = Packing(site, rows_of(work, site.teams))
        demand = demand_of(
            work, self.packing.kinds, zones, volume_m3, lambda z, m: material_cost(problem, z, m)
        )
        self.flow = Flow(self.packing, demand, minute)
        self.model = self.flow.model
        self.day = problem.campaign.clock.day_index
        self._runs()
        self._crews()
        self._rigs()
        if self.prices.day:
            lead = lead_minutes(problem, zones)
            self._site(fewest_days(self.packing.without_hours(), demand, minute, lead))

    def bound(self) -> float:
        """Return the proven bound [money]."""
        return self.model.proven(nodes=MOST_NODES, seconds=MOST_SECONDS) or 0.0

    def _runs(self) -> None:
        """Price what a run buys beyond what it sprays.

        A cell that is used has a run of its own, unless its crew's turn has other cells that the
        run may reach; a turn that is used has at least one run.  Work from several positions or
        with several rigs takes two.
        """
        several = [len(turn.shapes) > 1 for turn in self.flow.turn_rows]
        for (q, _, j), column in self.flow.used.items():
            post = self.packing.site.posts[j]
            rigs = self.packing.site.teams[post.team].rigs if post.rig is None else (post.rig,)
            if not several[q]:
                runs = 2 if post.loss else 1
                self.model.cost[column] += runs * min(self._line_waste(r) for r in rigs)
        for q, turn in enumerate(self.flow.turn_rows):
            if several[q]:
                least = min(self._line_waste(r) for r in self.packing.site.teams[turn.team].rigs)
                for column in self.flow.turns[q]:
                    self.model.cost[column] += least

    def _line_waste(self, r: int) -> float:
        """Return what the material left in the line costs at least, in one run of a rig."""
        rig = self.problem.rigs[r]
        price = min(
            (self.prices.material_m3.get(self.problem.mixes[m], 0.0) for m in rig.mixes),
            default=0.0,
        )
        return price * self.prices.line_waste_m3.get(rig.rig.process, 0.0)

    def _crews(self) -> None:
        """Price shifts and days of standby of each crew."""
        for t, team in enumerate(self.packing.site.teams):
            mine = [q for q, turn in enumerate(self.flow.turn_rows) if turn.team == t]
            touched = {
                day for a, b, _ in team.pieces for day in range(self.day(a), self.day(b - 1) + 1)
            }
            days = [pair for q in mine for pair in self._piece_days(self.flow.turn_rows[q])]
            idle = least_idle(days, touched)
            for k, c in enumerate(team.crews):
                name = self.problem.crews[c].crew.crew_id
                shift = self.prices.crew_shift.get(name, 0.0)
                columns = [self.flow.turns[q][k] for q in mine]
                for column in columns:
                    self.model.cost[column] += shift
                standby = self.prices.crew_standby_day.get(name, 0.0)
                if standby:
                    self._days(columns, idle, standby)
                if c not in self.problem.panelled_crews:
                    self._panel(columns, team.pieces, shift, standby)

    def _panel(
        self,
        columns: list[int],
        pieces: Sequence[tuple[int, int, int]],
        shift: float,
        standby: float,
    ) -> None:
        """Price a crew's first test panel: a shift before all others, and the days between.

        Rule 12: the first spell comes ``panel_days`` after the panel, so both lie in one shift
        only if it lasts longer than that, closures in it counted.  On each civil day between that
        the panel and the first run do not touch, the crew stands by or is paid a shift.
        """
        wait = self.problem.panel_wait
        if wait <= _longest_shift(pieces) or not columns:
            return
        lead = self.problem.zone_change + max(rig.start_up for rig in self.problem.rigs)
        clock = self.problem.campaign.clock
        midnights = [clock.day_start(date) for date in clock.calendar()]
        ends = {a for a, _, _ in pieces} | {b for _, b, _ in pieces}
        ends |= {m for m in midnights if any(a < m < b for a, b, _ in pieces)}
        between = min(self.day(end + wait - lead) - self.day(end) - 1 for end in ends)
        price = shift + max(0, between) * min(standby, shift)
        if price:
            used = self.model.column(1.0, price, whole=True)
            most = sum(self.model.high[column] for column in columns)
            self.model.row({used: -most, **dict.fromkeys(columns, 1.0)}, high=0.0)

    def _rigs(self) -> None:
        """Price the days of each rig on site."""
        columns: dict[int, list[int]] = {r: [] for r in range(len(self.problem.rigs))}
        days: dict[int, Days] = {r: [] for r in columns}
        for q, turn in enumerate(self.flow.turn_rows):
            mine = self._rig_turns(q, turn)
            for r, column in mine.items():
                columns[r].append(column)
                days[r] += self._cell_days(turn)
            self._several_rigs(q, turn, list(mine.values()))
        for r, rig in enumerate(self.problem.rigs):
            price = self.prices.rig_day.get(rig.rig.rig_id, 0.0)
            if price and columns[r]:
                self._days(columns[r], least_days(days[r]), price)

    def _rig_turns(self, q: int, turn: Turn) -> dict[int, int]:
        """Return a column for each rig that can work in some turns: those it works in."""
        found: dict[int, int] = {}
        for k in range(len(turn.shapes)):
            rows: dict[int, list[int]] = {}
            for j in self.packing.of_team[turn.team]:
                rig = self.packing.site.posts[j].rig
                if (q, k, j) in self.flow.used and rig is not None:
                    rows.setdefault(rig, []).append(self.flow.used[q, k, j])
            for r, used in rows.items():
                if r not in found:
                    found[r] = self.model.column(float(len(turn.occurrences)))
                self.model.row({found[r]: -1.0, **dict.fromkeys(used, 1.0)}, high=0.0)
        return found

    def _several_rigs(self, q: int, turn: Turn, rigs: list[int]) -> None:
        """Let crews with several rigs in one cell count for one more rig than there are crews.

        Where a team's rigs are no more than its crews, each is taken as worked by a crew of its
        own.  Else at least one crew has several, and there is at least one rig more than crews;
        each of the ``n`` crews with several counts for its ``1 / count <= 1 / n`` of it.
        """
        each = 1.0 + 1.0 / self.packing.site.teams[turn.team].count
        for k in range(len(turn.shapes)):
            terms = dict.fromkeys(rigs, -1.0)
            for j in self.packing.of_team[turn.team]:
                if (q, k, j) in self.flow.used:
                    several = self.packing.site.posts[j].rig is None
                    terms[self.flow.used[q, k, j]] = each if several else 1.0
            self.model.row(terms, high=0.0)

    def _site(self, fewest: int) -> None:
        """Price the days on site."""
        columns = [column for row in self.flow.turns for column in row]
        days: Days = []
        for q, turn in enumerate(self.flow.turn_rows):
            days += self._cell_days(turn) * len(self.flow.turns[q])
        on_site = self._days(columns, least_days(days), self.prices.day)
        self.model.low[on_site] = float(fewest)

    def _days(self, columns: list[int], least: list[int], price: float) -> int:
        """Add a priced column of days that so many turns take at least."""
        column = self.model.column(
            float(max(least[-1], 0) + self.problem.campaign.clock.days), price
        )
        for slope, constant in lines_below(least):
            if slope > 0 or constant > 0:
                self.model.row({column: 1.0, **dict.fromkeys(columns, -slope)}, low=constant)
        return column

    def _piece_days(self, turn: Turn) -> Days:
        """Return the civil days of each occurrence's pieces, in the order of occurrences."""
        pieces = self.packing.site.teams[turn.team].pieces
        found = []
        for occurrence in turn.occurrences:
            mine = [(a, b) for a, b, number in pieces if number == occurrence]
            found.append((self.day(mine[0][0]), self.day(mine[-1][1] - 1)))
        return found

    def _cell_days(self, turn: Turn) -> Days:
        """Return the civil days that zone work in each occurrence can touch."""
        cells = self.packing.site.cells[turn.team].before(self.minute)
        pieces = self.packing.site.teams[turn.team].pieces
        found = []
        for occurrence in turn.occurrences:
            mine = [k for k, p in enumerate(cells.piece.tolist()) if pieces[p][2] == occurrence]
            low = int(cells.start[mine].min())
            high = min(self.minute, int(cells.end[mine].max()))
            found.append((self.day(low), self.day(high - 1)))
        return found


def _longest_shift(pieces: Sequence[tuple[int, int, int]]) -> int:
    """Return the minutes of the longest shift, from its first minute to its last [min]."""
    starts: dict[int, int] = {}
    ends: dict[int, int] = {}
    for a, b, number in pieces:
        starts[number] = min(a, starts.get(number, a))
        ends[number] = max(b, ends.get(number, b))
    return max(ends[number] - starts[number] for number in starts)
