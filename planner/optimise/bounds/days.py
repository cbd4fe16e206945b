"""The fewest civil days on site: from the first activity to the last."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from planner.optimise.bounds.columns import Horizon, Point
from planner.optimise.bounds.demand import Demand
from planner.optimise.bounds.packing import Packing
from planner.optimise.problem import Problem

ROUNDS = 3


@dataclass(frozen=True)
class Stretch:
    """Civil days with work on zones, first and last, and days on site before them too."""

    first: int
    last: int
    days: int


def fewest_days(packing: Packing, demand: Demand, minute: int) -> int:
    r"""Return the fewest civil days from the first activity to the last, both counted [d].

    With worth :math:`v` of tasks and the most worth :math:`W_k` of each cell, days :math:`a` to
    :math:`b` hold all work on zones only if :math:`\sum v \le \sum_{k} W_k` over the cells that
    touch them.  For each first day the least last day is found, and the least of all is taken;
    test panels come before (:func:`lead_days`).  Proposals are made for the whole time first,
    then for the stretch found.  The packing has no rows of hours: those hold from the start of
    the campaign only.
    """
    if packing.rows:
        msg = "days are counted without rows of hours"
        raise ValueError(msg)
    clock = packing.site.problem.campaign.clock
    dates = clock.calendar()
    best, since, until = 0, 0, minute
    for _ in range(ROUNDS):
        point = Horizon(packing, demand, until, since).fluid()
        stretch = None if point is None else _shortest(packing, demand, minute, point)
        if stretch is None:
            break
        best = max(best, stretch.days)
        since = clock.day_start(dates[stretch.first])
        until = min(minute, clock.day_end(dates[stretch.last]))
    return best


def lead_days(problem: Problem, day: int, latest: int) -> int:
    """Return how many days before a first day of work on zones a panel was made at least.

    Rule 12: the first spell comes ``panel_days`` after a panel's end; its zone change, which may
    lie in those, begins on that day no later than ``latest``.
    """
    if not problem.panel_wait:
        return 0
    end = latest + problem.zone_change - problem.panel_wait
    return max(0, day - problem.campaign.clock.day_index(max(0, end - 1)))


def _shortest(packing: Packing, demand: Demand, minute: int, point: Point) -> Stretch | None:
    """Return the shortest stretch of days that the inequality allows with some worth."""
    problem = packing.site.problem
    clock = problem.campaign.clock
    prices = point.prices()
    midnights = [*(clock.day_start(date) for date in clock.calendar()), clock.horizon_min]
    begun = np.zeros(clock.days + 1, dtype=np.int64)
    over = np.zeros(clock.days + 2, dtype=np.int64)
    latest: dict[int, int] = {}
    for t, cells in enumerate(packing.site.cells):
        here = np.arange(len(cells.before(minute)))
        shapes = packing.cut(t, here, minute)
        values = packing.in_cells(t, shapes, prices)[shapes.of_cell]
        ends = np.minimum(cells.end[here], minute)
        for low, high, value in zip(
            cells.start[here].tolist(), ends.tolist(), values.tolist(), strict=True
        ):
            first, last = clock.day_index(low), clock.day_index(high - 1)
            begun[first] += value
            over[last + 1] += value
            for day in range(first, last + 1):
                latest[day] = max(latest.get(day, 0), min(high, midnights[day + 1]))
    begun, over = np.cumsum(begun), np.cumsum(over)
    needed = demand.needed(prices.worth)
    found: Stretch | None = None
    for day in sorted(latest):
        last = int(np.searchsorted(begun, needed + over[day]))
        if last >= clock.days:
            break
        last = max(day, last)
        days = last - day + 1 + lead_days(problem, day, latest[day])
        if found is None or days < found.days:
            found = Stretch(day, last, days)
    return found
