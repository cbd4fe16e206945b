"""Bound on the finish: which minutes the packing inequality refutes."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property

from planner.core.spans import Spans
from planner.optimise.bounds.cells import teams_of
from planner.optimise.bounds.chain import Heads, heads_of, latest_ends, trimmed
from planner.optimise.bounds.columns import Horizon, Point
from planner.optimise.bounds.demand import Demand, demand_of
from planner.optimise.bounds.generate import generate
from planner.optimise.bounds.hours import Row, rows_of
from planner.optimise.bounds.packing import Packing
from planner.optimise.bounds.posts import Site
from planner.optimise.bounds.work import Work

NEAR = 0.975
"""Columns are generated where the demand is at least this share of what fits [1]."""
CHAIN_BANDS = 40
"""Bands of a post where chains are followed: tasks differ in when they can be done [1]."""
MANY_WAIT = 4
"""Chains are followed where one zone in so many waits for others [1]."""
MOST_TASKS = 700
"""More tasks than this and chains of zones are not followed [1]."""
MOST_KINDS = 400
"""More kinds than this and no columns are generated: the fluid proposals are close then [1]."""


def is_refuted(work: Work, zones: frozenset[int], volume_m3: float, minute: int) -> bool:
    """Return whether plans of at least a volume are proven not to finish by a minute."""
    site = Site(work, minute)
    packing = Packing(site, rows_of(work, site.teams))
    horizon = Horizon(packing, demand_of(work, packing.kinds, zones, volume_m3), minute)
    point = horizon.fluid()
    return point is not None and horizon.judge(point).refutes


@dataclass
class Hunt:
    """A search for the latest finish that can be refuted.

    Attributes
    ----------
    work, zones, volume_m3
        What has to be done: at least a volume of some zones [m³].
    low
        No plan finishes before this minute [min].
    high
        The finish of a plan that is known, or the end of the campaign [min].
    effort
        How many points may be judged by column generation [1].
    """

    work: Work
    zones: frozenset[int]
    volume_m3: float
    low: int
    high: int
    effort: int
    stop: Callable[[], bool]
    best: Point | None = field(init=False, default=None)

    def run(self) -> int:
        """Return a minute before which no plan finishes [min]."""
        blocks = self._blocks()
        ends = [end for _, end in blocks]
        if self.low < self.high and self._refute(self.low) > 1.0:
            self._between(ends)
            k = bisect_left(ends, self.low)
            if k < len(blocks):
                self._inside(blocks[k][1])
        if len(self.packing.kinds) <= MOST_KINDS:
            self._generate(blocks[bisect_left(ends, self.low) :])
        return min(self.low, self.high)

    @cached_property
    def packing(self) -> Packing:
        """Return the packing of tasks in their own spans."""
        site = Site(self.work, self.high)
        return Packing(site, self.rows)

    @cached_property
    def rows(self) -> tuple[Row, ...]:
        """Return the rows of hours."""
        return rows_of(self.work, teams_of(self.work.problem))

    @cached_property
    def demand(self) -> Demand:
        """Return the demand in the kinds of the packing."""
        return demand_of(self.work, self.packing.kinds, self.zones, self.volume_m3)

    @cached_property
    def chains(self) -> bool:
        """Return whether many zones wait for others, and few enough to follow their chains."""
        waiting = sum(bool(self.work.problem.after[z]) for z in self.zones)
        few = len(self.work.tasks) <= MOST_TASKS
        return few and waiting * MANY_WAIT >= max(1, len(self.zones))

    def _horizon(self, minute: int) -> Horizon | None:
        """Return the question for a minute, in spans cut to chains; None: no chain fits."""
        if not self.chains:
            return Horizon(self.packing, self.demand, minute)
        heads = self._heads
        planned = self.zones if self.demand.is_whole else frozenset[int]()
        ends = latest_ends(self.work, minute, planned)
        if ends is None:
            return None
        spans = trimmed(self.work, heads, ends, minute)
        packing = Packing(Site(self.work, minute, spans=spans), self.rows, CHAIN_BANDS)
        demand = demand_of(self.work, packing.kinds, self.zones, self.volume_m3)
        return Horizon(packing, demand, minute)

    @cached_property
    def _heads(self) -> Heads:
        return heads_of(self.work)

    def _blocks(self) -> list[tuple[int, int]]:
        """Return the stretches in which work is possible: a plan finishes in one of them."""
        pairs = [
            (int(start), int(end))
            for cells in self.packing.site.cells
            for start, end in zip(cells.start, cells.end, strict=True)
        ]
        return list(Spans(pairs).clip(max(0, self.low - 1), self.high))

    def _between(self, ends: list[int]) -> None:
        """Find by halving the first block whose end is not refuted."""
        low, high = bisect_left(ends, self.low), len(ends)
        while low < high and not self.stop():
            middle = (low + high) // 2
            if self._refute(ends[middle]) > 1.0:
                low = middle + 1
            else:
                high = middle

    def _inside(self, end: int) -> None:
        """Close in on the minute within a block; the end is known not to be refuted.

        What fits grows about evenly within a block, so the ratio at both ends tells where to
        look; every other time the stretch is halved.
        """
        above = below = None
        halve = False
        while self.low < end and not self.stop():
            minute = (self.low + end) // 2
            if not halve and above is not None and below is not None:
                share = (above - 1.0) / (above - below)
                minute = min(max(self.low + int(share * (end - self.low)), self.low), end - 1)
            ratio = self._refute(minute)
            if ratio > 1.0:
                above = ratio
            else:
                below, end = ratio, minute
            halve = not halve

    def _refute(self, minute: int) -> float:
        """Return how far the demand by a minute exceeds what fits; above 1 it is refuted."""
        horizon = self._horizon(minute)
        if horizon is None:
            self.low = max(self.low, minute + 1)
            return 2.0
        best = 0.0
        for again in (True, False):
            point = (None if self.chains else self.best) if again else horizon.fluid()
            if point is None:
                continue
            verdict = horizon.judge(point)
            if verdict.refutes:
                self.low, self.best = max(self.low, minute + 1), point
                return max(verdict.ratio, 1.0 + 1e-9)
            best = max(best, min(verdict.ratio, 1.0))
        return best

    def _generate(self, blocks: list[tuple[int, int]]) -> None:
        """Try to refute whole blocks by column generation, then what is left of the next."""
        left = self.effort
        for start, end in blocks:
            self.low = max(self.low, start + 1)
            minute = end
            while self.low <= minute and left > 0 and not self.stop():
                horizon = self._horizon(minute)
                point = None if horizon is None else horizon.fluid()
                if horizon is None or point is None or horizon.judge(point).ratio < NEAR:
                    return
                found = generate(horizon, point, most_steps=left, stop=self.stop)
                left -= found.steps
                if found.ratio > 1.0:
                    self.low, self.best = minute + 1, found.point
                    break
                minute = (self.low + minute) // 2 if self.low + 1 < minute else self.low - 1
            if self.low <= end:
                return
