"""A tide held against a table of high and low waters: time base, units, datum.

Constants come with phases for UTC or for the time of their country, in metres or feet, and
tables with heights above some chart datum.  None of this can be seen in the numbers alone, but
each leaves its own mark when prediction and table are laid side by side: a shift in time, a
factor, an offset.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

import numpy as np

from planner.access.astronomy import rates
from planner.access.constituents import speed_deg_h
from planner.access.curve import Floats
from planner.access.level import LevelSource
from planner.access.tide import TideLevel
from planner.model.water import Constituent

LEAST_EXTREMES = 10
"""Fewest high and low waters that tell a time base: some days (our choice)."""
FOOT_M = 0.3048

_FARTHEST_MIN = 14 * 60  # time zones lie within 14 h of UTC
_COARSE_MIN, _FINE_MIN = 5, 1
_SAME = 2e-3  # of the covariance: nearer shifts go first
_ZONE_MIN = 30.0  # time zones are told in half hours (some in quarters)
_ZONE_WITHIN_MIN = 6.0
_LATE_MIN = 20.0
_BETTER = 0.8  # the spread must fall to this share to speak of another time base
_UNIT_WITHIN = 0.05
_RANGE_WITHIN = 0.10
_OFFSET_M = 0.10
_POOR_SHARE = 0.15  # of the spread of the table's heights


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Prediction against table: ``table = offset_m + factor x predicted(time + late_min)``.

    Attributes
    ----------
    extremes
        High and low waters compared [1].
    late_min
        By how much the prediction comes later than the table [min].
    factor, offset_m
        Best line through the heights at that shift [1, m].
    spread_m, plain_spread_m
        What is left of the heights there, and with no shift, factor or offset but the mean [m].
    table_spread_m
        Standard deviation of the table's heights [m].
    """

    extremes: int
    late_min: float
    factor: float
    offset_m: float
    spread_m: float
    plain_spread_m: float
    table_spread_m: float


def compare(source: LevelSource, minutes: Floats, heights_m: Floats) -> Comparison:
    """Return how a prediction lies against a table of high and low waters.

    Parameters
    ----------
    source
        What predicts.
    minutes, heights_m
        The table [campaign min, m].

    Raises
    ------
    ValueError
        If the table is too short.
    """
    if minutes.size < LEAST_EXTREMES:
        msg = f"{minutes.size} high and low waters; at least {LEAST_EXTREMES} are needed"
        raise ValueError(msg)
    coarse = np.arange(-_FARTHEST_MIN, _FARTHEST_MIN + 1.0, _COARSE_MIN)
    near = _best(source, minutes, heights_m, coarse)
    fine = np.arange(near - _COARSE_MIN, near + _COARSE_MIN + 1.0, _FINE_MIN)
    late = _best(source, minutes, heights_m, fine, same=0.0)
    predicted = source.level_m(minutes + late)
    factor, offset = np.polyfit(predicted, heights_m, 1)
    plain = heights_m - source.level_m(minutes)
    return Comparison(
        extremes=int(minutes.size),
        late_min=late,
        factor=float(factor),
        offset_m=float(offset),
        spread_m=float(np.std(heights_m - factor * predicted - offset)),
        plain_spread_m=float(np.std(plain)),
        table_spread_m=float(np.std(heights_m)),
    )


def _best(
    source: LevelSource, minutes: Floats, heights_m: Floats, shifts: Floats, *, same: float = _SAME
) -> float:
    """Return the shift at which heights and prediction go together best, the least of equals.

    By their covariance: it is greatest where the table's highs and lows fall onto those of the
    prediction; correlation alone would hardly fall beside them.
    """
    fits = np.array([np.cov(source.level_m(minutes + shift), heights_m)[0, 1] for shift in shifts])
    good = shifts[fits >= fits.max() * (1.0 - same)]
    return float(good[np.argmin(np.abs(good))])


