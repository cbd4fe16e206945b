"""When light, waves and air let people work at the faces (docs/limits.md)."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta

import numpy as np

from planner.access.curve import Curve, Intervals
from planner.access.edges import spans_of, whole_minutes
from planner.access.highlow import HighLowLevel
from planner.access.lost import Layer
from planner.access.series import SeriesLevel
from planner.access.sun import light
from planner.core.clock import Clock
from planner.core.spans import Spans
from planner.model.conditions import (
    AirTemperature,
    Conditions,
    Daylight,
    MonthNormal,
    Reading,
    Twilight,
    Waves,
)
from planner.model.water import Extreme, LevelPoint

COLDEST_TOD = 6 * 60
WARMEST_TOD = 15 * 60
"""Local time of a day's lowest and highest temperature by normals: about sunrise, and three
hours after noon (from memory; common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Known:
    """A quantity: when it keeps its limits, and when it is known at all."""

    good: Spans
    known: Spans


def condition_layers(conditions: Conditions, clock: Clock) -> tuple[Layer, ...]:
    """Return what light, waves and air take of the campaign's days, each with its cause."""
    return tuple(layer for layer in _layers(conditions, clock) if layer.spans)


def _layers(conditions: Conditions, clock: Clock) -> Iterator[Layer]:
    if conditions.daylight is not None:
        yield _dark(conditions.daylight, clock)
    if conditions.waves is not None:
        yield from _rough(conditions.waves, clock)
    if conditions.air is not None:
        yield from _unfit(conditions.air, clock)


def _dark(daylight: Daylight, clock: Clock) -> Layer:
    end = clock.horizon_min
    found = light(daylight, epoch_utc=clock.epoch_utc, start=0.0, end=float(end))
    ended = "civil twilight" if daylight.twilight is Twilight.CIVIL else "sunset"
    spans = _inward(found).clip(0, end).complement(0, end)
    return Layer(spans=spans, cause=f"dark: no work from {ended} on", group="daylight")


def _rough(waves: Waves, clock: Clock) -> Iterator[Layer]:
    end = clock.horizon_min
    sea = SeriesLevel(_levels(waves.series), datum_m=0.0)
    found = _kept(sea.curve(0.0, end + waves.spare_min), high=waves.height_max_m)
    good, known = found.good.clip(0, end), found.known
    yield Layer(spans=known.complement(0, end), cause="height of waves not known", group="waves")
    yield Layer(
        spans=(known - found.good).clip(0, end),
        cause=f"waves above {waves.height_max_m:g} m",
        group="waves",
    )
    yield Layer(
        spans=good - found.good.shrink(last=waves.spare_min),
        cause=f"waves calm for less than {waves.spare_min:g} min after work",
        group="waves",
    )


def _unfit(air: AirTemperature, clock: Clock) -> Iterator[Layer]:
    end = clock.horizon_min
    known = Spans()
    cold, warm = Spans(), Spans()
    for curve in _air_curves(air, clock):
        here = _kept(curve, low=air.min_c)
        fresh = here.known - known
        cold |= fresh - here.good
        warm |= fresh - _kept(curve, high=air.max_c).good
        known |= here.known
    yield Layer(
        spans=known.complement(0, end), cause="air temperature not known", group="temperature"
    )
    if air.min_c is not None:
        yield Layer(
            spans=cold.clip(0, end), cause=f"air below {air.min_c:g} °C", group="temperature"
        )
    if air.max_c is not None:
        yield Layer(
            spans=warm.clip(0, end), cause=f"air above {air.max_c:g} °C", group="temperature"
        )


def _air_curves(air: AirTemperature, clock: Clock) -> Iterator[Curve]:
    """Yield the temperature as curves, the one that counts first before the other."""
    end = float(clock.horizon_min)
    yield SeriesLevel(_levels(air.series), datum_m=0.0).curve(0.0, end)
    daily = HighLowLevel(
        daily_extremes(air.normals, clock),
        high_shift_min=0.0,
        low_shift_min=0.0,
        range_factor=1.0,
        datum_m=0.0,
    )
    yield daily.curve(0.0, end)


def daily_extremes(
    normals: tuple[MonthNormal, ...], clock: Clock, *, days_after: int = 1
) -> tuple[Extreme, ...]:
    """Return the lowest and highest temperature of each day by normals, in time order.

    From the day before the campaign until so many days after it.
    """
    by_month = {row.month: row for row in normals}
    found: list[Extreme] = []
    day, last = clock.first_day - timedelta(days=1), clock.last_day + timedelta(days=days_after)
    while day <= last:
        row = by_month.get(day.month)
        if row is not None:
            for tod, value in ((COLDEST_TOD, row.low_c), (WARMEST_TOD, row.high_c)):
                minute, _ = clock.daily(day, start_tod=tod, end_tod=tod)
                found.append(
                    Extreme(minute=float(minute), level_m=value, is_high=tod == WARMEST_TOD)
                )
        day += timedelta(days=1)
    return tuple(found)


def _kept(curve: Curve, *, low: float | None = None, high: float | None = None) -> _Known:
    known = _inward(curve.below(np.inf))
    good = known
    if high is not None:
        good &= _inward(curve.below(high))
    if low is not None:
        good &= _inward(curve.above(low))
    return _Known(good=good, known=known)


def _levels(series: tuple[Reading, ...]) -> tuple[LevelPoint, ...]:
    return tuple(LevelPoint(minute=row.minute, level_m=row.value) for row in series)


def _inward(found: Intervals) -> Spans:
    return spans_of(*whole_minutes(found, None))
