"""How many civil days a number of turns takes at least, from the first to the last."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from itertools import pairwise

Line = tuple[float, float]
"""Slope and constant: at least ``slope * turns + constant``."""


def least_days(days: Sequence[tuple[int, int]]) -> list[int]:
    """Return the least days from first to last of ``n`` turns, both counted, for ``n`` from 0.

    ``days`` holds for each turn the first and the last day that work in it can touch.  Of ``n``
    turns, in order of their first days, the latest is at least ``n - 1`` places after the
    earliest; work touches a day no earlier than the first day of the one and no later than the
    last day of the other.
    """
    rows = sorted(days)
    found = [0]
    for n in range(1, len(rows) + 1):
        spans = (rows[k + n - 1][0] - rows[k][1] + 1 for k in range(len(rows) - n + 1))
        found.append(max(1, found[-1], min(spans)))
    return found


def least_idle(days: Sequence[tuple[int, int]], touched: Collection[int]) -> list[int]:
    """Return the least days without work between the first and the last of ``n`` turns.

    Days that no work can touch, between the last day of the earliest and the first day of the
    latest, are such.
    """
    rows = sorted(days)
    if not rows:
        return [0]
    idle = [0]
    start = rows[0][0]
    for day in range(start, max(last for _, last in rows) + 1):
        idle.append(idle[-1] + (day not in touched))
    found = [0]
    for n in range(1, len(rows) + 1):
        between = (
            idle[rows[k + n - 1][0] - start] - idle[rows[k][1] + 1 - start]
            for k in range(len(rows) - n + 1)
        )
        found.append(max(0, found[-1], min(between)))
    return found


def lines_below(values: Sequence[float]) -> list[Line]:
    """Return lines that are nowhere above the values at 0, 1, 2 ...: their lower hull."""
    hull: list[tuple[int, float]] = []
    for n, value in enumerate(values):
        while len(hull) > 1 and _is_above(hull[-2], hull[-1], (n, value)):
            hull.pop()
        hull.append((n, float(value)))
    return [
        ((y2 - y1) / (x2 - x1), y1 - (y2 - y1) / (x2 - x1) * x1)
        for (x1, y1), (x2, y2) in pairwise(hull)
    ]


def _is_above(one: tuple[int, float], middle: tuple[int, float], other: tuple[int, float]) -> bool:
    return (middle[1] - one[1]) * (other[0] - one[0]) >= (other[1] - one[1]) * (middle[0] - one[0])