def remarks(found: Comparison) -> list[str]:
    """Return in words what a comparison shows; nothing where all is as it should be."""
    said = [_time_base(found)] if _is_shifted(found) else []
    for factor, text in (
        (FOOT_M, "the amplitudes look like feet: multiply each by 0.3048"),
        (1.0 / FOOT_M, "the heights of the table look like feet: multiply each by 0.3048"),
    ):
        if abs(found.factor / factor - 1.0) < _UNIT_WITHIN:
            said.append(text)
    if not said and abs(found.factor - 1.0) > _RANGE_WITHIN:
        said.append(
            f"the range of the table is {found.factor:.2f} times the predicted one: another port,"
            " or a constituent is missing or wrong"
        )
    if abs(found.offset_m) >= _OFFSET_M and abs(found.factor - 1.0) < _UNIT_WITHIN:
        higher = "higher" if found.offset_m > 0 else "lower"
        said.append(
            f"the table lies {abs(found.offset_m):.2f} m {higher} than the prediction: heights of"
            " tables count from chart datum, and the mean level belongs into"
            " water.mean_level_m; zones and prediction must share one zero (water.datum_m)"
        )
    if _is_poor(found):
        said.append(
            f"heights differ by {found.spread_m:.2f} m (standard deviation) however the two are"
            " laid: the constants are not those of this port, or one of them is wrong"
        )
    return said


def _is_poor(found: Comparison) -> bool:
    return found.spread_m > _POOR_SHARE * found.table_spread_m


def _is_shifted(found: Comparison) -> bool:
    return (
        abs(found.late_min) >= _LATE_MIN
        and found.spread_m < _BETTER * found.plain_spread_m
        and not _is_poor(found)
    )


def time_base_h(found: Comparison) -> float | None:
    """Return the time base of the phases, hours east of UTC; None: UTC, or no such thing [h]."""
    hours = _ZONE_MIN / 60.0 * round(found.late_min / _ZONE_MIN)
    is_zone = abs(found.late_min - 60.0 * hours) <= _ZONE_WITHIN_MIN
    return hours if _is_shifted(found) and is_zone else None


def _time_base(found: Comparison) -> str:
    hours = time_base_h(found)
    if hours is None:
        when = "later" if found.late_min > 0 else "earlier"
        return (
            f"the predicted tide comes {abs(found.late_min):.0f} min {when} than the table:"
            " another port, or times of the table in another zone than said"
        )
    return (
        f"the predicted tide comes {found.late_min:+.0f} min against the table: the phases look"
        f" as if given for UTC{hours:+g} h; turn each for UTC: phase less speed times {hours:g} h"
        " (or the times of the table are in another zone than said)"
    )


def turned(
    constituents: tuple[Constituent, ...], *, hours: float, at: datetime
) -> tuple[Constituent, ...]:
    """Return constituents whose phases are for UTC + hours turned to UTC.

    Parameters
    ----------
    constituents
        As given.
    hours
        Time base of their phases, east of Greenwich positive [h].
    at
        Aware time at which speeds are taken; they change by nothing that matters.
    """
    rate = rates(at)
    return tuple(
        Constituent(
            name=wave.name,
            amplitude_m=wave.amplitude_m,
            phase_deg=(wave.phase_deg - speed_deg_h(wave.name, rate) * hours) % 360.0,
        )
        for wave in constituents
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class TidalLevels:
    """Lowest and highest predicted level, with their times, and mean low and high water [m]."""

    lowest_m: float
    lowest_min: float
    highest_m: float
    highest_min: float
    mean_low_m: float
    mean_high_m: float


def tidal_levels(source: TideLevel, start: float, end: float) -> TidalLevels:
    """Return the levels between which a tide moves from one campaign minute to another."""
    curve = source.curve(start, end)
    rises = curve.end_m > curve.start_m
    turns = np.flatnonzero(rises[:-1] != rises[1:])
    levels, times, high = curve.end_m[turns], curve.end[turns], rises[turns]
    low, top = int(np.argmin(levels)), int(np.argmax(levels))
    return TidalLevels(
        lowest_m=float(levels[low]),
        lowest_min=float(times[low]),
        highest_m=float(levels[top]),
        highest_min=float(times[top]),
        mean_low_m=float(levels[~high].mean()),
        mean_high_m=float(levels[high].mean()),
    )
