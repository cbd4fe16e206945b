"""What a position offers a rig in the next tides: the measure of a roaming rig.

For the zones a rig could work from a position, open minutes in the look-ahead are nested round
low water, so work is counted up to what fits: zones with few open minutes first, the sum never
more than the minutes of the widest so far.  Work of zones whose windows are scarce over the
whole campaign counts more.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from planner.core.spans import Spans
from planner.optimise.board import Board
from planner.optimise.guide import Guide
from planner.optimise.problem import Problem, Way
from planner.optimise.runs import live_ways

STEP = 360
"""Look-ahead starts are rounded down to a quarter of a day, so that they can be remembered."""

BEGUN_TIMES = 3.0
"""How much more the rest of a zone that is begun counts."""


@dataclass
class Prospect:
    """Values of positions for one decoding pass."""

    problem: Problem
    guide: Guide
    weight: list[float] = field(init=False)
    _open: dict[tuple[Spans, int], int] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        minutes = self.problem.open_minutes
        most = max([1, *minutes])
        scarce = self.guide.weights.scarce
        self.weight = [1.0 + scarce * (1.0 - count / most) ** 2 for count in minutes]

    def value(self, board: Board, r: int, p: int, minute: int) -> float:
        """Return the weighted minutes of work a rig would find at a position."""
        look = self.guide.weights.look
        step = minute // STEP
        rows = []
        for m in self.problem.rigs[r].mixes:
            for way in live_ways(board, self.guide, (r, p, m)):
                if board.zones[way.zone].mix not in (-1, m):
                    continue
                opened = self._open_minutes(self.problem.jobs[way.zone][m].mid, step, look)
                if opened >= self.problem.spell_min and board.earliest(way.zone, m) is not None:
                    begun = BEGUN_TIMES if board.work_begun(way.zone) else 1.0
                    rows.append((opened, self._need(board, way), begun * self.weight[way.zone]))
        rows.sort()
        total = load = 0.0
        for opened, need, weight in rows:
            more = min(float(need), opened - load)
            if more > 0:
                load += more
                total += more * weight
        return total

    def _need(self, board: Board, way: Way) -> int:
        layer = board.zones[way.zone].layer
        rest = way.minutes[layer:]
        return sum(rest) + self.problem.zone_change * len(rest)

    def _open_minutes(self, spans: Spans, step: int, look: int) -> int:
        key = (spans, step)
        if key not in self._open:
            start = step * STEP
            self._open[key] = spans.minutes_before(start + look) - spans.minutes_before(start)
        return self._open[key]
