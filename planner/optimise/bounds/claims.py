"""All bounds in one place: for a goal, the caps on the goals before it, and a volume."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from functools import cached_property

from planner.core.rounding import DECIMALS
from planner.model.identifiers import Goal
from planner.optimise.bounds.chain import heads_of
from planner.optimise.bounds.counts import fewest_joints, fewest_night_runs
from planner.optimise.bounds.demand import demand_of
from planner.optimise.bounds.finish import Hunt
from planner.optimise.bounds.lateness import least_late_days
from planner.optimise.bounds.opening import (
    finish_after_break_out,
    finish_under_open_limits,
    least_break_out_cost,
)
from planner.optimise.bounds.packing import Packing
from planner.optimise.bounds.posts import Site
from planner.optimise.bounds.set_ups import SetUps
from planner.optimise.bounds.sharing import finish_under_sharing, least_resource_cost
from planner.optimise.bounds.spend import least_cost
from planner.optimise.bounds.volume import most_volume_m3
from planner.optimise.bounds.work import Work
from planner.optimise.problem import HOUR, Problem
from planner.optimise.score import Scored

VOLUME_NOISE = 1e-6
EFFORT = 40
"""Points that column generation may judge for a bound on the finish [1]."""
CUTS = 60
"""Sets of places that may be tried for a bound on relocations [1]."""


class Claims:
    """Bounds of one problem, each worked out once per question.

    Parameters
    ----------
    stop
        Asked often while a bound is improved; true ends it with what is proven so far.
    effort
        Share of the usual effort on improving bounds [1].
    """

    def __init__(
        self, problem: Problem, *, stop: Callable[[], bool] = lambda: False, effort: float = 1.0
    ) -> None:
        self.problem = problem
        self.work = Work(problem)
        self.stop = stop
        self.effort = effort
        self._known: dict[tuple[object, ...], float] = {}
        self._moves: dict[tuple[float, int], SetUps] = {}

    @cached_property
    def ends(self) -> list[int | None]:
        """Return the earliest end of each zone by its own chain; None: it cannot be done."""
        return heads_of(self.work).ends

    @cached_property
    def possible(self) -> frozenset[int]:
        """Return the zones that some valid plan might hold."""
        return frozenset(
            z
            for z, end in enumerate(self.ends)
            if end is not None and z in self.work.zones and z not in self.problem.complete
        )

    @cached_property
    def _most_volume_m3(self) -> float:
        return most_volume_m3(self.work, self.possible)

    def volume_m3(self, scored: Scored) -> float:
        """Return a proven bound on the volume that can be planned [m³]."""
        if self._holds_all(scored):
            return _planned(scored)
        return max(round(self._most_volume_m3, DECIMALS), _planned(scored))

    def is_whole(self, scored: Scored) -> bool:
        """Return whether no plan can hold more than this one."""
        return self.volume_m3(scored) <= _planned(scored) + VOLUME_NOISE

    def _holds_all(self, scored: Scored) -> bool:
        return all(scored.board.is_done(z) for z in self.possible)

    def bound(self, goal: Goal, caps: Mapping[Goal, float], scored: Scored) -> float:
        """Return a bound on a goal over plans of at least this volume that keep the caps."""
        volume = _planned(scored)
        key = (goal, tuple(sorted(caps.items())), volume)
        if key not in self._known:
            self._known[key] = self._work_out(goal, caps, volume, scored)
        return self._known[key]

    def _work_out(
        self, goal: Goal, caps: Mapping[Goal, float], volume: float, scored: Scored
    ) -> float:
        whole = self._holds_all(scored)
        if volume <= VOLUME_NOISE or scored.value(goal) <= 0.0:
            return 0.0
        if goal is Goal.FINISH:
            known = round(scored.value(Goal.FINISH) * HOUR)
            return self.finish_min(volume, known, whole=whole) / HOUR
        if goal is Goal.LATE:
            return self._late_days() if whole else 0.0
        minute = self._last_minute(caps)
        if goal is Goal.RELOCATIONS:
            return float(self._set_ups(volume, minute).fewest(round(CUTS * self.effort)))
        if goal is Goal.COST:
            return (
                least_cost(self.work, self.possible, volume, minute)
                + self._set_ups(volume, minute).least_cost()
                + (least_break_out_cost(self.work, self.possible) if whole else 0.0)
                + (least_resource_cost(self.work, self.possible) if whole else 0.0)
            )
        site = Site(self.work, minute)
        if goal is Goal.JOINTS:
            return float(fewest_joints(self.work, site, self.possible, volume, minute))
        packing = Packing(site, ())
        demand = demand_of(self.work, packing.kinds, self.possible, volume)
        return float(fewest_night_runs(packing, demand, minute))

    def _set_ups(self, volume: float, minute: int) -> SetUps:
        """Return the bounds on set-ups, with the cuts that are known for a finish."""
        key = (volume, minute)
        if key not in self._moves:
            by = None if minute >= self.problem.end else minute
            self._moves[key] = SetUps(self.work, self.possible, volume, by, self.stop)
        return self._moves[key]

    def _last_minute(self, caps: Mapping[Goal, float]) -> int:
        """Return the latest finish that the caps allow [min]."""
        cap = caps.get(Goal.FINISH, math.inf) * HOUR
        return self.problem.end if cap > self.problem.end else math.ceil(round(cap, DECIMALS))

    def finish_min(self, volume_m3: float, known: int, *, whole: bool) -> int:
        """Return a minute before which no plan of at least a volume finishes [min].

        Parameters
        ----------
        known
            Nothing later is asked: a finish that is known, or the end of the campaign [min].
        whole
            Whether the volume takes every zone that any plan could hold.
        """
        low = self.problem.start
        if whole:
            low = max(
                low,
                *(end for z in self.possible if (end := self.ends[z]) is not None),
                finish_after_break_out(self.work, self.possible),
                finish_under_open_limits(self.work, self.possible),
                finish_under_sharing(self.work, self.possible),
            )
        return self._finish(self.possible, volume_m3, low, known)

    def _finish(self, zones: frozenset[int], volume_m3: float, low: int, high: int) -> int:
        if low >= high:
            return low
        effort = round(EFFORT * self.effort)
        return Hunt(self.work, zones, volume_m3, low, high, effort, self.stop).run()

    def _late_days(self) -> float:
        ends = {z: end for z in sorted(self.possible) if (end := self.ends[z]) is not None}

        def finish(zones: frozenset[int], low: int) -> int:
            volume = math.fsum(self.problem.left_volume[z] for z in sorted(zones))
            return self._finish(zones, volume, low, self.problem.end)

        return least_late_days(self.problem.zones, ends, finish)


def _planned(scored: Scored) -> float:
    return round(math.fsum(scored.volumes), DECIMALS)
