"""All bounds in one place: for a goal, the caps on the goals before it, and a volume."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from functools import cached_property

from planner.core.rounding import DECIMALS
from planner.model.identifiers import Goal
from planner.optimise.bounds.chain import earliest_ends
from planner.optimise.bounds.demand import demand_of
from planner.optimise.bounds.finish import Hunt
from planner.optimise.bounds.hours import rows_of
from planner.optimise.bounds.packing import Packing
from planner.optimise.bounds.posts import Site
from planner.optimise.bounds.set_ups import fewest_relocations, least_moving_cost
from planner.optimise.bounds.spend import least_cost
from planner.optimise.bounds.work import Work
from planner.optimise.problem import DAY, HOUR, Problem
from planner.optimise.score import Scored

VOLUME_NOISE = 1e-6
EFFORT = 40


class Claims:
    """Bounds of one problem, each worked out once per question."""

    def __init__(self, problem: Problem, stop: Callable[[], bool] = lambda: False) -> None:
        self.problem = problem
        self.stop = stop
        self.work = Work(problem)
        self._known: dict[tuple[object, ...], float] = {}

    @cached_property
    def ends(self) -> list[int | None]:
        """Return the earliest end of each zone by its own chain; None: it cannot be done."""
        return earliest_ends(self.work)

    @cached_property
    def possible(self) -> frozenset[int]:
        """Return the zones that some valid plan might hold."""
        return frozenset(
            z
            for z, end in enumerate(self.ends)
            if end is not None and z in self.work.zones and z not in self.problem.complete
        )

    def volume_m3(self, scored: Scored) -> float:
        """Return a proven bound on the volume that can be planned [m³]."""
        volumes = [self.problem.left_volume[z] for z in sorted(self.possible)]
        return max(round(math.fsum(volumes), DECIMALS), _planned(scored))

    def is_whole(self, scored: Scored) -> bool:
        """Return whether a plan holds every zone that any plan could hold."""
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
        whole = self.is_whole(scored)
        if goal is Goal.FINISH:
            known = round(scored.value(Goal.FINISH) * HOUR)
            return self.finish_min(volume, known, whole=whole) / HOUR
        if goal is Goal.RELOCATIONS:
            return float(fewest_relocations(self.work, self.possible, volume))
        if goal is Goal.COST:
            minute = round(caps.get(Goal.FINISH, self.problem.end / HOUR) * HOUR)
            return least_cost(
                self.work, self.possible, volume, min(minute, self.problem.end)
            ) + least_moving_cost(self.work, self.possible, volume)
        if goal is Goal.LATE and whole:
            return self._late_days()
        return 0.0

    def finish_min(self, volume_m3: float, known: int, *, whole: bool) -> int:
        """Return a minute before which no plan of at least a volume finishes [min].

        Parameters
        ----------
        known
            Nothing later is asked: a finish that is known, or the end of the campaign [min].
        whole
            Whether the volume takes every zone that any plan could hold.
        """
        if volume_m3 <= VOLUME_NOISE:
            return 0
        ends = [self.ends[z] for z in self.possible] if whole else []
        low = max([self.problem.start, *(end for end in ends if end is not None)])
        if low >= known:
            return low
        site = Site(self.work, known)
        packing = Packing(site, rows_of(self.work, site.teams))
        demand = demand_of(self.work, packing.kinds, self.possible, volume_m3)
        return Hunt(packing, demand, low, known, EFFORT, self.stop).run()

    def _late_days(self) -> float:
        late = 0
        for z in self.possible:
            due, end = self.problem.zones[z].due_min, self.ends[z]
            if due is not None and end is not None:
                late += max(0, end - due)
        return late / DAY


def _planned(scored: Scored) -> float:
    return round(math.fsum(scored.volumes), DECIMALS)
