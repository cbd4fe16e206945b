"""The most that one run can be worth: a knapsack with nested capacities, exact in integers.

Many cells are filled at once: the table ``most[k, t]`` holds for cell ``k`` the most worth of
work of at most ``t`` minutes.  Bands are added from the narrowest; after each, more minutes
than its capacity bring no more worth.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.optimise.bounds.ruler import Minutes

PARTS = 4
"""Lengths of a part of a layer that a proposal tries [1]."""


@dataclass(frozen=True, slots=True)
class Part:
    """How a layer may be split: a part of ``d`` minutes, ``least <= d <= most``.

    It takes ``change + d`` minutes and is worth at most ``slope * d + base``.
    """

    change: int
    least: int
    most: int
    slope: int
    base: int


@dataclass(frozen=True, slots=True)
class Item:
    """Work that may be taken: ``copies`` like ones, each ``minutes`` long and worth ``worth``."""

    kind: int
    band: int
    minutes: int
    worth: int
    copies: int
    part: Part | None = None


@dataclass(frozen=True, slots=True)
class Taken:
    """One item of a choice: its kind, the share of it, and its minutes."""

    kind: int
    share: float
    minutes: int


def most_worth(caps: Minutes, own: Minutes, items: Sequence[Item]) -> Minutes:
    """Return the most worth of any choice of items in each cell.

    Parameters
    ----------
    caps, own
        As in :class:`~planner.optimise.bounds.bands.Bands`.
    items
        In any order; those without worth are not looked at.
    """
    table = _table(caps)
    for b in range(len(caps)):
        rows = np.flatnonzero(own[b])
        mine = [item for item in items if item.band == b and item.worth > 0]
        if mine and len(rows):
            part = table if len(rows) == len(table) else table[rows]
            for item in mine:
                _add(part, item)
            if part is not table:
                table[rows] = part
        _clamp(table, caps[b])
    best: Minutes = table[:, -1].copy()
    return best


def _table(caps: Minutes) -> Minutes:
    longest = int(caps.max(initial=0))
    return np.zeros((caps.shape[1], longest + 1), dtype=np.int64)


def _add(table: Minutes, item: Item) -> None:
    for _ in range(item.copies):
        before = table if item.part is None else table.copy()
        _put(table, before, item.minutes, item.worth)
        if item.part is not None:
            _add_part(table, before, item.part)


def _put(table: Minutes, before: Minutes, minutes: int, worth: int) -> None:
    width = table.shape[1]
    if minutes < width:
        more = before[:, : width - minutes] + worth
        np.maximum(table[:, minutes:], more, out=table[:, minutes:])


def _add_part(table: Minutes, before: Minutes, part: Part) -> None:
    """Allow the best part of a layer, all its lengths at once, by a sliding maximum."""
    first = part.change + part.least
    width = table.shape[1]
    if part.most < part.least or first >= width:
        return
    minute = np.arange(width, dtype=np.int64)
    best = _sliding_maximum(before - part.slope * minute, part.most - part.least + 1)
    gain = part.slope * (minute[first:] - part.change) + part.base
    np.maximum(table[:, first:], best[:, : width - first] + gain, out=table[:, first:])


def _sliding_maximum(level: Minutes, length: int) -> Minutes:
    """Return for each column the greatest of itself and the ``length - 1`` before it."""
    best = level.copy()
    reach = 1
    while reach < length:
        step = min(reach, length - reach)
        best[:, step:] = np.maximum(best[:, step:], best[:, :-step])
        reach += step
    return best


def _clamp(table: Minutes, cap: Minutes) -> None:
    """Let more minutes than a band's capacity bring no more worth."""
    width = table.shape[1]
    if int(cap.min(initial=width)) < width - 1:
        index = np.minimum(np.arange(width)[None, :], cap[:, None])
        table[:] = np.take_along_axis(table, index, axis=1)


@dataclass(frozen=True, slots=True)
class _Step:
    """One way of adding one copy of an item, and the entries of the table that it changed."""

    copy: int
    taken: Taken
    better: NDArray[np.bool_]


def good_choices(caps: Minutes, own: Minutes, items: Sequence[Item]) -> list[tuple[Taken, ...]]:
    """Return for each cell a choice of nearly the most worth: parts in a few lengths only."""
    table = _table(caps)
    steps: list[list[_Step]] = []
    copy = 0
    for b in range(len(caps)):
        band: list[_Step] = []
        for item in items:
            for _ in range(item.copies if item.band == b and item.worth > 0 else 0):
                band += _tries(table, item, copy, own[b] == 0)
                copy += 1
        _clamp(table, caps[b])
        steps.append(band)
    return [_trace(k, caps, steps) for k in range(caps.shape[1])]


def _tries(table: Minutes, item: Item, copy: int, shut: NDArray[np.bool_]) -> list[_Step]:
    """Add a copy of an item to the table, whole and in parts."""
    before = table.copy()
    width = table.shape[1]
    found = []
    for taken, worth in _lengths(item):
        if taken.minutes >= width:
            continue
        more = before[:, : width - taken.minutes] + worth
        better = np.zeros(table.shape, dtype=bool)
        better[:, taken.minutes :] = more > table[:, taken.minutes :]
        better[shut] = False
        there = table[:, taken.minutes :]
        np.copyto(there, more, where=better[:, taken.minutes :])
        found.append(_Step(copy, taken, better))
    return found


def _lengths(item: Item) -> list[tuple[Taken, int]]:
    rows = [(Taken(item.kind, 1.0, item.minutes), item.worth)]
    part = item.part
    if part is not None and part.least <= part.most:
        whole = max(1, item.minutes - part.change)
        for d in sorted({int(x) for x in np.linspace(part.least, part.most, PARTS)}):
            taken = Taken(item.kind, min(1.0, d / whole), part.change + d)
            rows.append((taken, part.slope * d))
    return rows


def _trace(k: int, caps: Minutes, steps: list[list[_Step]]) -> tuple[Taken, ...]:
    """Read a choice back from the changes, last first: the last change of an entry made it."""
    found: list[Taken] = []
    t = int(caps.max(initial=0))
    for b in range(len(caps) - 1, -1, -1):
        t = min(t, int(caps[b][k]))
        done = -1
        for step in reversed(steps[b]):
            if step.copy != done and step.better[k, t]:
                found.append(step.taken)
                t -= step.taken.minutes
                done = step.copy
    return tuple(found)
