"""A site that lives a plan: shift by shift, many runs at once, and never knowing what comes.

In each shift a crew does what its rigs' programme asks for next, as far as water, weather and
machines let it; what it could not end is gone on with in the next room there is.  The site knows
the calendar, the predicted water, the volumes that are broken out and the scenario's own rates;
it does not know how fast it will be, when machines fail, or how the water will stand.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import groupby

import numpy as np

from planner.access.curve import Floats
from planner.core.clock import MINUTES_PER_DAY
from planner.risk.calendar import Calendar, Stint
from planner.risk.chance import Draws
from planner.risk.fit import Boards, Fit, Fitter, Visit
from planner.risk.inputs import Rule
from planner.risk.ledger import Ledger
from planner.risk.moves import Mover, hand_over_factors
from planner.risk.programme import Kind, Programme
from planner.risk.state import NEVER, NOWHERE, Bools, Ints, Layout, State, layout_of

LOOK_AHEAD = 8
"""So many spells of a stay are looked at for one that can be begun (our choice) [1]."""


_STEPS = (range(1), range(1, 3), range(3, LOOK_AHEAD))


class StoppedError(Exception):
    """A study was stopped before its end."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Ground:
    """What all runs of a plan share.

    Attributes
    ----------
    layout, calendar, boards
        What is to be done, when, and in which rooms.
    factors
        For each stay and rig, how much longer its spraying takes; inf: cannot [1].
    overtime_min
        So much longer than its shift a crew stays to end a layer [min].
    """

    layout: Layout
    calendar: Calendar
    boards: Boards
    factors: Floats
    overtime_min: float = 0.0

    @classmethod
    def of(cls, programme: Programme, *, overtime_min: float = 0.0) -> Ground:
        """Return the ground of a programme."""
        layout, calendar = layout_of(programme), Calendar(programme)
        return cls(
            layout=layout,
            calendar=calendar,
            boards=Boards(calendar, layout),
            factors=hand_over_factors(layout, calendar),
            overtime_min=overtime_min,
        )


