"""Level from a measured or modelled series: linear between its points."""

from __future__ import annotations

from abc import ABC, abstractmethod

import numpy as np
from numpy.typing import NDArray

from planner.access.curve import Curve, Floats, Indices
from planner.model.water import LevelPoint

GAP_MAX_MIN = 180.0  # contract, levels.csv: a gap of more than 3 h is closed


class PointsLevel(ABC):
    """What the sources with a table of points have in common: the stretch between two points.

    Parameters
    ----------
    times, levels_m
        The points, strictly in time order [min, m above site datum].
    gap_max_min
        Between points farther apart than this the level is unknown [min].

    Raises
    ------
    ValueError
        If the points are not strictly in time order.
    """

    cap_m: float | None = None
    always_binds = False

    def __init__(self, times: Floats, levels_m: Floats, *, gap_max_min: float) -> None:
        if np.any(np.diff(times) <= 0):
            at = int(np.flatnonzero(np.diff(times) <= 0)[0])
            msg = f"water levels must be in time order: point {at + 2} is not after point {at + 1}"
            raise ValueError(msg)
        self._times = times
        self._levels_m = levels_m
        self._widths = np.diff(times)
        self._known = self._widths <= gap_max_min

    def level_m(self, minutes: Floats) -> Floats:
        """Return the level at campaign minutes; nan in gaps and outside the table [m]."""
        at = np.asarray(minutes, dtype=float)
        found = np.full(at.shape, np.nan)
        if self._times.size == 0:
            return found
        right = np.searchsorted(self._times, at, side="right")
        piece = np.clip(right - 1, 0, max(self._times.size - 2, 0))
        if self._times.size > 1:
            inside = (at >= self._times[0]) & (at <= self._times[-1]) & self._known[piece]
            share = (at - self._times[piece]) / self._widths[piece]
            between = self._between(self._levels_m[piece], self._levels_m[piece + 1], share)
            found = np.where(inside, between, found)
        hit = np.clip(right - 1, 0, None)
        return np.where(self._times[hit] == at, self._levels_m[hit], found)

    def too_fast(self, minutes: Floats) -> NDArray[np.bool_]:
        """Return False everywhere: no velocity limit."""
        return np.zeros(np.shape(minutes), dtype=bool)

    def curve(self, start: float, end: float) -> Curve:
        """Return the pieces that touch the stretch between two campaign minutes."""
        known = self._known & (self._times[1:] >= start) & (self._times[:-1] <= end)
        pieces = np.flatnonzero(known)

        def solve(chosen: Indices, level_m: float) -> Floats:
            index = pieces[chosen]
            before, after = self._levels_m[index], self._levels_m[index + 1]
            share = self._share(before, after, level_m)
            return self._times[index] + share * (self._times[index + 1] - self._times[index])

        return Curve(
            start=self._times[pieces],
            end=self._times[pieces + 1],
            start_m=self._levels_m[pieces],
            end_m=self._levels_m[pieces + 1],
            solve=solve,
        )

    @abstractmethod
    def _between(self, before: Floats, after: Floats, share: Floats) -> Floats:
        """Return the level a share of the way from one point to the next [m]."""

    @abstractmethod
    def _share(self, before: Floats, after: Floats, level_m: float) -> Floats:
        """Return the share of the way at which a level between two points is passed [1]."""


class SeriesLevel(PointsLevel):
    """Level from a series, linear between points; gaps of more than 3 h are unknown.

    Parameters
    ----------
    points
        The series, in time order, above the source's zero.
    datum_m
        Zero of the source above site datum [m].
    """

    def __init__(self, points: tuple[LevelPoint, ...], *, datum_m: float) -> None:
        super().__init__(
            np.array([point.minute for point in points], dtype=float),
            np.array([point.level_m for point in points], dtype=float) + datum_m,
            gap_max_min=GAP_MAX_MIN,
        )

    def _between(self, before: Floats, after: Floats, share: Floats) -> Floats:
        return before + share * (after - before)

    def _share(self, before: Floats, after: Floats, level_m: float) -> Floats:
        return (level_m - before) / (after - before)
