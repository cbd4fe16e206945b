"""What each run costs, by the same lines as the plan's own cost (contract, section 5)."""

from __future__ import annotations

import numpy as np

from planner.access.curve import Floats
from planner.core.rounding import DECIMALS
from planner.plan.costs import flow_control_line
from planner.risk.calendar import Calendar
from planner.risk.fit import Visit
from planner.risk.state import NEVER, NOWHERE, Bools, Ints, Layout, State


class Ledger:
    """Days, shifts, moves and material of many runs."""

    def __init__(self, layout: Layout, calendar: Calendar, state: State) -> None:
        self._layout = layout
        self._calendar = calendar
        self._prices = calendar.campaign.prices
        campaign, runs = layout.programme.campaign, state.runs
        self._rigs, self._crews = campaign.rigs, campaign.crews
        rigs, crews = len(self._rigs), len(self._crews)
        self._first = np.full(runs, NEVER)
        self._last = np.full(runs, -NEVER)
        self._rig_first = np.full((runs, rigs), NEVER)
        self._rig_last = np.full((runs, rigs), -NEVER)
        self._crew_first = np.full((runs, crews), NEVER)
        self._crew_last = np.full((runs, crews), -NEVER)
        self._crew_days = np.zeros((runs, crews))
        self._crew_day = np.full((runs, crews), -1)
        self._crew_stint = np.full((runs, crews), NOWHERE)
        self.shifts = np.zeros((runs, crews))
        self.moves = np.zeros(runs)
        self._set_ups = np.zeros(runs)
        self._through = np.zeros((runs, rigs))
        self._in_place = np.zeros((runs, rigs))
        self._run_mix = np.full((runs, rigs), NOWHERE)
        self._material = np.zeros(runs)
        self.bought_m3 = np.zeros(runs)
        self._hose = np.zeros(runs)
        self._rebound = np.zeros(runs)
        self._set_up_cost = np.array([place.set_up_cost for place in campaign.positions])
        self._mixes = list(dict.fromkeys(face.mix_id for face in campaign.mixes))
        self._draws_through: Floats | None = None
        self._draws_volume: Floats | None = None

    def know(self, volume_m3: Floats, through: Floats) -> None:
        """Take note of the volumes that chance has decided."""
        self._draws_volume, self._draws_through = volume_m3, through

    def work(
        self,
        visit: Visit,
        runs: Ints,
        items: Ints,
        done: tuple[Floats, Floats, Floats],
        *,
        fresh: Bools,
    ) -> None:
        """Enter a spell, or a panel: its begin and end, cleaning up included, and its share."""
        begin, end, share = done
        if visit.rig is None:
            return
        rig = visit.rig
        self._rig_busy(rig, runs, begin, end)
        self._crew_busy(visit, runs, begin, end)
        self._close_run(runs[fresh], rig)
        if self._draws_volume is None or self._draws_through is None:
            return
        sprayed = self._draws_volume[runs, items] * share
        self._in_place[runs, rig] += sprayed
        self._through[runs, rig] += sprayed * self._draws_through[runs, items]
        self._run_mix[runs, rig] = self._layout.mix[items]

    def break_out(self, visit: Visit, runs: Ints, begin: Floats, end: Floats) -> None:
        """Enter a piece of breaking out."""
        self._crew_busy(visit, runs, begin, end)

    def relocation(
        self, rig: int, runs: Ints, begin: Floats, end: Floats, by: Visit | None
    ) -> None:
        """Enter a relocation; by nobody: by the lifting gang."""
        self.moves[runs] += 1
        self._rig_busy(rig, runs, begin, end)
        if by is not None:
            self._crew_busy(by, runs, begin, end)

    def set_up(self, runs: Ints, positions: Ints) -> None:
        """Enter the arrival of a rig at a position."""
        self._set_ups[runs] += self._set_up_cost[positions]

    def _rig_busy(self, rig: int, runs: Ints, begin: Floats, end: Floats) -> None:
        self._first[runs] = np.minimum(self._first[runs], begin)
        self._last[runs] = np.maximum(self._last[runs], end)
        self._rig_first[runs, rig] = np.minimum(self._rig_first[runs, rig], begin)
        self._rig_last[runs, rig] = np.maximum(self._rig_last[runs, rig], end)

    def _crew_busy(self, visit: Visit, runs: Ints, begin: Floats, end: Floats) -> None:
        crew, stint = visit.crew, visit.stint
        self._first[runs] = np.minimum(self._first[runs], begin)
        self._last[runs] = np.maximum(self._last[runs], end)
        new = self._crew_stint[runs, crew] != stint.index
        self.shifts[runs, crew] += new
        self._crew_stint[runs, crew] = stint.index
        first, last = self._calendar.day_of(begin), self._calendar.day_of(end - 1.0)
        known = self._crew_day[runs, crew]
        self._crew_days[runs, crew] += np.maximum(last - np.maximum(first - 1, known), 0)
        self._crew_day[runs, crew] = np.maximum(known, last)
        self._crew_first[runs, crew] = np.minimum(self._crew_first[runs, crew], begin)
        self._crew_last[runs, crew] = np.maximum(self._crew_last[runs, crew], end)

    def close(self, runs: Ints) -> None:
        """End every run of every rig."""
        for rig in range(len(self._rigs)):
            self._close_run(runs, rig)

    def _close_run(self, runs: Ints, rig: int) -> None:
        """Buy the material of a rig's run that is over."""
        through = self._through[runs, rig]
        runs, through = runs[through > 0.0], through[through > 0.0]
        if not runs.size:
            return
        prices, process = self._prices, self._rigs[rig].process
        bought = np.maximum(
            through + prices.line_waste_m3.get(process, 0.0), prices.load_min_m3.get(process, 0.0)
        )
        step = prices.load_step_m3.get(process, 0.0)
        if step > 0.0:
            bought = np.ceil(np.round(bought / step, DECIMALS)) * step
        price = np.array([prices.material_m3.get(mix, 0.0) for mix in self._mixes])
        self._material[runs] += bought * price[self._run_mix[runs, rig]]
        self.bought_m3[runs] += bought
        self._hose[runs] += through * prices.hose_m3.get(process, 0.0)
        self._rebound[runs] += (through - self._in_place[runs, rig]) * prices.rebound_m3
        self._through[runs, rig] = 0.0
        self._in_place[runs, rig] = 0.0

    def lines(self) -> dict[str, Floats]:
        """Return the cost of each run by line [money]."""
        prices = self._prices
        rig_price = np.array([prices.rig_day.get(rig.rig_id, 0.0) for rig in self._rigs])
        shift = np.array([prices.crew_shift.get(crew.crew_id, 0.0) for crew in self._crews])
        standby = np.array([prices.crew_standby_day.get(c.crew_id, 0.0) for c in self._crews])
        idle = self._days(self._crew_first, self._crew_last) - self._crew_days
        fixed = flow_control_line(self._layout.programme.campaign)
        runs = self.moves.size
        return {
            "day": prices.day * self._days(self._first, self._last),
            "rig_day": self._days(self._rig_first, self._rig_last) @ rig_price,
            "crew_shift": self.shifts @ shift,
            "crew_standby": idle @ standby,
            "relocation": prices.relocation * self.moves,
            "set_up": self._set_ups,
            "material": self._material,
            "hose": self._hose,
            "rebound": self._rebound,
            **{name: np.full(runs, amount) for name, amount in fixed.items()},
        }

    def _days(self, first: Floats, last: Floats) -> Floats:
        """Return the civil days from first to last, both counted; none where nothing was."""
        some = np.isfinite(first)
        days = self._calendar.day_of(last - 1.0) - self._calendar.day_of(first) + 1
        return np.where(some, days, 0).astype(float)
