"""Courses of the water's residual, many at once, and what they leave of planned windows."""

from __future__ import annotations

from datetime import timedelta
from math import exp

import numpy as np
from numpy.typing import NDArray

from planner.access.curve import LEVEL_TOLERANCE_M, Floats
from planner.access.residual import PROBABILITIES, Residual
from planner.core.clock import MINUTES_PER_HOUR, Clock
from planner.risk.calendar import Calendar, Window
from planner.risk.spread import share_below

STEP_MIN = 10
"""Levels are looked at this often; between them they run straight (our choice) [min]."""
_EDGE, _PER_UNIT = 6.0, 200
_GRID = np.linspace(-_EDGE, _EDGE, int(2 * _EDGE * _PER_UNIT) + 1)  # scores of the tables
_WINTER = frozenset({10, 11, 12, 1, 2, 3})  # the half-years of planner.access.residual


def months_of_hours(clock: Clock) -> NDArray[np.intp]:
    """Return the month of each hour of the calendar, and of one more (UTC)."""
    count = clock.horizon_min // MINUTES_PER_HOUR + 2
    return np.array([(clock.epoch_utc + timedelta(hours=k)).month for k in range(count)])


def residual_courses(
    residual: Residual, months: NDArray[np.intp], count: int, rng: np.random.Generator
) -> NDArray[np.float32]:
    """Return random courses of the residual, one a row, hour by hour [m].

    The same process as :meth:`planner.access.residual.Residual.sample`, all courses at once; in
    single precision, which is a tenth of a millimetre at worst.

    Parameters
    ----------
    residual
        Model of a gauge's record.
    months
        Month of each hour.
    count
        Number of courses [1].
    rng
        Source of chance.
    """
    scores = _persistent(count, months.size, residual.short_h, rng)
    scores *= np.float32(np.sqrt(residual.short_share))
    slow = _persistent(count, months.size, residual.long_h, rng)
    scores += np.float32(np.sqrt(1.0 - residual.short_share)) * slow
    winter = np.isin(months, sorted(_WINTER))
    for half, row in zip((winter, ~winter), residual.quantiles_m, strict=True):
        table = np.interp(share_below(_GRID), PROBABILITIES, row).astype(np.float32)
        for hour in np.flatnonzero(half):
            scores[hour] = _looked_up(scores[hour], table)
    return np.ascontiguousarray(scores.T)


def _persistent(
    count: int, hours: int, time_h: float, rng: np.random.Generator
) -> NDArray[np.float32]:
    keeps = exp(-1.0 / time_h)
    found = rng.standard_normal((hours, count), dtype=np.float32)
    found[1:] *= np.float32(np.sqrt(1.0 - keeps * keeps))
    for k in range(1, hours):
        found[k] += np.float32(keeps) * found[k - 1]
    return found


def _looked_up(scores: NDArray[np.float32], table: NDArray[np.float32]) -> NDArray[np.float32]:
    """Return the table's values at scores, straight between those of its even grid."""
    place = np.clip((scores + np.float32(_EDGE)) * np.float32(_PER_UNIT), 0.0, table.size - 1.001)
    low = place.astype(np.intp)
    return np.asarray(
        table[low] + (place - low.astype(np.float32)) * (table[low + 1] - table[low])
    )


class TrueWindows:
    """What the water of each run really leaves of each planned window.

    Parameters
    ----------
    calendar
        Windows, and where their levels come from.
    residual_m
        Course of the residual of each run, a row each, at whole hours from minute 0 [m].
        One row for all of them when there is none.

    Notes
    -----
    A window opens when the water first keeps the zone's limits within its planned stretch, and
    closes when it next does not: people who had to leave do not come back in the same window.
    """

    def __init__(self, calendar: Calendar, residual_m: np.ndarray) -> None:
        self._calendar = calendar
        self._residual_m = residual_m
        self._levels: dict[str | None, Floats] = {}
        self._found: dict[int, tuple[Floats, Floats]] = {}

    def of(self, number: int) -> tuple[Floats, Floats]:
        """Return when a window really opens and closes in each run [min]; inf, -inf: never."""
        if number not in self._found:
            self._found[number] = self._make(self._calendar.windows[number])
        return self._found[number]

    def _make(self, window: Window) -> tuple[Floats, Floats]:
        first, last = window.start_min // STEP_MIN, -(-window.end_min // STEP_MIN)
        levels = self._level(window)[first : last + 1]
        times = np.arange(first, last + 1, dtype=float) * STEP_MIN
        level = levels + self._residual(times)
        too_high = -np.inf if window.high_m is None else level - window.high_m
        too_low = -np.inf if window.low_m is None else window.low_m - level
        beyond = np.maximum(too_high, too_low)
        if window.high_m is None and window.low_m is None:
            beyond = np.full(level.shape, -1.0)
        return edges(beyond, times, start=float(window.start_min), end=float(window.end_min))

    def _residual(self, times: Floats) -> Floats:
        hours = times / MINUTES_PER_HOUR
        before = np.minimum(hours.astype(np.intp), self._residual_m.shape[1] - 2)
        part = hours - before
        low, high = self._residual_m[:, before], self._residual_m[:, before + 1]
        return np.asarray(low * (1.0 - part) + high * part, dtype=float)

    def _level(self, window: Window) -> Floats:
        if window.source not in self._levels:
            source = self._calendar.source(window)
            times = np.arange(0.0, self._calendar.clock.horizon_min + 2 * STEP_MIN, STEP_MIN)
            level = np.zeros(times.shape) if source is None else source.level_m(times)
            self._levels[window.source] = np.where(np.isfinite(level), level, 0.0)
        return self._levels[window.source]


def edges(beyond: Floats, times: Floats, *, start: float, end: float) -> tuple[Floats, Floats]:
    """Return when each course first lies within its limits, and when it next leaves them [min].

    Parameters
    ----------
    beyond
        How far beyond its limits each course lies, a row each, straight between times.
    times
        Times of the columns, in order [min].
    start, end
        Planned stretch, which is never left [min].
    """
    bad = beyond > LEVEL_TOLERANCE_M
    rows = np.arange(beyond.shape[0])
    opening = np.argmin(bad, axis=1)
    never = bad[rows, opening]
    opened = np.where(opening > 0, _passing(beyond, times, rows, opening), start)
    after = np.arange(times.size)[None, :] > opening[:, None]
    closing = np.argmax(bad & after, axis=1)
    closes = bad[rows, closing] & (closing > opening)
    closed = np.where(closes, _passing(beyond, times, rows, closing), end)
    opened = np.where(never, np.inf, np.maximum(np.ceil(opened), start))
    closed = np.where(never, -np.inf, np.minimum(np.floor(closed), end))
    return opened, closed


def _passing(
    beyond: Floats, times: Floats, rows: NDArray[np.intp], column: NDArray[np.intp]
) -> Floats:
    """Return when a course passes its limit between a column and the one before it [min]."""
    before = np.maximum(column - 1, 0)
    here, there = beyond[rows, column], beyond[rows, before]
    width = np.where(here == there, 1.0, here - there)
    share = np.clip(-there / width, 0.0, 1.0)
    return np.asarray(times[before] + share * (times[column] - times[before]))
