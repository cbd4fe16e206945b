"""Bound on the finish: which minutes the packing inequality refutes."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable
from dataclasses import dataclass, field

from planner.core.spans import Spans
from planner.optimise.bounds.columns import Horizon, Point
from planner.optimise.bounds.demand import Demand
from planner.optimise.bounds.generate import generate
from planner.optimise.bounds.packing import Packing

NEAR = 0.975
"""Columns are generated where the demand is at least this share of what fits [1]."""
MOST_KINDS = 400
"""More kinds than this and no columns are generated: the fluid proposals are close then [1]."""


@dataclass
class Hunt:
    """A search for the latest finish that can be refuted.

    Attributes
    ----------
    low
        No plan finishes before this minute [min].
    high
        The finish of a plan that is known, or the end of the campaign [min].
    effort
        How many points may be judged by column generation [1].
    """

    packing: Packing
    demand: Demand
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

    def _blocks(self) -> list[tuple[int, int]]:
        """Return the stretches in which work is possible: a plan finishes in one of them."""
        site = self.packing.site
        pairs = [
            (int(start), int(end))
            for cells in site.cells
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
        horizon = Horizon(self.packing, self.demand, minute)
        best = 0.0
        for again in (True, False):
            point = self.best if again else horizon.fluid()
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
                horizon = Horizon(self.packing, self.demand, minute)
                point = horizon.fluid()
                if point is None or horizon.judge(point).ratio < NEAR:
                    return
                found = generate(horizon, point, most_steps=left, stop=self.stop)
                left -= found.steps
                if found.ratio > 1.0:
                    self.low, self.best = minute + 1, found.point
                    break
                minute = (self.low + minute) // 2 if self.low + 1 < minute else self.low - 1
            if self.low <= end:
                return
