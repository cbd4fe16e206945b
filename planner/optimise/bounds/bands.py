"""Nested capacities of a post: what its zones' windows leave of each cell."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.optimise.bounds.posts import NEVER, Post, Site
from planner.optimise.bounds.ruler import Minutes, Ruler

MOST_BANDS = 16
"""Bands of a post, unless more are asked for [1]."""


@dataclass(frozen=True)
class Bands:
    """Bands of a post, narrow windows first.

    Attributes
    ----------
    parts
        Groups of tasks of each band.
    of_group
        Band of each group of tasks; -1 where none of the group can be done here.
    orders
        Further orders of the bands: those that open last first, those that close first.
    loss
        Minutes lost between runs [min].
    """

    parts: tuple[tuple[int, ...], ...]
    of_group: NDArray[np.int64]
    orders: tuple[tuple[int, ...], ...]
    loss: int

    def caps(
        self, rulers: tuple[Ruler, ...], low: Minutes, high: Minutes
    ) -> tuple[Minutes, Minutes, Minutes]:
        r"""Return the most minutes of all bands up to each one, in stretches of a cell.

        First in the order of the bands, then of each band alone, then in the further orders, one
        below the other.  Work of some bands in a stretch lies in the hull of their windows there,
        and what one rig or one crew does one after the other cannot exceed the hull's length,
        less what is lost between its runs.  This holds for any grouping and any order; narrow
        windows come first because windows round low water are nested.
        """
        number = len(self.parts)
        start = np.full((number, len(low)), NEVER)
        end = np.full((number, len(low)), -NEVER)
        for b, part in enumerate(self.parts):
            for g in part:
                first, last = rulers[g].hull(low, high)
                here = first < last
                start[b] = np.where(here, np.minimum(start[b], first), start[b])
                end[b] = np.where(here, np.maximum(end[b], last), end[b])
        own = np.maximum(0, end - start)
        chains = [
            np.maximum.accumulate(end[list(order)]) - np.minimum.accumulate(start[list(order)])
            for order in (tuple(range(number)), *self.orders)
        ]
        chain, *more = [np.maximum(0, rows) for rows in chains]
        further = np.concatenate([*more, own[:0]])
        if self.loss and number:
            most = np.maximum(0, chain[-1] - self.loss)
            return np.minimum(chain, most), np.minimum(own, most), np.minimum(further, most)
        return chain, own, further

    def rows(self, caps: Minutes, own: Minutes, more: Minutes) -> list[tuple[set[int], Minutes]]:
        """Return the bands of each different row of capacities, and its minutes by cell."""
        number = len(self.parts)
        found = [(set(range(b + 1)), caps[b]) for b in range(number)]
        found += [({b}, own[b]) for b in range(1, number)]
        for k, order in enumerate(self.orders):
            for b in range(1, number - 1):
                found.append((set(order[: b + 1]), more[k * number + b]))
        return found


def bands_of(site: Site, post: Post, most: int = MOST_BANDS) -> Bands:
    """Return the bands of a post: groups of tasks with nearly the same windows."""
    groups = sorted({int(g) for g in site.group[post.minutes < NEVER]})
    parts = [[g] for g in groups]
    hulls = [site.rulers[g].hull(post.low, post.high) for g in groups]
    start = np.array([np.where(a < b, a, NEVER) for a, b in hulls]).reshape(len(parts), -1)
    end = np.array([np.where(a < b, b, -NEVER) for a, b in hulls]).reshape(len(parts), -1)
    while len(parts) > most:
        a, b = _nearest(start, end)
        parts[a] += parts.pop(b)
        start[a], end[a] = np.minimum(start[a], start[b]), np.maximum(end[a], end[b])
        start, end = np.delete(start, b, axis=0), np.delete(end, b, axis=0)
    size = np.maximum(0, end - start).sum(axis=1)
    order = sorted(range(len(parts)), key=lambda k: (int(size[k]), parts[k]))
    parts, start, end = [parts[k] for k in order], start[order], end[order]
    of_group = np.full(len(site.groups), -1, dtype=np.int64)
    for k, part in enumerate(parts):
        of_group[part] = k
    return Bands(
        tuple(tuple(sorted(part)) for part in parts), of_group, _orders(start, end), post.loss
    )


def _orders(start: Minutes, end: Minutes) -> tuple[tuple[int, ...], ...]:
    """Return the bands that open last first, and those that close first, where these differ."""
    if not start.size:
        return ()
    plain = tuple(range(len(start)))
    opens, closes = start.min(axis=1), end.max(axis=1)
    found = (
        tuple(sorted(plain, key=lambda k: (-int(opens[k]), k))),
        tuple(sorted(plain, key=lambda k: (int(closes[k]), k))),
    )
    spread = (opens.min() < opens.max(), closes.min() < closes.max())
    return tuple(order for order, differs in zip(found, spread, strict=True) if differs)


def _nearest(start: Minutes, end: Minutes) -> tuple[int, int]:
    """Return two bands whose windows grow least when they are put together, the first earlier.

    Only neighbours are looked at: in size, in when they open, in when they close.  Without cells
    all grow alike.
    """
    size = np.maximum(0, end - start).sum(axis=1)
    opens, closes = start.min(axis=1, initial=NEVER), end.max(axis=1, initial=-NEVER)
    one: list[int] = []
    other: list[int] = []
    for key in (size, opens, closes):
        order = np.lexsort((np.arange(len(size)), size, key))
        one += order[:-1].tolist()
        other += order[1:].tolist()
    together = np.maximum(end[one], end[other]) - np.minimum(start[one], start[other])
    grown = 2 * np.maximum(0, together).sum(axis=1) - size[one] - size[other]
    best = int(np.argmin(grown))
    return min(one[best], other[best]), max(one[best], other[best])
