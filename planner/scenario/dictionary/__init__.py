"""The data dictionary: every table, column and key, described once.

Reader, validation, writer, editor, help and docs all use it.
"""

from __future__ import annotations

from planner.scenario.dictionary.campaign import GOALS, KEYS, PRICE_OWNERS
from planner.scenario.dictionary.column import Column, Kind, Need, Table
from planner.scenario.dictionary.conditions import TEMPERATURE, TEMPERATURE_NORMALS, WAVES
from planner.scenario.dictionary.flow import FLOW_CONTROL, SEWER_FLOW, SEWER_SEASON
from planner.scenario.dictionary.limits import APART, CLOSURES, MIXES, OPEN_LIMITS, PROGRESS
from planner.scenario.dictionary.locks import LOCKS
from planner.scenario.dictionary.materials import MATERIALS
from planner.scenario.dictionary.people import CREWS, RIGS, SHIFTS
from planner.scenario.dictionary.places import POSITIONS, ROUTES, WAYPOINTS, ZONES
from planner.scenario.dictionary.quality import CARDS, RESULTS
from planner.scenario.dictionary.resources import RESOURCES
from planner.scenario.dictionary.water import (
    CONSTITUENTS,
    HIGHLOW,
    LEVELS,
    SEWER,
    SEWER_PATTERN,
)
from planner.scenario.dictionary.wet_weather import WEATHER_ALLOWANCE, WET_WEATHER

__all__ = [
    "CAMPAIGN",
    "CLOSURES",
    "GOALS",
    "KEYS",
    "KEY_BY_NAME",
    "PRICE_OWNERS",
    "ROUTES",
    "TABLES",
    "TABLE_BY_NAME",
    "WATER_EXTRAS",
    "WATER_TABLES",
    "Column",
    "Kind",
    "Need",
    "Table",
    "key_column",
]

CAMPAIGN = "campaign"
"""Name of the sheet, and stem of the file, that holds the keys."""

TABLES: tuple[Table, ...] = (
    ZONES,
    POSITIONS,
    ROUTES,
    WAYPOINTS,
    RIGS,
    CREWS,
    SHIFTS,
    CARDS,
    CLOSURES,
    APART,
    OPEN_LIMITS,
    RESOURCES,
    LOCKS,
    MIXES,
    MATERIALS,
    CONSTITUENTS,
    HIGHLOW,
    LEVELS,
    SEWER,
    SEWER_PATTERN,
    SEWER_FLOW,
    SEWER_SEASON,
    FLOW_CONTROL,
    WET_WEATHER,
    WEATHER_ALLOWANCE,
    WAVES,
    TEMPERATURE,
    TEMPERATURE_NORMALS,
    PROGRESS,
    RESULTS,
)
"""Every table in the order in which it is written and reported."""

TABLE_BY_NAME: dict[str, Table] = {table.name: table for table in TABLES}

KEY_BY_NAME: dict[str, Column] = {key.name: key for key in KEYS}

WATER_TABLES: dict[str, tuple[str, ...]] = {
    "tide": ("constituents",),
    "highlow": ("highlow",),
    "levels": ("levels",),
    "sewer": ("sewer", "sewer_pattern"),
    "none": (),
}
"""Tables that each kind of water needs."""

WATER_EXTRAS: dict[str, tuple[str, ...]] = {
    "sewer": ("sewer_flow", "sewer_season", "flow_control"),
}
"""Tables that a kind of water may have besides."""


def key_column(key: str) -> Column | None:
    """Return the description of a dotted key, also of one for a rig, crew, mix or process."""
    found = KEY_BY_NAME.get(key)
    if found is not None and not key.endswith(".*"):
        return found
    for group in PRICE_OWNERS:
        if key.startswith(f"{group}.") and len(key) > len(group) + 1:
            return KEY_BY_NAME[f"{group}.*"]
    return None
