r"""Tide from published harmonic constants, as the agencies make their tables.

.. math:: h(t) = Z_0 + \sum f_i A_i \cos(V_i(t) + u_i - g_i)

with node factors f and u at the middle of each calendar year (UTC), held over that year, and
the argument V from the constituent's own multiples of the mean longitudes
(Schureman 1940, paragraphs 138 to 145).  At New Year the level therefore steps by some
millimetres, as it does in the agencies' tables.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from planner.access.astronomy import longitudes, node_factors, rates
from planner.access.constituents import argument_deg, node_factor, speed_deg_h
from planner.access.curve import Curve, Floats, Indices
from planner.access.spline import Grid, spline_curve
from planner.model.water import Constituent

_MANY, _EVEN = 256, 1e-9  # from so many instants on, equal steps [min] are worth looking for
_CHUNK = 16384  # instants evaluated at once: bounds the memory to some tens of megabytes
_STEPS_MIN = (6, 4, 3, 2, 1)
_SPLINE_ERROR_M = 1e-7  # of the cubic against the harmonic sum
# Edges are sharpened on the sum itself where the cubic's error could carry them over a whole
# minute: those near one, and those near slack water.
_NEAR_MIN = 1e-3
_SLACK_M = 1e-4
_NEWTON_STEPS = 3


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Year:
    """The waves of one calendar year, referred to its middle."""

    start_min: float
    end_min: float
    middle_min: float
    amplitude_m: Floats
    speed: Floats  # [rad/min]
    phase: Floats  # [rad]


class TideLevel:
    """Level from harmonic constants [m above site datum].

    Parameters
    ----------
    constituents
        Names, amplitudes [m] and Greenwich phase lags for UTC [°].
    mean_m
        Mean level above site datum [m].
    epoch_utc
        Campaign minute 0.

    Raises
    ------
    ValueError
        If a constituent's name is not known.
    """

    cap_m: float | None = None
    always_binds = False

    def __init__(
        self, constituents: tuple[Constituent, ...], *, mean_m: float, epoch_utc: datetime
    ) -> None:
        self._names = tuple(wave.name for wave in constituents)
        self._amplitude_m = np.array([wave.amplitude_m for wave in constituents], dtype=float)
        self._lag = np.radians([wave.phase_deg for wave in constituents])
        self._mean_m = mean_m
        self._epoch = epoch_utc
        self._years: dict[int, _Year] = {}
        self._year(epoch_utc.year)

    def level_m(self, minutes: Floats) -> Floats:
        """Return the level at campaign minutes [m]."""
        return self._sum(minutes) + self._mean_m

    def _sum(self, minutes: Floats, *, slope: bool = False) -> Floats:
        """Return the sum of the waves [m], or its slope [m/min]."""
        times = np.asarray(minutes, dtype=float)
        flat = times.ravel()
        found = np.empty(flat.shape)
        for year, chosen in self._by_year(flat):
            found[chosen] = _sum_in(year, flat[chosen], slope=slope)
        return found.reshape(times.shape)

    def too_fast(self, minutes: Floats) -> NDArray[np.bool_]:
        """Return False everywhere: a tide has no velocity limit."""
        return np.zeros(np.shape(minutes), dtype=bool)

    def _calendar_year(self, minute: float) -> int:
        return (self._epoch + timedelta(minutes=minute)).year

    def _by_year(self, minutes: Floats) -> list[tuple[_Year, Indices]]:
        if minutes.size == 0:
            return []
        first, last = self._calendar_year(minutes.min()), self._calendar_year(minutes.max())
        if first == last:
            return [(self._year(first), np.arange(minutes.size))]
        years = [self._year(number) for number in range(first, last + 1)]
        index = np.searchsorted([year.start_min for year in years], minutes, side="right") - 1
        pairs = ((year, np.flatnonzero(index == k)) for k, year in enumerate(years))
        return [(year, chosen) for year, chosen in pairs if chosen.size]

    def _year(self, number: int) -> _Year:
        if number not in self._years:
            self._years[number] = self._make_year(number)
        return self._years[number]

    def _make_year(self, number: int) -> _Year:
        start = datetime(number, 1, 1, tzinfo=UTC)
        end = datetime(number + 1, 1, 1, tzinfo=UTC)
        middle = start + (end - start) / 2
        at, rate, factors = longitudes(middle), rates(middle), node_factors(middle)
        nodes = [node_factor(name, factors) for name in self._names]
        argument = np.array([argument_deg(name, at) for name in self._names])
        speed = np.array([speed_deg_h(name, rate) for name in self._names])
        u = np.array([node.u_deg for node in nodes])
        return _Year(
            start_min=self._minute(start),
            end_min=self._minute(end),
            middle_min=self._minute(middle),
            amplitude_m=self._amplitude_m * np.array([node.f for node in nodes]),
            speed=np.radians(speed) / 60.0,
            phase=np.radians((argument + u) % 360.0) - self._lag,
        )

    def _minute(self, moment: datetime) -> float:
        return (moment - self._epoch).total_seconds() / 60.0

    def curve(self, start: float, end: float) -> Curve:
        """Return the curve between two campaign minutes [m].

        The harmonic sum is laid down as a cubic spline through its own levels and slopes, which
        differs from it by less than the tolerance of the windows; the turning points of the
        spline are found in closed form, so that none is passed over.
        """
        first, last = self._calendar_year(start), self._calendar_year(end)
        grids = []
        for number in range(first, last + 1):
            year = self._year(number)
            low, high = max(start, year.start_min), min(end, year.end_min)
            if high > low:
                grids.append(_grid(year, low, high, mean_m=self._mean_m))
        spline = spline_curve(grids)

        def solve(pieces: Indices, level_m: float) -> Floats:
            times = spline.solve(pieces, level_m)
            turns = np.stack((spline.start_m[pieces], spline.end_m[pieces]))
            slack = np.abs(turns - level_m).min(axis=0) < _SLACK_M
            near = np.flatnonzero(slack | (np.abs(times - np.round(times)) < _NEAR_MIN))
            times[near] = self._sharpened(times[near], level_m)
            return times

        return replace(spline, solve=solve)

    def _sharpened(self, times: Floats, level_m: float) -> Floats:
        """Return times at which the sum itself passes a level, from times close to them [min]."""
        for _ in range(_NEWTON_STEPS):
            excess = self.level_m(times) - level_m
            slope = self._sum(times, slope=True)
            with np.errstate(divide="ignore", invalid="ignore"):
                step = np.nan_to_num(excess / slope, posinf=0.0, neginf=0.0)
            times = times - np.clip(step, -_NEAR_MIN, _NEAR_MIN)
        return times


def _sum_in(year: _Year, times: Floats, *, slope: bool) -> Floats:
    """Return the sum [m], or its slope [m/min], at times of one year."""
    step = _even_step(times)
    if step is not None:
        return _even(year, float(times[0]), step, times.size)[int(slope)]
    found = np.empty(times.shape)
    for at in range(0, times.size, _CHUNK):
        part = slice(at, at + _CHUNK)
        angles = np.outer(times[part] - year.middle_min, year.speed) + year.phase
        if slope:
            found[part] = np.sin(angles) @ (-year.amplitude_m * year.speed)
        else:
            found[part] = np.cos(angles) @ year.amplitude_m
    return found


def _step(year: _Year) -> int:
    """Return the widest step at which the cubic is near enough to the sum [min].

    The error of a cubic through levels and slopes is at most the fourth derivative times
    step⁴ / 384.
    """
    fourth = float(np.abs(year.amplitude_m) @ year.speed**4)
    near = (step for step in _STEPS_MIN if fourth * step**4 / 384 <= _SPLINE_ERROR_M)
    return next(near, _STEPS_MIN[-1])


def _grid(year: _Year, low: float, high: float, *, mean_m: float) -> Grid:
    cells = max(1, int(np.ceil((high - low) / _step(year))))
    step = (high - low) / cells
    level, slope = _even(year, low, step, cells + 1)
    return Grid(start_min=low, step_min=step, level_m=level + mean_m, slope_m=slope * step)


def _even(year: _Year, first: float, step: float, count: int) -> tuple[Floats, Floats]:
    """Return the sum [m] and its slope [m/min] at equal steps.

    cos(a + b) = cos a cos b - sin a sin b: some thousand cosines and a few matrix products.
    """
    inner = int(np.ceil(np.sqrt(count)))
    outer = (count + inner - 1) // inner
    coarse = np.outer(first + step * inner * np.arange(outer) - year.middle_min, year.speed)
    fine = np.outer(step * np.arange(inner), year.speed)
    real = np.cos(coarse + year.phase) * year.amplitude_m
    imag = np.sin(coarse + year.phase) * year.amplitude_m
    cos, sin = np.cos(fine).T, np.sin(fine).T
    level = real @ cos - imag @ sin
    slope = -((real * year.speed) @ sin) - (imag * year.speed) @ cos
    return level.ravel()[:count], slope.ravel()[:count]


def _even_step(times: Floats) -> float | None:
    """Return the step of times at equal steps, where there are many; else None [min]."""
    if times.size < _MANY:
        return None
    step = float(times[1] - times[0])
    return step if np.all(np.abs(np.diff(times) - step) <= _EVEN) else None
