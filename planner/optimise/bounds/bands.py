"""Nested capacities of a post: what its zones' windows leave of each cell."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.optimise.bounds.posts import NEVER, Post, Site
from planner.optimise.bounds.ruler import Minutes, Ruler

MOST_BANDS = 10

Hull = tuple[Minutes, Minutes]


@dataclass(frozen=True)
class Bands:
    """Bands of a post, narrow windows first.

    Attributes
    ----------
    parts
        Groups of tasks of each band.
    of_group
        Band of each group of tasks; -1 where none of the group can be done here.
    loss
        Minutes lost between runs [min].
    """

    parts: tuple[tuple[int, ...], ...]
    of_group: NDArray[np.int64]
    loss: int

    def caps(
        self, rulers: tuple[Ruler, ...], low: Minutes, high: Minutes
    ) -> tuple[Minutes, Minutes]:
        r"""Return the most minutes of all bands up to each one, and of each alone, in stretches.

        Work of the bands :math:`1 \dots b` in a stretch lies in the hull of their windows there,
        and what one rig or one crew does one after the other cannot exceed the hull's length,
        less what is lost between its runs.  This holds for any grouping and any order; narrow
        windows come first because windows round low water are nested.
        """
        caps = np.zeros((len(self.parts), len(low)), dtype=np.int64)
        own = caps.copy()
        first, last = np.full(len(low), NEVER), np.full(len(low), -NEVER)
        for b, part in enumerate(self.parts):
            hulls = [rulers[g].hull(low, high) for g in part]
            start = np.min([np.where(s < e, s, NEVER) for s, e in hulls], axis=0)
            end = np.max([np.where(s < e, e, -NEVER) for s, e in hulls], axis=0)
            own[b] = np.maximum(0, end - start)
            first, last = np.minimum(first, start), np.maximum(last, end)
            caps[b] = np.maximum(0, last - first)
        if self.loss and len(caps):
            most = np.maximum(0, caps[-1] - self.loss)
            return np.minimum(caps, most), np.minimum(own, most)
        return caps, own


def bands_of(site: Site, post: Post) -> Bands:
    """Return the bands of a post: groups of tasks with nearly the same windows."""
    groups = sorted({int(g) for g in site.group[post.minutes < NEVER]})
    parts = [[g] for g in groups]
    hulls = [site.rulers[g].hull(post.low, post.high) for g in groups]
    while len(parts) > MOST_BANDS:
        a, b = _nearest(hulls)
        parts[a] += parts.pop(b)
        hulls[a] = _around(hulls[a], hulls.pop(b))
    sizes = [int((end - start).sum()) for start, end in hulls]
    parts = [parts[k] for k in sorted(range(len(parts)), key=lambda k: (sizes[k], parts[k]))]
    of_group = np.full(len(site.groups), -1, dtype=np.int64)
    for k, part in enumerate(parts):
        of_group[part] = k
    return Bands(tuple(tuple(sorted(part)) for part in parts), of_group, post.loss)


def _nearest(hulls: list[Hull]) -> tuple[int, int]:
    """Return the two whose windows grow least when they are put together."""
    sizes = [int((end - start).sum()) for start, end in hulls]
    best = None
    for a in range(len(hulls)):
        for b in range(a + 1, len(hulls)):
            if best is not None and abs(sizes[a] - sizes[b]) >= best[0]:
                continue
            start, end = _around(hulls[a], hulls[b])
            grown = 2 * int((end - start).sum()) - sizes[a] - sizes[b]
            if best is None or grown < best[0]:
                best = (grown, a, b)
    return (0, 1) if best is None else best[1:]


def _around(one: Hull, other: Hull) -> Hull:
    none, shut = one[0] >= one[1], other[0] >= other[1]
    start = np.where(none, other[0], np.where(shut, one[0], np.minimum(one[0], other[0])))
    end = np.where(none, other[1], np.where(shut, one[1], np.maximum(one[1], other[1])))
    return start, end
