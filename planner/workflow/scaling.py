"""The same job, bigger or smaller, farther from the trucks, with shorter windows.

Each scale changes the tables of a scenario, so that the changed job is planned by the whole
model, rules and all.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from enum import StrEnum

from planner.core.clock import MINUTES_PER_DAY, MINUTES_PER_HOUR
from planner.model.campaign import Campaign
from planner.model.rules import ReachBy
from planner.model.water import WaterKind
from planner.scenario.raw import RawTable, Tables

CALENDAR_KINDS = {WaterKind.TIDE, WaterKind.SEWER, WaterKind.NONE}
"""Waters that are known for any day, so that a bigger job may take longer."""


class Axis(StrEnum):
    """What is scaled."""

    VOLUME = "volume"
    DISTANCE = "distance"
    WINDOW = "window"


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """One way of scaling a scenario.

    Attributes
    ----------
    axis
        What is scaled.
    values
        Values that are planned, unless others are asked for.
    unit, meaning
        Unit of the value, and what it means in this scenario, in words.
    """

    axis: Axis
    values: tuple[float, ...]
    unit: str
    meaning: str


def scale_of(campaign: Campaign, axis: Axis) -> Scale:
    """Return how a scenario is scaled along an axis, with values that fit it."""
    match axis:
        case Axis.VOLUME:
            return Scale(
                axis=axis,
                values=(0.05, 0.1, 0.25, 0.5, 1.0, 1.5),
                unit="x",
                meaning="area and volume of every zone, times",
            )
        case Axis.DISTANCE:
            return Scale(
                axis=axis,
                values=(0.0, 10.0, 20.0, 30.0, 40.0, 60.0),
                unit="m",
                meaning="more hose between every set-up position and the faces",
            )
        case Axis.WINDOW:
            if campaign.water.kind is WaterKind.NONE:
                return Scale(
                    axis=axis,
                    values=(3.0, 4.0, 5.0, 6.0, 8.0, 10.0),
                    unit="h",
                    meaning="length of every shift, paid as before",
                )
            return Scale(
                axis=axis,
                values=(0.0, 20.0, 40.0, 60.0, 80.0),
                unit="min",
                meaning="taken off the end of every window",
            )


def scaled(tables: Tables, campaign: Campaign, axis: Axis, value: float) -> Tables:
    """Return the tables of a scenario scaled along an axis.

    Parameters
    ----------
    tables, campaign
        The scenario as text, and as it was read.
    axis, value
        What is scaled, and to which value, in the unit of :func:`scale_of`.
    """
    match axis:
        case Axis.VOLUME:
            return _volume(tables, campaign, value)
        case Axis.DISTANCE:
            return _distance(tables, campaign, value)
        case Axis.WINDOW if campaign.water.kind is WaterKind.NONE:
            return _shifts(tables, value)
        case Axis.WINDOW:
            return _windows(tables, campaign, value)


Cells = dict[str, str]


def _with_rows(tables: Tables, name: str, change: Callable[[Cells], Cells]) -> Tables:
    raw = tables.tables[name]
    rows = [change(dict(zip(raw.columns, row, strict=True))) for row in raw.rows]
    columns = tuple(dict.fromkeys([*raw.columns, *(key for row in rows for key in row)]))
    cells = tuple(tuple(row.get(column, "") for column in columns) for row in rows)
    return replace(tables, tables={**tables.tables, name: RawTable(columns=columns, rows=cells)})


def _volume(tables: Tables, campaign: Campaign, factor: float) -> Tables:
    def change(row: Cells) -> Cells:
        filled = [name for name in ("area_m2", "volume_m3") if row.get(name)]
        return row | {name: _text(float(row[name]) * factor) for name in filled}

    scaled_tables = _with_rows(tables, "zones", change)
    if factor <= 1.0 or campaign.water.kind not in CALENDAR_KINDS:
        return scaled_tables
    clock = campaign.clock
    more = timedelta(days=math.ceil(clock.days * (factor - 1.0)))
    end: date = clock.last_day + more
    return _with_keys(scaled_tables, {"campaign.end": end.isoformat()})


def _distance(tables: Tables, campaign: Campaign, metres: float) -> Tables:
    if campaign.reach_by is ReachBy.GRID:
        tables = _with_routes(tables, campaign)
    positions = {str(position.position_id) for position in campaign.positions}

    def change(row: Cells) -> Cells:
        ends = sum(row.get(end, "") in positions for end in ("from", "to"))
        return row | {"length_m": _text(float(row["length_m"]) + metres * ends)}

    return _with_rows(tables, "routes", change)


def _with_routes(tables: Tables, campaign: Campaign) -> Tables:
    """Return a scenario with the lengths of the grid written out as routes."""
    rows = tuple(
        (
            str(position.position_id),
            str(zone.zone_id),
            _text(
                campaign.reach_slack
                * math.fsum(
                    (
                        abs(zone.x_m - position.x_m),
                        abs(zone.y_m - position.y_m),
                        abs(zone.z_m - position.z_m),
                    )
                )
            ),
            _text(zone.z_m - position.z_m),
        )
        for position in campaign.positions
        for zone in campaign.zones
    )
    routes = RawTable(columns=("from", "to", "length_m", "rise_m"), rows=rows)
    changed = replace(tables, tables={**tables.tables, "routes": routes})
    return _with_keys(changed, {"reach.by": ReachBy.ROUTES.value})


def _shifts(tables: Tables, hours: float) -> Tables:
    def change(row: Cells) -> Cells:
        hour, minute = row["start"].split(":")
        start = int(hour) * MINUTES_PER_HOUR + int(minute)
        end = (start + round(hours * MINUTES_PER_HOUR)) % MINUTES_PER_DAY
        return row | {"end": f"{end // MINUTES_PER_HOUR:02d}:{end % MINUTES_PER_HOUR:02d}"}

    return _with_rows(tables, "shifts", change)


def _windows(tables: Tables, campaign: Campaign, minutes: float) -> Tables:
    def change(row: Cells) -> Cells:
        own = row.get("get_out_min", "")
        return row | {"get_out_min": _text(float(own) + minutes)} if own else row

    scaled_tables = _with_rows(tables, "zones", change)
    get_out = campaign.rules.get_out_min + minutes
    return _with_keys(scaled_tables, {"rules.get_out_min": _text(get_out)})


def _with_keys(tables: Tables, keys: Mapping[str, str]) -> Tables:
    return replace(tables, campaign={**tables.campaign, **keys})


def _text(number: float) -> str:
    """Return a number as the text of a cell, to six decimals."""
    text = f"{number:.6f}".rstrip("0").rstrip(".")
    return "0" if text in {"", "-0"} else text
