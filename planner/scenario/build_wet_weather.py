"""The weather of a campaign from parsed and checked cells."""

from __future__ import annotations

from planner.core.clock import MINUTES_PER_HOUR, Clock
from planner.core.rounding import up
from planner.model.wet_weather import MonthLoss, WetRow, WetWeather
from planner.scenario.build_water import row_minute
from planner.scenario.draft import Draft


def build_wet_weather(draft: Draft, clock: Clock) -> WetWeather:
    """Return rain and gauges with their thresholds."""
    series: dict[str | None, list[WetRow]] = {}
    for row in draft.rows("wet_weather"):
        found = WetRow(
            minute=row_minute(row, clock),
            rain_mm=row.number("rain_mm"),
            level_m=row.number("level_m"),
        )
        series.setdefault(row.text("section") or None, []).append(found)
    keys = draft.keys
    return WetWeather(
        series=tuple(
            (section, tuple(sorted(rows, key=lambda row: row.minute)))
            for section, rows in series.items()
        ),
        rain_limit_mm=keys.number("water.rain_limit_mm"),
        trigger_level_m=keys.number("water.trigger_level_m"),
        rain_window_min=MINUTES_PER_HOUR * (keys.number("water.rain_window_h") or 0.0),
        recession_min=up(MINUTES_PER_HOUR * (keys.number("water.recession_h") or 0.0)),
    )


def build_weather_allowance(draft: Draft) -> tuple[MonthLoss, ...]:
    """Return the share of windows lost by month, in file order."""
    return tuple(
        MonthLoss(month=row.whole("month") or 1, lost=row.number("lost") or 0.0)
        for row in draft.rows("weather_allowance")
    )
