"""Whether light, waves and air let people work, minute by minute (docs/limits.md).

Written once more: the sun by other formulas than :mod:`planner.access.sun`, series and normals
plainly between their points.  A limit holds over the minute ``[m, m + 1)`` when it holds at both
its ends.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from functools import lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from planner.core.clock import MINUTES_PER_DAY, MINUTES_PER_HOUR, Clock
from planner.model.campaign import Campaign
from planner.model.conditions import AirTemperature, Daylight, Reading, Twilight, Waves

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

_J2000 = datetime(2000, 1, 1, 12, tzinfo=UTC)
_RISE_DEG = -(34.0 + 16.0) / 60.0  # refraction and half width of the sun: U.S. Naval Observatory
_CIVIL_DEG = -6.0
_SLACK_DEG = 0.05  # both formulas for the sun are good to 0.01°; air bends its light by more
_GAP_MIN = 3 * MINUTES_PER_HOUR  # docs/limits.md: a longer gap of a series is not known
_NORMAL_GAP_MIN = 30 * MINUTES_PER_HOUR  # between months that are known
_BLOCKS = 4096  # some 25 MB
_LOW_HOUR, _HIGH_HOUR = 6, 15  # docs/limits.md: when a day by normals is coldest and warmest
_NOISE = 1e-6  # of heights [m] and temperatures [°C]


class Conditions:
    """Light, waves and air of a campaign.

    Parameters
    ----------
    campaign
        Campaign whose limits are looked at.
    """

    def __init__(self, campaign: Campaign) -> None:
        self._limits = campaign.conditions
        self._clock = campaign.clock
        self._block = lru_cache(maxsize=_BLOCKS)(self._work_out)

    def is_open(self, start_min: int, end_min: int) -> Bools:
        """Return in which minutes of ``[start_min, end_min)`` every limit is kept."""
        first, last = start_min // MINUTES_PER_DAY, (end_min - 1) // MINUTES_PER_DAY
        blocks = [self._block(block)[0] for block in range(first, last + 1)]
        start = start_min - first * MINUTES_PER_DAY
        return np.concatenate(blocks)[start : start + end_min - start_min]

    def why_not(self, minute: int) -> str:
        """Return in words which limit is broken in a minute; empty: none."""
        block, at = divmod(minute, MINUTES_PER_DAY)
        return next((why for broken, why in self._block(block)[1] if broken[at]), "")

    def _work_out(self, block: int) -> tuple[Bools, list[tuple[Bools, str]]]:
        """Return for a block of a day's length when it is open, and where each limit is broken."""
        start_min = block * MINUTES_PER_DAY
        broken = self._broken(start_min, start_min + MINUTES_PER_DAY)
        is_open = np.ones(MINUTES_PER_DAY, dtype=np.bool_)
        for one, _ in broken:
            is_open &= ~one
        return is_open, broken

    def _broken(self, start_min: int, end_min: int) -> list[tuple[Bools, str]]:
        found: list[tuple[Bools, str]] = []
        if self._limits.daylight is not None:
            found.append((self._dark(self._limits.daylight, start_min, end_min), "it is dark"))
        if self._limits.waves is not None:
            waves = self._limits.waves
            why = f"waves pass {waves.height_max_m:g} m then or too soon after, or are not known"
            found.append((_rough(waves, start_min, end_min), why))
        if self._limits.air is not None:
            why = "the air is too cold or too warm for spraying, or its temperature is not known"
            found.append((self._unfit(self._limits.air, start_min, end_min), why))
        return found

    def _dark(self, daylight: Daylight, start_min: int, end_min: int) -> Bools:
        days = (self._clock.epoch_utc - _J2000).total_seconds() / 86400.0
        height = _sun_deg(days + _ends(start_min, end_min) / MINUTES_PER_DAY, daylight)
        least = _CIVIL_DEG if daylight.twilight is Twilight.CIVIL else _RISE_DEG
        return ~_throughout(height >= least - _SLACK_DEG)

    def _unfit(self, air: AirTemperature, start_min: int, end_min: int) -> Bools:
        at = _ends(start_min, end_min)
        celsius = _between(air.series, at)
        by_series = ~np.isnan(celsius)
        normal = _normal_c(air, self._clock, at)
        good = _kept(celsius, air.min_c, air.max_c) & by_series
        by_normals = _kept(normal, air.min_c, air.max_c)
        covered = by_series[:-1] & by_series[1:]
        return np.where(covered, ~_throughout(good), ~_throughout(by_normals))


