"""Curves given by levels and slopes at equal steps: cubics, their turns and their passings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from planner.access.curve import Curve, Floats, Indices

_Cubic = Sequence[Floats]  # coefficients of the powers 0 to 3

_ROUNDS = 60
_CLOSE = 1e-11  # of a step


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Grid:
    """A smooth stretch of a curve, given at equal steps.

    Attributes
    ----------
    start_min, step_min
        First instant, and the step [min].
    level_m, slope_m
        Level, and slope per step, at each instant [m].
    """

    start_min: float
    step_min: float
    level_m: Floats
    slope_m: Floats  # [m per step]


def spline_curve(grids: Sequence[Grid]) -> Curve:
    """Return the cubics through stretches that follow each other, cut where they turn.

    Every turning point of the cubics is found in closed form, also two in one step, so that no
    piece hides a rise and a fall.
    """
    return _Spline(grids).curve()


def _turns(grid: Grid) -> tuple[Floats, Floats]:
    """Return where the cubic turns, as cell number plus fraction, and the level there [m]."""
    y0, m0, b, c = _cubic(grid.level_m, grid.slope_m, np.arange(grid.level_m.size - 1))
    inside = b * b - 3 * c * m0  # of the derivative 3 c x² + 2 b x + m0
    cells = np.flatnonzero(inside >= 0)
    y0, m0, b, c = y0[cells], m0[cells], b[cells], c[cells]
    q = -(b + np.copysign(np.sqrt(inside[cells]), b))
    with np.errstate(divide="ignore", invalid="ignore"):
        roots = np.stack((q / (3 * c), m0 / q))
    found = (roots >= 0) & (roots < 1)
    which = np.nonzero(found)[1]
    x = roots[found]
    place = cells[which] + x
    level = y0[which] + x * (m0[which] + x * (b[which] + x * c[which]))
    order = np.argsort(place, kind="stable")
    return place[order], level[order]


def _cubic(level: Floats, slope: Floats, cell: Indices) -> _Cubic:
    """Return the coefficients of the cubic on cells, in the fraction of the cell [m]."""
    y0, m0, m1 = level[cell], slope[cell], slope[cell + 1]
    rise = level[cell + 1] - y0
    return y0, m0, 3 * rise - 2 * m0 - m1, m0 + m1 - 2 * rise


class _Spline:
    """The cubics of several years end to end, and where they pass a level."""

    def __init__(self, grids: Sequence[Grid]) -> None:
        self._level_m: Floats = np.concatenate([grid.level_m for grid in grids])
        self._slope_m: Floats = np.concatenate([grid.slope_m for grid in grids])
        sizes = [grid.level_m.size for grid in grids]
        self._offsets: Indices = np.cumsum([0, *sizes[:-1]])
        self._starts: Floats = np.array([grid.start_min for grid in grids])
        self._steps: Floats = np.array([grid.step_min for grid in grids])
        turns = [_turns(grid) for grid in grids]
        self._places = [
            np.concatenate(([0.0], place, [size - 1.0]))
            for (place, _), size in zip(turns, sizes, strict=True)
        ]
        levels = [
            np.concatenate(([grid.level_m[0]], level, [grid.level_m[-1]]))
            for (_, level), grid in zip(turns, grids, strict=True)
        ]
        self._grid_of: Indices = np.repeat(
            np.arange(len(grids)), [p.size - 1 for p in self._places]
        )
        self._from: Floats = np.concatenate([place[:-1] for place in self._places])
        self._to: Floats = np.concatenate([place[1:] for place in self._places])
        self._start_m: Floats = np.concatenate([level[:-1] for level in levels])
        self._end_m: Floats = np.concatenate([level[1:] for level in levels])

    def curve(self) -> Curve:
        """Return the pieces between turning points, year by year."""
        times = [
            start + place * step
            for start, place, step in zip(self._starts, self._places, self._steps, strict=True)
        ]
        for before, after in pairwise(times):
            before[-1] = after[0]  # New Year is one instant, whatever the rounding
        return Curve(
            start=np.concatenate([time[:-1] for time in times]),
            end=np.concatenate([time[1:] for time in times]),
            start_m=self._start_m,
            end_m=self._end_m,
            solve=self._solve,
        )

    def _solve(self, pieces: Indices, level_m: float) -> Floats:
        grid = self._grid_of[pieces]
        offset = self._offsets[grid]
        cell = offset + self._cell(pieces, offset, level_m)
        x = self._fraction(pieces, offset, cell, level_m)
        return self._starts[grid] + (cell - offset + x) * self._steps[grid]

    def _cell(self, pieces: Indices, offset: Indices, level_m: float) -> Indices:
        """Return the cell in which each piece passes a level, by halving."""
        low = np.floor(self._from[pieces]).astype(np.intp)
        high = np.maximum(np.ceil(self._to[pieces]).astype(np.intp) - 1, low)
        rising = self._end_m[pieces] > self._start_m[pieces]
        while np.any(low < high):
            middle = (low + high) // 2
            passed = (self._level_m[offset + middle + 1] >= level_m) == rising
            open_ = low < high
            high = np.where(open_ & passed, middle, high)
            low = np.where(open_ & ~passed, middle + 1, low)
        return low

    def _fraction(self, pieces: Indices, offset: Indices, cell: Indices, level_m: float) -> Floats:
        """Return where in its cell each piece passes a level, by Newton kept in a bracket."""
        cubic = list(_cubic(self._level_m, self._slope_m, cell))
        number = cell - offset
        low = np.clip(self._from[pieces] - number, 0.0, 1.0)
        high = np.clip(self._to[pieces] - number, 0.0, 1.0)
        rising = self._end_m[pieces] > self._start_m[pieces]
        found = _between(cubic, level_m, low, high)
        open_ = np.arange(found.size)
        x = found
        for _ in range(_ROUNDS):
            value, slope = _value(cubic, level_m, x)
            above = (value >= 0) == rising
            high = np.where(above, x, high)
            low = np.where(above, low, x)
            with np.errstate(divide="ignore", invalid="ignore"):
                newton = x - value / slope
            ok = (newton > low) & (newton < high)
            step: Floats = np.where(ok, newton, (low + high) / 2)
            moved = np.abs(step - x) >= _CLOSE
            found[open_] = step
            if not moved.any():
                break
            open_, rising = open_[moved], rising[moved]
            x, low, high, *cubic = (part[moved] for part in (step, low, high, *cubic))
        return found


def _value(cubic: _Cubic, level_m: float, x: Floats) -> tuple[Floats, Floats]:
    """Return how far cubics lie above a level, and their slopes [m, m per cell]."""
    y0, m0, b, c = cubic
    return y0 - level_m + x * (m0 + x * (b + x * c)), m0 + x * (2 * b + x * 3 * c)


def _between(cubic: _Cubic, level_m: float, low: Floats, high: Floats) -> Floats:
    """Return where the chords between two places pass a level, or the middle."""
    first, last = _value(cubic, level_m, low)[0], _value(cubic, level_m, high)[0]
    with np.errstate(divide="ignore", invalid="ignore"):
        share = first / (first - last)
    inside = (share > 0.0) & (share < 1.0)
    return low + (high - low) * np.where(inside, share, 0.5)
