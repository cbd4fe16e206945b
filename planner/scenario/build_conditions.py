"""Light, waves and air of a campaign from parsed and checked cells."""

from __future__ import annotations

from planner.core.clock import MINUTES_PER_HOUR, Clock
from planner.core.rounding import up
from planner.model.conditions import (
    AirTemperature,
    Conditions,
    Daylight,
    MonthNormal,
    Reading,
    Twilight,
    Waves,
)
from planner.scenario.build_water import row_minute
from planner.scenario.draft import Cells, Draft


def build_conditions(draft: Draft, clock: Clock) -> Conditions:
    """Return the conditions that the keys ask for."""
    return Conditions(
        daylight=_daylight(draft.keys),
        waves=_waves(draft, clock),
        air=_air(draft, clock),
        air_known=_temperatures(draft, clock),
    )


def _daylight(keys: Cells) -> Daylight | None:
    latitude, longitude = (
        keys.number("daylight.latitude_deg"),
        keys.number("daylight.longitude_deg"),
    )
    if latitude is None or longitude is None:
        return None
    return Daylight(
        latitude_deg=latitude,
        longitude_deg=longitude,
        twilight=Twilight(keys.text("daylight.twilight")),
    )


def _waves(draft: Draft, clock: Clock) -> Waves | None:
    keys = draft.keys
    height, planned_h = keys.number("waves.height_max_m"), keys.number("waves.planned_h")
    if height is None or planned_h is None:
        return None
    planned_min = up(planned_h * MINUTES_PER_HOUR)
    return Waves(
        height_max_m=height,
        planned_min=planned_min,
        reference_min=up(planned_min * (keys.number("waves.reference_factor") or 1.0)),
        series=_series(draft, "waves", "height_m", clock),
    )


def _air(draft: Draft, clock: Clock) -> AirTemperature | None:
    known = _temperatures(draft, clock)
    return None if known is None or (known.min_c is None and known.max_c is None) else known


def _temperatures(draft: Draft, clock: Clock) -> AirTemperature | None:
    """Return what is known of the temperature, with the limits where they are given."""
    low, high = draft.keys.number("temperature.min_c"), draft.keys.number("temperature.max_c")
    is_told = draft.rows("temperature_normals") or draft.rows("temperature")
    if low is None and high is None and not is_told:
        return None
    return AirTemperature(
        min_c=low,
        max_c=high,
        series=_series(draft, "temperature", "air_c", clock),
        normals=tuple(
            MonthNormal(
                month=row.whole("month") or 1,
                low_c=row.number("low_c") or 0.0,
                high_c=row.number("high_c") or 0.0,
            )
            for row in draft.rows("temperature_normals")
        ),
    )


def _series(draft: Draft, table: str, column: str, clock: Clock) -> tuple[Reading, ...]:
    found = [
        Reading(minute=row_minute(row, clock), value=row.number(column) or 0.0)
        for row in draft.rows(table)
    ]
    return tuple(sorted(found, key=lambda reading: reading.minute))
