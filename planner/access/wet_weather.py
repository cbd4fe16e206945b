"""Hours that wet weather takes: rain or a level over its threshold, and the recession after it.

A row is wet when the rain of the time up to it passes the limit, or its level reaches the
trigger.  The rain of a row fell at any time since the row before, so zones are closed from that
row on, and until the recession time after the wet one.  What the series do not tell of is dry.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from planner.access.curve import Floats
from planner.access.edges import spans_of
from planner.access.lost import Layer
from planner.core.clock import MINUTES_PER_HOUR
from planner.core.rounding import DECIMALS
from planner.core.spans import Spans
from planner.model.wet_weather import WetRow, WetWeather

_NOISE = 1e-9  # of sums of rain [mm] and of levels [m]


class WetHours:
    """The hours that wet weather takes from zones.

    Parameters
    ----------
    wet_weather
        Series, thresholds and recession.
    """

    def __init__(self, wet_weather: WetWeather) -> None:
        self._given = wet_weather
        self._series = dict(wet_weather.series)
        self.layers = lru_cache(maxsize=None)(self._make_layers)

    def key(self, section: str | None) -> str | None:
        """Return what tells the series of sections apart."""
        return section if section in self._series else None

    def shut(self, key: str | None) -> Spans:
        """Return the minutes in which a key's zones are closed [min]."""
        return Spans(span for layer in self.layers(key) for span in layer.spans)

    def _make_layers(self, key: str | None) -> list[Layer]:
        given, rows = self._given, self._series.get(key, ())
        if not rows:
            return []
        found = []
        times = np.array([row.minute for row in rows], dtype=float)
        if given.rain_limit_mm is not None:
            rain = rain_sums_mm(rows, times, window_min=given.rain_window_min)
            cause = (
                f"wet weather: over {given.rain_limit_mm:g} mm in"
                f" {given.rain_window_min / MINUTES_PER_HOUR:g} h{_receding(given)}"
            )
            wet = rain > given.rain_limit_mm + _NOISE
            spans = _closed(times, wet, given)
            found.append(Layer(spans=spans, cause=cause, group="wet weather"))
        if given.trigger_level_m is not None:
            level = np.array([np.nan if r.level_m is None else r.level_m for r in rows])
            cause = f"wet weather: gauge at {given.trigger_level_m:g} m or above{_receding(given)}"
            wet = level >= given.trigger_level_m - _NOISE
            spans = _closed(times, wet, given)
            found.append(Layer(spans=spans, cause=cause, group="wet weather"))
        return [layer for layer in found if layer.spans]


def rain_sums_mm(rows: tuple[WetRow, ...], times: Floats, *, window_min: float) -> Floats:
    """Return for each row the rain of the window up to it [mm]."""
    total = np.concatenate(([0.0], np.cumsum([row.rain_mm or 0.0 for row in rows])))
    first = np.searchsorted(times, times - window_min, side="right")
    return np.asarray(total[1:] - total[first], dtype=float)


def _closed(times: Floats, wet: NDArray[np.bool_], given: WetWeather) -> Spans:
    """Return the minutes closed by wet rows, rounded outwards."""
    before = np.concatenate((times[:1], times[:-1]))
    starts = np.floor(np.round(before[wet], DECIMALS))
    ends = np.ceil(np.round(times[wet], DECIMALS)) + given.recession_min
    return spans_of(starts, ends)


def _receding(given: WetWeather) -> str:
    hours = given.recession_min / MINUTES_PER_HOUR
    return f", and {hours:g} h to recede" if hours else ""