class Site:
    """Lives of one programme under one rule.

    Parameters
    ----------
    ground
        What is to be done, and when it may be.
    draws
        What chance has decided.
    rule
        How the site reacts.
    """

    def __init__(self, ground: Ground, draws: Draws, rule: Rule) -> None:
        layout, calendar = ground.layout, ground.calendar
        self.layout = layout
        self.calendar = calendar
        self._boards = ground.boards
        self.draws = draws
        self.rule = rule
        self.state = State(layout, draws)
        self.ledger = Ledger(layout, calendar, self.state)
        self.ledger.know(draws.volume_m3, draws.through)
        self.mover = Mover(layout, calendar, self.state, self.ledger, ground.factors)
        self.fitter = Fitter(
            layout, ground.boards, calendar, draws, self.state, overtime_min=ground.overtime_min
        )
        self._rigs = calendar.campaign.rigs
        self._crews = calendar.campaign.crews
        self._rules = calendar.campaign.rules
        self._gang = self._rules.relocation_shift is not None
        self._waiting: set[int] = set()
        self.broken_in: Ints = np.zeros(len(calendar.stints), dtype=np.intp)

    def live(self, stop: Callable[[], bool] = lambda: False) -> None:
        """Live every run to its end, or to the end of the calendar.

        Raises
        ------
        StoppedError
            If ``stop`` says so.
        """
        everyone = np.arange(self.state.runs)
        for rig in range(len(self._rigs)):
            self.mover.settle(everyone, rig)
        week = NOWHERE
        for _, stints in groupby(self.calendar.stints, key=lambda stint: stint.day):
            unfinished = self.state.unfinished()
            if not unfinished.size:
                break
            if stop():
                raise StoppedError
            group = list(stints)
            if self.rule is Rule.WEEKLY and group[0].week != week:
                self.mover.share_out(unfinished)
            week = group[0].week
            self._live_day(group)
        self.ledger.close(everyone)

    def _live_day(self, stints: Sequence[Stint]) -> None:
        """Live the shifts that begin on one day; what one does may let an earlier one go on."""
        k = 0
        while k < len(stints):
            begin = stints[k].start_min
            done = self._stint(stints[k])
            beside = [
                j
                for j in range(k)
                if stints[j].end_min > begin and stints[j].index in self._waiting
            ]
            k = beside[0] if done and beside else k + 1

    def _stint(self, stint: Stint) -> int:
        """Do what one shift allows; return how much was done."""
        self._waiting.discard(stint.index)
        runs = self.state.unfinished()
        if stint.crew is None:
            return self.mover.gang(stint, runs)
        crew = self.layout.crew_number[stint.crew]
        self._begin_shift(stint, crew, runs)
        runs = runs[self.state.crew_free[runs, crew] < stint.end_min]
        if stint.crew in self.layout.programme.breaks:
            return self._break_out(Visit(stint=stint, crew=crew), runs)
        rigs = [self.layout.rig_number[r] for r in self.layout.programme.crew_rigs[stint.crew]]
        return self._spray([Visit(stint=stint, crew=crew, rig=rig) for rig in rigs], runs)

    def _begin_shift(self, stint: Stint, crew: int, runs: Ints) -> None:
        """Start a new duty, after the rest that the crew needs."""
        state = self.state
        new = runs[state.duty_stint[runs, crew] != stint.index]
        rest = float(self._crews[crew].rest_min_min or 0)
        begin = np.maximum(stint.start_min, state.crew_last[new, crew] + rest)
        state.crew_free[new, crew] = np.maximum(state.crew_free[new, crew], begin)
        state.duty_stint[new, crew] = stint.index
        state.duty_from[new, crew] = NEVER
        other = new[state.week_of[new, crew] != stint.week]
        state.week_of[other, crew] = stint.week
        state.week_min[other, crew] = 0.0

    def _spray(self, visits: list[Visit], runs: Ints) -> int:
        done = 0
        stint, crew = visits[0].stint, visits[0].crew
        rigs = [visit.rig for visit in visits if visit.rig is not None]
        for rig in rigs:
            self.mover.arrive(runs, rig)
        while runs.size:
            if not self._gang:
                done += self.mover.by_crew(stint, crew, rigs, runs)
            best = Fit.nothing(runs.size)
            visit_of = np.full(runs.size, NOWHERE, dtype=np.intp)
            item_of = np.full(runs.size, NOWHERE, dtype=np.intp)
            for number, visit in enumerate(visits):
                items, fit = self._offer(visit, runs)
                better = np.flatnonzero(fit.ok & (fit.start < best.start))
                best.put(better, fit, better)
                visit_of[better] = number
                item_of[better] = items[better]
            for number, visit in enumerate(visits):
                chosen = visit_of == number
                if chosen.any():
                    self._do(visit, runs[chosen], item_of[chosen], best.of(chosen))
            done += int(np.count_nonzero(best.ok))
            runs = runs[best.ok]
        return done

    def _offer(self, visit: Visit, runs: Ints) -> tuple[Ints, Fit]:
        """Return what a rig's programme offers a crew next, and how it would go."""
        state, layout, rig = self.state, self.layout, visit.rig
        found, fit = np.zeros(runs.size, dtype=np.intp), Fit.nothing(runs.size)
        stay = state.stay_of[runs, rig]
        some = stay != NOWHERE
        here = np.flatnonzero(some & (layout.stay_position[stay] == state.rig_at[runs, rig]))
        if here.size < np.count_nonzero(some):
            self._waiting.add(visit.stint.index)
        if not layout.has_panels:  # too late to begin anything: no need to look
            soonest = state.crew_free[runs[here], visit.crew] + self._rules.zone_change_min
            here = here[soonest < visit.stint.end_min]
        steps = _STEPS[:1] if self.rule is Rule.SEQUENCE else _STEPS
        for step in steps:
            here = self._look(visit, runs, here, (step, found, fit)) if here.size else here
        return found, fit

    def _look(self, visit: Visit, runs: Ints, here: Ints, into: tuple[range, Ints, Fit]) -> Ints:
        """Fit in the first spell that can be begun; return the runs in which none can."""
        state, layout = self.state, self.layout
        ahead, found, fit = into
        offsets = np.array(ahead)
        asked_runs = runs[here]
        stay = state.stay_of[asked_runs, visit.rig][:, None]
        last = layout.stay_items.shape[1] - 1
        column = np.minimum(state.pointer[asked_runs, visit.rig][:, None] + offsets, last)
        items = layout.stay_items[stay, column]
        rows, columns = np.nonzero(self._boards.of(visit).may[items])
        flat = items[rows, columns]
        asked = asked_runs[rows]
        undone = (state.end[asked, flat] == NEVER) & (state.left[asked, flat] > 0.0)
        rows, flat, asked = rows[undone], flat[undone], asked[undone]
        if not rows.size:
            return here
        part, waits = self.fitter.fit(visit, asked, flat)
        if waits:
            self._waiting.add(visit.stint.index)
        good = np.flatnonzero(part.ok)
        first_rows, first = np.unique(rows[good], return_index=True)
        picked = good[first]
        where = here[first_rows]
        found[where] = flat[picked]
        fit.put(where, part, picked)
        return np.delete(here, first_rows)

    def _do(self, visit: Visit, runs: Ints, items: Ints, fit: Fit) -> None:
        """Do items as far as room and machine allow, and note what it took."""
        state, layout, rig = self.state, self.layout, visit.rig
        if rig is None:
            return
        is_panel = layout.kind[items] == Kind.PANEL
        left = state.left[runs, items]
        room = np.where(fit.start + left <= fit.stretch, left, fit.stop - fit.start)
        failing = np.where(is_panel, NEVER, state.failing[runs, rig])
        spent = np.minimum(np.minimum(left, np.maximum(room, 0.0)), failing)
        broke = (spent >= failing) & (failing < left)
        end = fit.start + spent
        begin = fit.start - np.where(fit.fresh & ~is_panel, self.fitter.before(rig), 0.0)
        clean = np.where(is_panel, 0.0, self.fitter.clean(rig))
        self._note_stop(visit.stint, runs, fit, left - spent, broke)
        share = spent / np.maximum(state.whole[runs, items], 1.0)
        self.ledger.work(visit, runs, items, (begin, end + clean, share), fresh=fit.fresh)
        state.left[runs, items] = left - spent
        for other in range(len(self._rigs)):  # a crew that goes to another rig ends its run there
            if other != rig:
                mine = state.run_stint[runs, other] == visit.stint.index
                state.run_stint[runs[mine], other] = NOWHERE
        repair = np.zeros(runs.size)
        state.failing[runs, rig] -= np.where(is_panel | broke, 0.0, spent)
        if broke.any():
            repair[broke] = self._break_down(runs[broke], rig)
        state.run_last[runs, rig] = end
        state.run_stint[runs, rig] = np.where(broke | is_panel, NOWHERE, visit.stint.index)
        state.run_mix[runs, rig] = layout.mix[items]
        state.rig_free[runs, rig] = end + np.maximum(clean, repair)
        self._crew_worked(visit.crew, runs, begin, end + clean, fit.fresh)
        done = spent >= left
        self._complete(runs[done], items[done], end[done], visit.crew)
        self.mover.settle(runs, rig)

    def _crew_worked(
        self, crew: int, runs: Ints, begin: Floats, end: Floats, fresh: Bools
    ) -> None:
        state = self.state
        state.duty_from[runs, crew] = np.minimum(state.duty_from[runs, crew], begin)
        since = np.where(fresh, begin, state.crew_last[runs, crew])
        state.week_min[runs, crew] += np.maximum(end - since, 0.0)
        state.crew_last[runs, crew] = end
        state.crew_free[runs, crew] = end

    def _note_stop(self, stint: Stint, runs: Ints, fit: Fit, left: Floats, broke: Bools) -> None:
        stopped = (left > 0.0) & ~broke
        by_water = stopped & (fit.stop < fit.planned_stop)
        self.state.counts["stopped_by_water"][runs] += by_water
        self.state.counts["stopped_by_time"][runs] += stopped & ~by_water
        self.state.counts["breakdowns"][runs] += broke
        self.broken_in[stint.index] += int(np.count_nonzero(broke))

    def _break_down(self, runs: Ints, rig: int) -> Floats:
        """Return the time of repair, and set the machine's next breakdown."""
        state, draws = self.state, self.draws
        most = draws.failing_min.shape[2] - 1
        repair = draws.repair_min[runs, rig, np.minimum(state.failures[runs, rig], most)]
        state.failures[runs, rig] += 1
        following = state.failures[runs, rig]
        state.failing[runs, rig] = np.where(
            following <= most, draws.failing_min[runs, rig, np.minimum(following, most)], NEVER
        )
        state.counts["repair_min"][runs] += repair
        return np.asarray(repair, dtype=float)

    def _complete(self, runs: Ints, items: Ints, end: Floats, crew: int) -> None:
        """Note that items are done; empty layers on top of them are done with them."""
        state, layout = self.state, self.layout
        if layout.has_panels:
            panels = layout.kind[items] == Kind.PANEL
            wait = self._rules.panel_days * MINUTES_PER_DAY
            again = self.draws.failed_panels[runs, items]
            ready = end + wait + again * (wait + MINUTES_PER_DAY)
            rows, faces = runs[panels], layout.face[items[panels]]
            state.panel_ready[rows, crew, faces] = ready[panels]
        while runs.size:
            state.end[runs, items] = end
            state.todo[runs] -= 1
            items = layout.next_extra[items]
            more = items != NOWHERE
            runs, items, end = runs[more], items[more], end[more]
            empty = self.draws.minutes[runs, items] <= 0.0
            runs, items, end = runs[empty], items[empty], end[empty]

    def _break_out(self, visit: Visit, runs: Ints) -> int:
        state, layout = self.state, self.layout
        name = self._crews[visit.crew].crew_id
        rows = np.array(layout.programme.breaks[name], dtype=np.intp)
        done = 0
        while runs.size:
            open_ = state.end[runs][:, rows] == NEVER
            some = open_.any(axis=1)
            runs, items = runs[some], rows[np.argmax(open_[some], axis=1)]
            fit, waits = self.fitter.fit(visit, runs, items)
            if waits:
                self._waiting.add(visit.stint.index)
            runs, items, fit = runs[fit.ok], items[fit.ok], fit.of(fit.ok)
            left = state.left[runs, items]
            spent = np.minimum(left, fit.stop - fit.start)
            end = fit.start + spent
            self.ledger.break_out(visit, runs, fit.start, end)
            state.left[runs, items] = left - spent
            self._crew_worked(visit.crew, runs, fit.start, end, fit.fresh)
            finished = spent >= left
            self._complete(runs[finished], items[finished], end[finished], visit.crew)
            done += int(runs.size)
        return done
