"""Column generation: better and better worth for the packing bound, step by step.

Prices are tried between the best ones so far and those of the programme, which damps their
swings.  Each try is judged by the exact inequality, so any step may be the last.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from planner.optimise.bounds.demand import Demand
from planner.optimise.bounds.knapsack import good_choices
from planner.optimise.bounds.master import Column, Duals, Fluid, Rough, Supply
from planner.optimise.bounds.packing import SCALE, Packing, Prices, Shapes
from planner.optimise.bounds.posts import NEVER
from planner.optimise.bounds.ruler import Minutes


@dataclass
class Point:
    """Worth and prices before rounding; what they weigh together does not matter.

    ``bands`` are the prices of each post's rows of capacities, where they are known.
    """

    worth: NDArray[np.float64]
    hours: NDArray[np.float64]
    bands: tuple[NDArray[np.float64], ...] | None = None

    def prices(self) -> Prices:
        """Return the prices in whole parts; the greatest worth takes ``SCALE`` * 1000 of them."""
        top = max(float(self.worth.max(initial=0.0)), 1e-12)
        scale = SCALE * 1000.0 / top
        bands = self.bands
        return Prices(
            np.rint(self.worth * scale).astype(np.int64),
            np.rint(self.hours * scale).astype(np.int64),
            None if bands is None else tuple(np.rint(y * scale).astype(np.int64) for y in bands),
        )

    def towards(self, other: Point, share: float) -> Point:
        """Return the point some way on to another."""
        return Point(
            (1.0 - share) * self.worth + share * other.worth,
            (1.0 - share) * self.hours + share * other.hours,
        )


@dataclass(frozen=True)
class Verdict:
    """What the exact inequality says of prices: demand, what fits, and each post's worth."""

    needed: int
    fits: int
    at_posts: list[Minutes]

    @property
    def ratio(self) -> float:
        """Return the demand over what fits: above 1 and the horizon is refuted."""
        return self.needed / max(1, self.fits)

    @property
    def refutes(self) -> bool:
        """Return whether no plan finishes by the minute."""
        return self.needed > self.fits


