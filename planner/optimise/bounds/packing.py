r"""Bound on the finish from packing: layers into the cells of crews and rigs.

Give every task :math:`l` a worth :math:`v_l \ge 0`, and every row of hours :math:`\rho` (a team's
duties and weeks, a rig's hours) a price :math:`\mu_\rho \ge 0` per minute.  A plan that finishes
by :math:`T` does every task in cells before :math:`T`, so

.. math::
   \sum_l v_l \le \sum_k W_k(v, \mu; T) + \sum_\rho \mu_\rho C_\rho(T),

where :math:`W_k` is the most worth, less the price of its minutes, that crews and rigs can do in
cell :math:`k` cut at :math:`T`: a knapsack over minutes with nested capacities at every post.
The least :math:`T` that satisfies it is a bound, whatever made :math:`v` and :math:`\mu`.
"""

from __future__ import annotations

from copy import copy
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from planner.optimise.bounds.bands import MOST_BANDS, Bands, bands_of
from planner.optimise.bounds.hours import Row
from planner.optimise.bounds.kinds import Kinds, kinds_of
from planner.optimise.bounds.knapsack import Item, most_worth
from planner.optimise.bounds.offers import offers
from planner.optimise.bounds.posts import NEVER, Site
from planner.optimise.bounds.ruler import Minutes

SCALE = 1 << 16
"""Worth is counted in this many parts of a minute."""


@dataclass(frozen=True)
class Prices:
    """Worth of each kind and prices of minutes, in whole parts of a minute.

    Attributes
    ----------
    worth
        Worth of each kind.
    row
        Price per minute of each row of hours.
    bands
        Given: price per minute of each row of capacities, by post.
    """

    worth: Minutes
    row: Minutes
    bands: tuple[Minutes, ...] | None = None


@dataclass(frozen=True)
class Shapes:
    """Cells of a team that are the same at every post: one of each, and which cell is which.

    ``caps``, ``own`` and ``more`` hold one entry for each post of the team.
    """

    caps: tuple[Minutes, ...]
    own: tuple[Minutes, ...]
    more: tuple[Minutes, ...]
    of_cell: NDArray[np.int64]

    @property
    def count(self) -> int:
        """Return how many different ones there are [1]."""
        return int(self.of_cell.max(initial=-1)) + 1


