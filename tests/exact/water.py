"""When a level series lies between two limits, worked out segment by segment."""

from collections.abc import Iterable
from itertools import pairwise
from math import inf

from planner.model.water import LevelPoint, Water, WaterKind

Edge = tuple[float, float]
LONGEST_GAP_MIN = 180.0  # contract, levels.csv: a gap of more than 3 h is closed


class NotCoveredError(Exception):
    """The exact method does not know this feature."""


def series_for(water: Water, section: str | None) -> tuple[LevelPoint, ...] | None:
    """Return the series that holds for a section; None without water."""
    if water.kind is WaterKind.NONE:
        return None
    if water.kind is not WaterKind.LEVELS:
        msg = f"water of kind {water.kind}"
        raise NotCoveredError(msg)
    by_section = dict(water.levels)
    return by_section.get(section, by_section.get(None, ()))


def between(
    water: Water, section: str | None, *, low_m: float | None, high_m: float | None
) -> list[Edge] | None:
    """Return when the level above the site datum lies in ``[low_m, high_m]``; None: always."""
    points = series_for(water, section)
    if points is None:
        return None
    low = -inf if low_m is None else low_m - water.datum_m
    high = inf if high_m is None else high_m - water.datum_m
    pieces = [
        piece
        for before, after in pairwise(points)
        if after.minute - before.minute <= LONGEST_GAP_MIN
        for piece in (_segment(before, after, low=low, high=high),)
        if piece is not None
    ]
    return joined(pieces)


def _segment(before: LevelPoint, after: LevelPoint, *, low: float, high: float) -> Edge | None:
    """Return the part of one straight piece that lies between two levels."""
    start, end = before.minute, after.minute
    slope = (after.level_m - before.level_m) / (end - start)
    if slope == 0:
        return (start, end) if low <= before.level_m <= high else None
    at_low = before.minute + (low - before.level_m) / slope
    at_high = before.minute + (high - before.level_m) / slope
    start = max(start, min(at_low, at_high))
    end = min(end, max(at_low, at_high))
    return (start, end) if start <= end else None


def joined(edges: Iterable[Edge]) -> list[Edge]:
    """Return sorted stretches with those that touch made one."""
    out: list[Edge] = []
    for start, end in sorted(edges):
        if out and start <= out[-1][1] + 1e-9:
            out[-1] = (out[-1][0], max(out[-1][1], end))
        else:
            out.append((start, end))
    return [edge for edge in out if edge[1] > edge[0]]


def common(first: Iterable[Edge], second: Iterable[Edge]) -> list[Edge]:
    """Return what two lists of stretches have in common."""
    other = list(second)
    found = ((max(a, c), min(b, d)) for a, b in first for c, d in other)
    return [edge for edge in sorted(found) if edge[1] > edge[0]]


def without(edges: Iterable[Edge], taken: Iterable[Edge]) -> list[Edge]:
    """Return stretches with others taken out."""
    left = list(edges)
    for start, end in taken:
        pieces = [piece for a, b in left for piece in ((a, min(b, start)), (max(a, end), b))]
        left = [piece for piece in pieces if piece[1] > piece[0]]
    return sorted(left)