class Horizon:
    """The question whether the demand fits into the cells between two minutes.

    Rows of hours hold from the start of the campaign; with a later ``since`` there may be none.
    """

    def __init__(self, packing: Packing, demand: Demand, minute: int, since: int = 0) -> None:
        self.packing = packing
        self.demand = demand
        self.minute = minute
        site = packing.site
        self.shapes: list[Shapes] = []
        for t, cells in enumerate(site.cells):
            here = np.flatnonzero((cells.start < minute) & (cells.end > since))
            self.shapes.append(packing.cut(t, here, minute))
        self.supply = Supply(
            cells=[np.bincount(s.of_cell, minlength=s.count) for s in self.shapes],
            crews=[
                team.count if any(site.posts[j].rig is None for j in packing.of_team[t]) else None
                for t, team in enumerate(site.teams)
            ],
            hours=[row.curve.before(minute) for row in packing.rows],
            pays=packing.pays,
        )

    def judge(self, point: Point) -> Verdict:
        """Return what the exact inequality says of a point."""
        prices = point.prices()
        at_posts = [
            self.packing.at_posts(t, shapes, prices) for t, shapes in enumerate(self.shapes)
        ]
        fits = sum(
            int((self.packing.together(t, worth) * self.supply.cells[t]).sum())
            for t, worth in enumerate(at_posts)
        )
        fits += sum(int(p) * h for p, h in zip(prices.row, self.supply.hours, strict=True))
        return Verdict(self.demand.needed(prices.worth), fits, at_posts)

    @cached_property
    def rough(self) -> Rough:
        """Return the rough kinds."""
        return Rough.of(self.packing.kinds)

    def fluid(self) -> Point | None:
        """Return the proposal of the fluid programme."""
        packing, kinds = self.packing, self.packing.kinds
        programme = Fluid(self.rough, self.demand.rough(kinds), self.supply)
        for t, shapes in enumerate(self.shapes):
            for row, j in enumerate(packing.of_team[t]):
                band = packing.bands[j].of_group[self.rough.group]
                programme.add_post(
                    j,
                    team=t,
                    rig=packing.site.posts[j].rig,
                    rows=packing.bands[j].rows(
                        shapes.caps[row], shapes.own[row], shapes.more[row]
                    ),
                    longest=shapes.own[row].max(axis=1, initial=0),
                    band=np.where(self.rough.minutes[j] < NEVER, band, -1),
                )
        duals = programme.solve()
        if duals is None:
            return None
        worth = np.full(len(kinds), np.inf)
        for t, shapes in enumerate(self.shapes):
            for row, j in enumerate(packing.of_team[t]):
                prices = programme.band_prices(j, len(packing.bands[j].parts)) + float(
                    (duals.hours * packing.pays[j]).sum()
                )
                longest = shapes.own[row].max(axis=1, initial=0)
                band = packing.bands[j].of_group[kinds.group]
                fits = (
                    (band >= 0)
                    & ((kinds.minutes[j] <= longest[band]) | (kinds.piece >= 0))
                    & (kinds.minutes[j] < NEVER)
                )
                worth = np.where(fits, np.minimum(worth, prices[band] * kinds.minutes[j]), worth)
        dear = duals.worth[kinds.rough]
        bands = tuple(programme.row_prices(j) for j in range(len(packing.site.posts)))
        return Point(np.where(np.isfinite(worth), worth, dear), duals.hours, bands)

    def spread(self, duals: Duals) -> Point:
        """Return the point of duals by rough kinds: worth in proportion to minutes."""
        kinds, rough = self.packing.kinds, self.rough
        share = kinds.least / np.maximum(rough.least[kinds.rough], 1.0)
        return Point(duals.worth[kinds.rough] * share, duals.hours)

    def choices(self, at_posts: list[Minutes], point: Point) -> list[Column]:
        """Return good choices of work: the best post of each rig in each shape."""
        found: list[Column] = []
        for t, worth in enumerate(at_posts):
            for row, shapes in self._wanted(t, worth).items():
                found += self._columns(t, row, np.array(shapes), point)
        return found

    def seeds(self, point: Point, at_posts: list[Minutes], most: int) -> list[Column]:
        """Return choices that take turns with the work: a first rough plan of all of it.

        Each cell takes the best that is left, at the post that is worth most to it.
        """
        prices = point.prices()
        left = self.packing.kinds.count.copy()
        found: list[Column] = []
        for t, worth in enumerate(at_posts):
            for s in range(worth.shape[1]):
                for row in self._best_rows(t, worth[:, s]):
                    for _ in range(int(self.supply.cells[t][s])):
                        if not left.any() or len(found) >= most:
                            break
                        found.append(self._seed(t, s, row, prices, left))
        return found

    def _best_rows(self, t: int, worth: Minutes) -> list[int]:
        best: dict[int, int] = {}
        for row, j in enumerate(self.packing.of_team[t]):
            rig = self.packing.site.posts[j].rig
            if rig is not None and worth[row] > 0:
                best[rig] = max(best.get(rig, row), row, key=lambda k: (int(worth[k]), -k))
        return list(best.values())

    def _seed(self, t: int, s: int, row: int, prices: Prices, left: Minutes) -> Column:
        j = self.packing.of_team[t][row]
        caps = self.shapes[t].caps[row][:, [s]]
        items = self.packing.items(j, prices, int(caps.max(initial=0)), left)
        work = good_choices(caps, self.shapes[t].own[row][:, [s]], items)[0]
        for taken in work:
            if taken.share >= 1.0 and left[taken.kind] > 0:
                left[taken.kind] -= 1
        return Column(t, s, self.packing.site.posts[j].rig, j, work)

    def _wanted(self, t: int, worth: Minutes) -> dict[int, list[int]]:
        """Return the shapes in which each post is the best of its rig."""
        by_rig: dict[int | None, list[int]] = {}
        for row, j in enumerate(self.packing.of_team[t]):
            by_rig.setdefault(self.packing.site.posts[j].rig, []).append(row)
        found: dict[int, list[int]] = {}
        for rows in by_rig.values():
            best = np.argmax(worth[rows], axis=0)
            for s in range(worth.shape[1]):
                row = rows[int(best[s])]
                if worth[row, s] > 0:
                    found.setdefault(row, []).append(s)
        return found

    def _columns(self, t: int, row: int, shapes: NDArray[np.int64], point: Point) -> list[Column]:
        j = self.packing.of_team[t][row]
        rig = self.packing.site.posts[j].rig
        caps = self.shapes[t].caps[row][:, shapes]
        own = self.shapes[t].own[row][:, shapes]
        items = self.packing.items(j, point.prices(), int(caps.max(initial=0)))
        return [
            Column(t, s, rig, j, work)
            for s, work in zip(shapes.tolist(), good_choices(caps, own, items), strict=True)
        ]

    def gain(self, column: Column, duals: Duals) -> float:
        """Return by how much a column is worth more than its cell to the programme."""
        each = float((duals.hours * self.packing.pays[column.post]).sum())
        rough = self.packing.kinds.rough
        worth = sum(duals.worth[rough[x.kind]] * x.share - each * x.minutes for x in column.work)
        return float(worth - duals.value(column.team, column.shape, column.rig))
