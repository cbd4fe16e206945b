"""When something is closed, worked out only near the row that asks."""

from __future__ import annotations

from collections import defaultdict
from datetime import timedelta
from functools import lru_cache

from planner.core.clock import MINUTES_PER_DAY, Clock
from planner.model.campaign import Campaign
from planner.model.limits import Closure, ClosureScope

Closed = tuple[int, int, str]
_BLOCK_MIN = 28 * MINUTES_PER_DAY  # memory against repeated work; any length gives the same


def _daily(closure: Closure, clock: Clock, start_min: int, end_min: int) -> list[Closed]:
    """Return the daily stretches of a closure that touch ``[start_min, end_min)``.

    A stretch belongs to the day on which it starts, and is cut at the closure's own ends.
    """
    start_tod = closure.start_tod or 0
    end_tod = MINUTES_PER_DAY if closure.end_tod is None else closure.end_tod
    day = clock.day(start_min) - timedelta(days=1)
    last = clock.day(end_min)
    found: list[Closed] = []
    while day <= last:
        if closure.weekdays is None or day.weekday() in closure.weekdays:
            start, end = clock.daily(day, start_tod=start_tod, end_tod=end_tod)
            start, end = max(start, closure.from_min), min(end, closure.to_min)
            if start < end and start < end_min and end > start_min:
                found.append((start, end, closure.why))
        day += timedelta(days=1)
    return found


def stretches(closure: Closure, clock: Clock, start_min: int, end_min: int) -> list[Closed]:
    """Return the closed stretches of one closure that touch ``[start_min, end_min)``."""
    low, high = max(start_min, closure.from_min), min(end_min, closure.to_min)
    if low >= high:
        return []
    if closure.weekdays is None and closure.start_tod is None and closure.end_tod is None:
        return [(closure.from_min, closure.to_min, closure.why)]
    return _daily(closure, clock, low, high)


class Closures:
    """The closures of a campaign, by what they hold for.

    Parameters
    ----------
    campaign
        Campaign whose closures are worked out.
    """

    def __init__(self, campaign: Campaign) -> None:
        self._clock = campaign.clock
        self._by_target: dict[tuple[ClosureScope, str], list[Closure]] = defaultdict(list)
        for closure in campaign.closures:
            target = "" if closure.scope is ClosureScope.SITE else closure.target
            self._by_target[closure.scope, target].append(closure)
        self._block = lru_cache(maxsize=4096)(self._work_out_block)

    def _work_out_block(self, scope: ClosureScope, target: str, block: int) -> list[Closed]:
        start = block * _BLOCK_MIN
        return [
            closed
            for closure in self._by_target[scope, target]
            for closed in stretches(closure, self._clock, start, start + _BLOCK_MIN)
        ]

    def near(self, scope: ClosureScope, target: str, start_min: int, end_min: int) -> list[Closed]:
        """Return what is closed and touches ``[start_min, end_min)``, with its reason.

        A stretch may come twice, and in any order.
        """
        if (scope, target) not in self._by_target:
            return []
        first, last = start_min // _BLOCK_MIN, (end_min - 1) // _BLOCK_MIN
        return [
            closed
            for block in range(first, last + 1)
            for closed in self._block(scope, target, block)
            if closed[0] < end_min and closed[1] > start_min
        ]

    def touching(
        self, scope: ClosureScope, target: str, start_min: int, end_min: int
    ) -> tuple[int, str]:
        """Return how many minutes of a stretch are closed, and the reason first met [min]."""
        found = sorted(self.near(scope, target, start_min, end_min))
        closed, at = 0, start_min
        for low, high, _ in found:
            common = min(high, end_min) - max(low, at)
            if common > 0:
                closed += common
                at = min(high, end_min)
        return closed, next((why for _, _, why in found if why), "")
