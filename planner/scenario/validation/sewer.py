"""Sewer sections and their flow patterns."""

from __future__ import annotations

import math
from datetime import date

from planner.scenario.build_water import HOURS, pattern_groups
from planner.scenario.draft import Row
from planner.scenario.grid import shorten
from planner.scenario.validation.ledger import Ledger

_FAST_M_S = 6.0
"""A mean flow that would run faster than this through the full pipe is odd [m/s]."""
_MEAN_LOW, _MEAN_HIGH = 0.8, 1.25
"""A pattern whose mean lies outside of this is odd: multipliers are factors of the mean."""
_WEEKDAYS, _WEEKEND, _WEEK = 5, 2, 7

_Group = tuple[str | None, int | None]


def check_sewer(ledger: Ledger) -> None:
    """Note what is wrong with sewer.csv and sewer_pattern.csv."""
    if ledger.water_kind != "sewer":
        return
    for row in ledger.draft.rows("sewer"):
        _check_flow(ledger, row)
    for row in ledger.draft.rows("zones"):
        _check_depths(ledger, row)
    if "sewer_pattern" in ledger.draft.damaged:
        return
    groups = pattern_groups(ledger.draft)
    for group, rows in groups.items():
        _check_hours(ledger, group, rows)
    _check_months(ledger, set(groups))


def _check_flow(ledger: Ledger, row: Row) -> None:
    flow, diameter = row.number("mean_flow_m3_s"), row.number("diameter_m")
    if flow is None or not diameter:
        return
    speed = flow / (math.pi / 4 * diameter**2)
    if speed > _FAST_M_S:
        ledger.warn(
            "odd-number",
            f"{flow:g} m³/s through a pipe of {diameter:g} m would run at {speed:.0f} m/s; write"
            " litres a second divided by 1000",
            table="sewer",
            row=row,
            column="mean_flow_m3_s",
        )


def _check_depths(ledger: Ledger, row: Row) -> None:
    if row.has("water_min_m"):
        ledger.warn(
            "odd-limit",
            "a least depth of flow in a sewer is unusual; is it meant?",
            table="zones",
            row=row,
            column="water_min_m",
        )
    section = ledger.draft.ids("sewer").get(row.text("section"))
    diameter_m = None if section is None else section.number("diameter_m")
    depth_m = row.number("water_max_m")
    if diameter_m is None or depth_m is None:
        return
    if depth_m <= 0:
        ledger.warn(
            "never-open",
            f"{depth_m:g} m: in a sewer this is the greatest depth of flow above the invert, so"
            " the zone will have no window",
            table="zones",
            row=row,
            column="water_max_m",
        )
    elif depth_m > diameter_m:
        ledger.warn(
            "odd-limit",
            f"{depth_m:g} m is deeper than the pipe, {diameter_m:g} m; in a sewer this is the"
            " greatest depth of flow above the invert, in metres",
            table="zones",
            row=row,
            column="water_max_m",
        )


def _named(group: _Group) -> str:
    section, month = group
    parts = [f" of section {shorten(section)}"] if section else []
    parts += [f" for month {month}"] if month else []
    return "".join(parts)


def _check_hours(ledger: Ledger, group: _Group, rows: list[Row]) -> None:
    if any({"hour", "section", "month"} & row.bad for row in rows):
        return
    hours = {row.whole("hour") for row in rows}
    missing = [str(hour) for hour in range(HOURS) if hour not in hours]
    if missing:
        ledger.error(
            "pattern-incomplete",
            f"the pattern{_named(group)} lacks the hours {', '.join(missing)}; it needs all 24",
            table="sewer_pattern",
            row=rows[0],
            column="hour",
        )
        return
    total = sum(
        _WEEKDAYS * (row.number("weekday") or 0.0) + _WEEKEND * (row.number("weekend") or 0.0)
        for row in rows
    )
    mean = total / (_WEEK * len(rows))
    if not any(row.bad for row in rows) and not _MEAN_LOW <= mean <= _MEAN_HIGH:
        ledger.warn(
            "odd-number",
            f"the multipliers{_named(group)} average {mean:.3g}; they are factors of the mean"
            " flow, so about 1 is usual",
            table="sewer_pattern",
            row=rows[0],
            column="weekday",
        )


def _months(first: date, last: date) -> list[int]:
    count = (last.year - first.year) * 12 + last.month - first.month + 1
    return sorted({(first.month - 1 + k) % 12 + 1 for k in range(min(count, 12))})


def _check_months(ledger: Ledger, groups: set[_Group]) -> None:
    clock = ledger.clock
    if clock is None or not groups:
        return
    measured = {row.text("section") for row in ledger.draft.rows("sewer_flow")}
    for section, row in ledger.draft.ids("sewer").items():
        if section in measured:
            continue
        missing = [
            str(month)
            for month in _months(clock.first_day, clock.last_day)
            if not groups & {(section, month), (section, None), (None, month), (None, None)}
        ]
        if missing:
            ledger.error(
                "pattern-incomplete",
                f"{ledger.draft.label('sewer_pattern')} has no pattern for section"
                f" {shorten(section)} in month {', '.join(missing)}; add one, or one without"
                " section and month for all",
                table="sewer",
                row=row,
                column="section",
            )
