"""The fewest civil days on site: from the first activity to the last."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from planner.optimise.bounds.columns import Horizon, Point
from planner.optimise.bounds.demand import Demand
from planner.optimise.bounds.packing import Packing
from planner.optimise.problem import HOUR, Problem

ROUNDS = 3


@dataclass(frozen=True)
class Stretch:
    """Civil days with work on zones, first and last, and days on site before them too."""

    first: int
    last: int
    days: int


def fewest_days(packing: Packing, demand: Demand, minute: int, lead: int) -> int:
    r"""Return the fewest civil days from the first activity to the last, both counted [d].

    With worth :math:`v` of tasks and the most worth :math:`W_k` of each cell, days :math:`a` to
    :math:`b` hold all work on zones only if :math:`\sum v \le \sum_{k} W_k` over the cells that
    touch them.  For each first day the least last day is found, and the least of all is taken.
    Proposals are made for the whole time first, then for the stretch found.  The packing has no
    rows of hours: those hold from the start of the campaign only.

    Parameters
    ----------
    lead
        How long before the first spell something else has to happen (:func:`lead_minutes`) [min].
    """
    if packing.rows:
        msg = "days are counted without rows of hours"
        raise ValueError(msg)
    clock = packing.site.problem.campaign.clock
    dates = clock.calendar()
    best, since, until = 0, 0, minute
    for _ in range(ROUNDS):
        point = Horizon(packing, demand, until, since).fluid()
        stretch = None if point is None else _shortest(packing, demand, minute, point, lead)
        if stretch is None:
            break
        best = max(best, stretch.days)
        since = clock.day_start(dates[stretch.first])
        until = min(minute, clock.day_end(dates[stretch.last]))
    return best


def lead_minutes(problem: Problem, zones: frozenset[int]) -> int:
    """Return how long before the first spell of any zone some other activity begins [min].

    Rule 12: ``panel_days`` after a test panel.  Rule 13: the time to prepare after break-out, of
    which no zone can have less than its own minutes by all crews at once.
    """
    lead = 0 if problem.panelled else problem.panel_wait
    rate = sum(crew.crew.rate_m3_h or 0.0 for crew in problem.crews if not crew.sprays)
    if problem.breaks_out and rate > 0 and not any(problem.broken_out[z] for z in zones):
        least = min((problem.full_volume[z] for z in zones), default=0.0)
        lead = max(lead, problem.prepare + int(HOUR * least / rate))
    return lead


def _lead_days(problem: Problem, day: int, latest: int, lead: int) -> int:
    """Return how many civil days before a first day of work on zones activity began at least.

    The first zone change begins no later than ``latest`` on that day; the spell comes after it.
    """
    if not lead:
        return 0
    begun = latest + problem.zone_change - lead
    return max(0, day - problem.campaign.clock.day_index(max(0, begun - 1)))


def _shortest(
    packing: Packing, demand: Demand, minute: int, point: Point, lead: int
) -> Stretch | None:
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
        days = last - day + 1 + _lead_days(problem, day, latest[day], lead)
        if found is None or days < found.days:
            found = Stretch(day, last, days)
    return found
