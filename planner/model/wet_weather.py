"""Rain and levels that tell of wet weather, and how long it keeps people out."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class WetRow:
    """A row of wet_weather.csv.

    Attributes
    ----------
    minute
        Campaign minute, with fractions; may lie outside the campaign.
    rain_mm
        Rain since the row before [mm]; None: not given.
    level_m
        Level of the gauge that is watched, at its own zero [m]; None: not given.
    """

    minute: float
    rain_mm: float | None = None
    level_m: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class MonthLoss:
    """Share of otherwise usable windows that weather takes in one month [1]."""

    month: int
    lost: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WetWeather:
    """When rain or a rising gauge keeps people away from the zones.

    A row is wet when the rain of ``rain_window_min`` up to it passes ``rain_limit_mm``, or its
    level reaches ``trigger_level_m``.  Zones are closed from the row before a wet one until
    ``recession_min`` after it.

    Attributes
    ----------
    series
        Section (None: zones of sections without a series of their own) and rows in time order.
    rain_limit_mm, trigger_level_m
        Most rain [mm]; level at which it is wet [m]; None: not looked at.
    rain_window_min, recession_min
        Time over which rain is summed; time in which the flow comes down again [min].
    """

    series: tuple[tuple[str | None, tuple[WetRow, ...]], ...] = ()
    rain_limit_mm: float | None = None
    trigger_level_m: float | None = None
    rain_window_min: float = 1440.0
    recession_min: int = 0
