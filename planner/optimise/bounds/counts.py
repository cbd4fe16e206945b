"""Bounds on runs by night and on joints."""

from __future__ import annotations

from datetime import timedelta
from math import ceil

import numpy as np
from numpy.typing import NDArray

from planner.core.spans import Spans
from planner.optimise.bounds.columns import Horizon
from planner.optimise.bounds.demand import Demand, least_load
from planner.optimise.bounds.knapsack import most_worth
from planner.optimise.bounds.packing import Packing, Prices
from planner.optimise.bounds.posts import NEVER, Site
from planner.optimise.bounds.ruler import Minutes, Ruler
from planner.optimise.bounds.work import Work
from planner.optimise.problem import HOUR, Problem

NIGHT_FROM_TOD, NIGHT_TO_TOD = 22 * HOUR, 6 * HOUR
"""Between these local times a run is one by night (contract, section 5)."""
SHARE_NOISE = 1e-6


def nights(problem: Problem) -> Spans:
    """Return the nights that touch the campaign."""
    clock = problem.campaign.clock
    days = [clock.first_day - timedelta(days=1), *clock.calendar()]
    return Spans(clock.daily(day, start_tod=NIGHT_FROM_TOD, end_tod=NIGHT_TO_TOD) for day in days)


def fewest_night_runs(packing: Packing, demand: Demand, minute: int) -> int:
    r"""Return the fewest runs that touch a night, of plans that finish by a minute [1].

    Let tasks have worth :math:`v`.  What a rig does in a cell is worth at most :math:`W`, and at
    most :math:`W'` where none of its runs there touches a night: then its work lies in the parts
    of the cell that leave time for start-up and clean-up by day.  With :math:`n` pairs of a rig
    and a cell that have a night run,

    .. math:: \sum v \le \sum W' + \text{the } n \text{ greatest of } W - W'.

    For teams of one crew the same holds with cells in place of pairs.
    """
    horizon = Horizon(packing, demand, minute)
    point = horizon.fluid()
    if point is None:
        return 0
    prices = point.prices()
    by_day = 0
    more: list[int] = []
    for t, cells in enumerate(packing.site.cells):
        here = np.arange(len(cells.before(minute)))
        full = packing.at_posts(t, horizon.shapes[t], prices)[:, horizon.shapes[t].of_cell]
        day = _by_day(packing, t, here, minute, prices)
        if packing.site.teams[t].count == 1:
            whole, part = packing.together(t, full), packing.together(t, day)
        else:
            whole, part = _by_rig(packing, t, full), _by_rig(packing, t, day)
        part = np.minimum(part, whole)
        by_day += int(part.sum())
        more += (whole - part).reshape(-1).tolist()
    return _how_many(demand.needed(prices.worth) - by_day, more)


def _how_many(lacking: int, more: list[int]) -> int:
    """Return how many of the greatest numbers add up to what is lacking."""
    for n, value in enumerate(sorted(more, reverse=True)):
        if lacking <= 0:
            return n
        lacking -= value
    return len(more)


def _by_rig(packing: Packing, t: int, worth: Minutes) -> Minutes:
    """Return the most worth of each rig in each cell, one row after the other."""
    rigs = [packing.site.posts[j].rig for j in packing.of_team[t]]
    rows = [
        worth[[k for k, rig in enumerate(rigs) if rig == r]].max(axis=0)
        for r in dict.fromkeys(rigs)
        if r is not None
    ]
    return np.array(rows, dtype=np.int64).reshape(len(rows), worth.shape[1])


def _by_day(
    packing: Packing, t: int, here: NDArray[np.int64], minute: int, prices: Prices
) -> Minutes:
    """Return the most worth by post and cell of runs that touch no night."""
    problem = packing.site.problem
    dark = nights(problem)
    light = dark.complement(0, problem.end)
    found = np.zeros((len(packing.of_team[t]), len(here)), dtype=np.int64)
    for row, j in enumerate(packing.of_team[t]):
        post = packing.site.posts[j]
        jobs = [problem.rigs[r] for r in packing.site.teams[t].rigs if post.rig in (None, r)]
        usable = light.shrink(
            first=min(job.start_up for job in jobs), last=min(job.clean_up for job in jobs)
        )
        cell, low, high = _parts(post.low[here], np.minimum(post.high[here], minute), usable)
        if len(cell):
            caps, own, _ = packing.bands[j].caps(packing.site.rulers, low, high)
            items = packing.items(j, prices, int(caps.max(initial=0)))
            np.add.at(found[row], cell, most_worth(caps, own, items))
    return found


def _parts(
    low: Minutes, high: Minutes, usable: Spans
) -> tuple[NDArray[np.int64], Minutes, Minutes]:
    """Return the parts of stretches that lie in a set: whose they are, start and end."""
    rows = [
        (k, a, b)
        for k, (start, end) in enumerate(zip(low.tolist(), high.tolist(), strict=True))
        for a, b in usable.clip(start, max(start, end))
    ]
    table = np.array(rows, dtype=np.int64).reshape(-1, 3)
    return table[:, 0], table[:, 1], table[:, 2]


def fewest_joints(
    work: Work, site: Site, zones: frozenset[int], volume_m3: float, minute: int
) -> int:
    """Return the fewest pieces beyond one per layer, of plans that finish by a minute [1].

    A piece is no longer than the longest stretch of the layer's window in any cell, less the zone
    change, so it holds no more than that share of the layer.
    """
    share = _largest_share(work, site, minute)
    loads = []
    for z in sorted(zones):
        pieces = [
            sum(ceil(1.0 / share[i] - SHARE_NOISE) - 1 for i in rows)
            for rows in work.zones[z].values()
            if all(share[i] > 0 for i in rows)
        ]
        loads.append((min(pieces, default=0), work.problem.left_volume[z]))
    return least_load(loads, volume_m3)


def _largest_share(work: Work, site: Site, minute: int) -> NDArray[np.float64]:
    """Return the largest share of each task that one piece can hold; 1 where it is not split."""
    share = np.array([1.0 if task.piece is None else 0.0 for task in work.tasks])
    splits = share == 0.0
    for post in site.posts:
        low, high = np.minimum(post.low, minute), np.minimum(post.high, minute)
        for g in np.unique(site.group[splits & (post.minutes < NEVER)]).tolist():
            start, end = Ruler.hull(site.rulers[g], low, high)
            longest = int((end - start).max(initial=0)) - work.problem.zone_change
            mine = np.flatnonzero(splits & (post.minutes < NEVER) & (site.group == g))
            part = (max(0, longest) + SHARE_NOISE) / post.spell[mine]
            share[mine] = np.maximum(share[mine], np.minimum(1.0, part))
    return share