class Packing:
    """The packing relaxation of a site.

    Parameters
    ----------
    rows
        Rows of hours.
    most_bands
        Most bands of a post [1].
    """

    def __init__(self, site: Site, rows: tuple[Row, ...], most_bands: int = MOST_BANDS) -> None:
        self.site = site
        self.rows = rows
        self.kinds: Kinds = kinds_of(site)
        self.bands: list[Bands] = [bands_of(site, post, most_bands) for post in site.posts]
        self.of_team = [
            [j for j, post in enumerate(site.posts) if post.team == t]
            for t in range(len(site.teams))
        ]
        self.pays = np.array(
            [[self._pays(j, row) for row in rows] for j in range(len(site.posts))]
        )

    def without_hours(self) -> Packing:
        """Return the same packing without rows of hours."""
        plain = copy(self)
        plain.rows = ()
        plain.pays = self.pays[:, :0]
        return plain

    def _pays(self, j: int, row: Row) -> bool:
        """Return whether every minute at a post is a minute of a row of hours."""
        post = self.site.posts[j]
        rigs = set(self.site.teams[post.team].rigs) if post.rig is None else {post.rig}
        return post.team in row.teams and rigs <= row.rigs

    @cached_property
    def shapes(self) -> tuple[Shapes, ...]:
        """Return the different cells of each team."""
        return tuple(
            self.cut(t, np.arange(len(cells)), self.site.until)
            for t, cells in enumerate(self.site.cells)
        )

    def cut(self, t: int, cells: NDArray[np.int64], until: int) -> Shapes:
        """Return the different shapes of some cells of a team, cut at a minute."""
        caps, own, more = [], [], []
        for j in self.of_team[t]:
            post = self.site.posts[j]
            low = np.minimum(post.low[cells], until)
            high = np.minimum(post.high[cells], until)
            cap, alone, further = self.bands[j].caps(self.site.rulers, low, high)
            caps.append(cap)
            own.append(alone)
            more.append(further)
        key = (
            np.vstack([*caps, *own, *more]) if caps else np.zeros((1, len(cells)), dtype=np.int64)
        )
        _, first, of_cell = np.unique(key, axis=1, return_index=True, return_inverse=True)
        return Shapes(
            tuple(cap[:, first] for cap in caps),
            tuple(alone[:, first] for alone in own),
            tuple(further[:, first] for further in more),
            of_cell.reshape(-1).astype(np.int64),
        )

    def each(self, j: int, prices: Prices) -> int:
        """Return the price of a minute at a post, in parts of a minute."""
        return int((prices.row * self.pays[j]).sum()) if len(self.rows) else 0

    def items(
        self, j: int, prices: Prices, longest: int, count: Minutes | None = None
    ) -> list[Item]:
        """Return what post ``j`` offers to cells of at most ``longest`` minutes."""
        return offers(
            self.kinds,
            self.bands[j],
            j,
            prices.worth,
            count=self.kinds.count if count is None else count,
            each=self.each(j, prices),
            change=self.site.problem.zone_change,
            longest=longest,
        )

    def at_posts(self, t: int, shapes: Shapes, prices: Prices) -> Minutes:
        """Return the most worth by post of the team and shape.

        The knapsack's, or the price of the capacities where that is less.
        """
        found = np.zeros((len(self.of_team[t]), shapes.count), dtype=np.int64)
        for row, j in enumerate(self.of_team[t]):
            caps = shapes.caps[row]
            longest = int(caps.max(initial=0))
            if longest:
                found[row] = most_worth(caps, shapes.own[row], self.items(j, prices, longest))
                if prices.bands is not None:
                    priced = self._priced(j, row, shapes, prices, prices.bands[j])
                    found[row] = np.minimum(found[row], priced)
        return found

    def _priced(self, j: int, row: int, shapes: Shapes, prices: Prices, bands: Minutes) -> Minutes:
        r"""Return what the capacities of a post cost in each shape, dear enough for all worth.

        With prices :math:`y` of the rows of capacities, work of any task is worth at most its
        minutes times the price of a minute of its band; where it is worth more, its band alone is
        made dearer by what lacks.  Then all worth in a cell is at most :math:`\sum y C`.
        """
        rows = self.bands[j].rows(shapes.caps[row], shapes.own[row], shapes.more[row])
        number = len(self.bands[j].parts)
        price = np.full(number, self.each(j, prices), dtype=np.int64)
        for (mine, _), y in zip(rows, bands.tolist(), strict=True):
            price[sorted(mine)] += y
        band = self.bands[j].of_group[self.kinds.group]
        minutes = self.kinds.minutes[j]
        longest = shapes.own[row].max(axis=1, initial=0)
        here = np.flatnonzero((band >= 0) & (minutes < NEVER))
        here = here[(minutes[here] <= longest[band[here]]) | (self.kinds.piece[here] >= 0)]
        lacks = -((minutes[here] * price[band[here]] - prices.worth[here]) // minutes[here])
        dearer = np.zeros(number, dtype=np.int64)
        np.maximum.at(dearer, band[here], lacks)
        total: Minutes = dearer @ shapes.own[row]
        for (_, capacity), y in zip(rows, bands.tolist(), strict=True):
            total = total + y * capacity
        return total

    def in_cells(self, t: int, shapes: Shapes, prices: Prices) -> Minutes:
        """Return the most that a team can be worth in each shape of cell."""
        return self.together(t, self.at_posts(t, shapes, prices))

    def together(self, t: int, worth: Minutes) -> Minutes:
        """Return the most worth of a team's crews and rigs from the most worth of its posts.

        What each rig does from one position or several is worth at most the best of its posts;
        no more rigs than crews are counted that way, and the other crews change rigs within the
        cell.
        """
        team = self.site.teams[t]
        posts = [self.site.posts[j] for j in self.of_team[t]]
        best = [
            np.max(worth[[k for k, post in enumerate(posts) if post.rig == r]], axis=0)
            for r in dict.fromkeys(post.rig for post in posts if post.rig is not None)
        ]
        several = [k for k, post in enumerate(posts) if post.rig is None]
        if not best:
            return np.zeros(worth.shape[1], dtype=np.int64)
        falling = -np.sort(-np.array(best), axis=0)
        if not several:
            total: Minutes = falling.sum(axis=0)
            return total
        mixed = worth[several].max(axis=0)
        most = np.zeros(worth.shape[1], dtype=np.int64)
        for n in range(team.count + 1):
            alone = falling[: team.count - n].sum(axis=0)
            most = np.maximum(most, n * mixed + alone)
        return most

    def before(self, minute: int, prices: Prices) -> int:
        """Return the right side of the inequality for a finish by a minute, exactly."""
        total = self.hours(minute, prices)
        for t, cells in enumerate(self.site.cells):
            here = cells.before(minute)
            cut = np.flatnonzero(here.end > minute)
            done = np.flatnonzero(here.end <= minute)
            values = self.in_cells(t, self.shapes[t], prices)
            total += int(values[self.shapes[t].of_cell[done]].sum())
            if len(cut):
                shapes = self.cut(t, cut, minute)
                total += int(self.in_cells(t, shapes, prices)[shapes.of_cell].sum())
        return total

    def hours(self, minute: int, prices: Prices) -> int:
        """Return what the rows of hours add before a minute."""
        return sum(
            int(price) * row.curve.before(minute)
            for price, row in zip(prices.row, self.rows, strict=True)
            if price
        )
