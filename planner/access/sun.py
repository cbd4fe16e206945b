"""How high the sun stands, by the low-accuracy formulas of the astronomical literature.

Source: J. Meeus, *Astronomical Algorithms*, 2nd ed. 1998, chapters 12, 22 and 25 (low accuracy,
0.01°, and apparent place), the same that the U.S. NOAA solar calculator uses.  Sunrise and
sunset are the times at which the centre of the sun stands 50 minutes of arc below the horizon
(34 for refraction, 16 for its half width), civil twilight ends at 6° (U.S. Naval Observatory,
definitions of rise, set and twilight).
"""

from __future__ import annotations

from datetime import UTC, datetime

import numpy as np

from planner.access.curve import Floats, Intervals, joined
from planner.model.conditions import Daylight, Twilight

HORIZON_DEG = -50.0 / 60.0
CIVIL_DEG = -6.0

_STEP_MIN = 10.0
"""Sampling step [min]; a day or night shorter than this goes unseen, in which the sun passes the
horizon by less than 0.01°, within the formulas' own accuracy."""
_HALVINGS = 24  # of a step: to less than a hundredth of a millisecond
_J2000 = datetime(2000, 1, 1, 12, tzinfo=UTC)
_DAYS_PER_CENTURY = 36525.0


def altitude_deg(
    minutes: Floats, *, epoch_utc: datetime, latitude_deg: float, longitude_deg: float
) -> Floats:
    """Return the true altitude of the sun's centre, refraction left out [°].

    Parameters
    ----------
    minutes
        Minutes after the epoch.
    epoch_utc
        Aware time of minute 0.
    latitude_deg, longitude_deg
        Place; north and east are positive [°].
    """
    days = (epoch_utc - _J2000).total_seconds() / 86400.0 + np.asarray(minutes) / 1440.0
    t = days / _DAYS_PER_CENTURY
    ascension, declination = _place(t)
    sidereal = 280.46061837 + 360.98564736629 * days + 0.000387933 * t**2  # ch. 12
    hour_angle = np.radians(sidereal + longitude_deg) - ascension
    latitude = np.radians(latitude_deg)
    sine = np.sin(latitude) * np.sin(declination)
    sine += np.cos(latitude) * np.cos(declination) * np.cos(hour_angle)
    found: Floats = np.degrees(np.arcsin(np.clip(sine, -1.0, 1.0)))
    return found


def _place(t: Floats) -> tuple[Floats, Floats]:
    """Return right ascension and declination at Julian centuries after 2000 [rad]."""
    mean_longitude = 280.46646 + 36000.76983 * t + 0.0003032 * t**2
    anomaly = np.radians(357.52911 + 35999.05029 * t - 0.0001537 * t**2)
    centre = (1.914602 - 0.004817 * t - 0.000014 * t**2) * np.sin(anomaly)
    centre += (0.019993 - 0.000101 * t) * np.sin(2 * anomaly) + 0.000289 * np.sin(3 * anomaly)
    node = np.radians(125.04 - 1934.136 * t)
    longitude = np.radians(mean_longitude + centre - 0.00569 - 0.00478 * np.sin(node))
    obliquity = np.radians(23.4392911 - 0.0130042 * t + 0.00256 * np.cos(node))
    ascension = np.arctan2(np.cos(obliquity) * np.sin(longitude), np.cos(longitude))
    return ascension, np.arcsin(np.sin(obliquity) * np.sin(longitude))


def light(daylight: Daylight, *, epoch_utc: datetime, start: float, end: float) -> Intervals:
    """Return when there is daylight between two minutes after the epoch [min]."""
    limit = CIVIL_DEG if daylight.twilight is Twilight.CIVIL else HORIZON_DEG

    def above(minutes: Floats) -> Floats:
        height = altitude_deg(
            minutes,
            epoch_utc=epoch_utc,
            latitude_deg=daylight.latitude_deg,
            longitude_deg=daylight.longitude_deg,
        )
        return height - limit

    times = np.append(np.arange(start, end, _STEP_MIN), end)
    is_light = above(times) >= 0.0
    changes = np.flatnonzero(is_light[1:] != is_light[:-1])
    dark, bright = times[changes], times[changes + 1]
    falling = is_light[changes]
    dark[falling], bright[falling] = bright[falling], dark[falling]
    for _ in range(_HALVINGS):
        middle = 0.5 * (dark + bright)
        over = above(middle) >= 0.0
        bright, dark = np.where(over, middle, bright), np.where(over, dark, middle)
    edges = bright
    starts = np.concatenate(([start] if is_light[0] else [], edges[~falling]))
    ends = np.concatenate((edges[falling], [end] if is_light[-1] else []))
    return joined(starts, ends)