def _kept(celsius: Floats, min_c: float | None, max_c: float | None) -> Bools:
    low = -np.inf if min_c is None else min_c - _NOISE
    high = np.inf if max_c is None else max_c + _NOISE
    return (celsius >= low) & (celsius <= high)


def _ends(start_min: int, end_min: int) -> Floats:
    """Return the ends of the minutes of a stretch, both included."""
    return np.arange(start_min, end_min + 1, dtype=np.float64)


def _throughout(good: Bools) -> Bools:
    return good[:-1] & good[1:]


def _sun_deg(days: Floats, place: Daylight) -> Floats:
    """Return the sun's altitude at days after noon of 1 January 2000, UTC [°].

    Source: low-precision formulas of the Astronomical Almanac, section C (sun) and B (sidereal
    time), good to 0.01° between 1950 and 2050.
    """
    anomaly = np.radians(357.528 + 0.9856003 * days)
    longitude = np.radians(
        280.460 + 0.9856474 * days + 1.915 * np.sin(anomaly) + 0.020 * np.sin(2.0 * anomaly)
    )
    tilt = np.radians(23.439 - 0.0000004 * days)
    east = np.cos(tilt) * np.sin(longitude)
    north = np.sin(tilt) * np.sin(longitude)
    sidereal = np.radians(15.0 * (18.697374558 + 24.06570982441908 * days) + place.longitude_deg)
    towards = np.cos(longitude) * np.cos(sidereal) + east * np.sin(sidereal)
    latitude = np.radians(place.latitude_deg)
    up = np.sin(latitude) * north + np.cos(latitude) * towards
    found: Floats = np.degrees(np.arcsin(np.clip(up, -1.0, 1.0)))
    return found


def _between(series: tuple[Reading, ...], at: Floats) -> Floats:
    """Return a series at some minutes, straight between its points; nan where not known."""
    found = np.full(at.shape, np.nan)
    times = np.array([row.minute for row in series], dtype=np.float64)
    values = np.array([row.value for row in series], dtype=np.float64)
    if times.size == 0:
        return found
    inside = (at >= times[0]) & (at <= times[-1])
    found[inside] = np.interp(at[inside], times, values)
    for place in np.flatnonzero(np.diff(times) > _GAP_MIN):
        found[(at > times[place]) & (at < times[place + 1])] = np.nan
    return found


def _rough(waves: Waves, start_min: int, end_min: int) -> Bools:
    """Return in which minutes waves are too high, or will be within the time kept spare."""
    spare = waves.spare_min
    height = _between(waves.series, _ends(start_min, end_min + spare))
    rough = ~_throughout(height <= waves.height_max_m + _NOISE)
    total = np.concatenate(([0], np.cumsum(rough)))
    count = end_min - start_min
    return np.asarray(total[spare + 1 : spare + 1 + count] > total[:count], dtype=np.bool_)


def _normal_c(air: AirTemperature, clock: Clock, at: Floats) -> Floats:
    """Return the temperature by normals: half a cosine between a day's low and high [°C]."""
    by_month = {row.month: row for row in air.normals}
    day, last = clock.day(int(at[0])) - timedelta(days=1), clock.day(int(at[-1]))
    points: list[tuple[int, float]] = []
    while day <= last + timedelta(days=1):
        row = by_month.get(day.month)
        if row is not None:
            for hour, value in ((_LOW_HOUR, row.low_c), (_HIGH_HOUR, row.high_c)):
                tod = hour * MINUTES_PER_HOUR
                points.append((clock.daily(day, start_tod=tod, end_tod=tod)[0], value))
        day += timedelta(days=1)
    found = np.full(at.shape, np.nan)
    for (start, first), (end, second) in pairwise(points):
        if end - start <= _NORMAL_GAP_MIN:
            here = (at >= start) & (at <= end)
            share = (at[here] - start) / (end - start)
            found[here] = first + (second - first) * (1.0 - np.cos(np.pi * share)) / 2.0
    return found
