"""Zones: quantities, water levels, dates."""

from __future__ import annotations

from planner.core.quantities import in_place_m3
from planner.scenario.calendar import not_before
from planner.scenario.draft import Row
from planner.scenario.grid import shorten
from planner.scenario.suggest import did_you_mean
from planner.scenario.validation.ledger import Ledger
from planner.scenario.validation.references import known_ids

_TABLE = "zones"
_WATER = ("water_max_m", "wets_at_m")
_MUCH = 3.0
"""A volume this many times area times depth, or as much below it, is odd."""


def check_zones(ledger: Ledger) -> None:
    """Note what is wrong in zones.csv within a row, and with the water of the campaign."""
    is_whole = "levels" not in ledger.draft.damaged
    series = {point.text("section") for point in ledger.draft.rows("levels") if is_whole}
    for row in ledger.draft.rows(_TABLE):
        _check_quantity(ledger, row)
        _check_found(ledger, row)
        _check_dates(ledger, row)
        if ledger.water_kind == "none":
            _warn_of_idle_levels(ledger, row)
        elif ledger.water_kind:
            _check_levels(ledger, row)
            _check_section(ledger, row, series)


def _check_quantity(ledger: Ledger, row: Row) -> None:
    volume_m3 = row.number("volume_m3")
    if row.is_empty("volume_m3"):
        for name, what in (("area_m2", "area in m²"), ("depth_mm", "depth in mm")):
            if row.is_empty(name):
                ledger.missing(
                    f"write the {what}, or give volume_m3",
                    table=_TABLE,
                    row=row,
                    column=name,
                )
    area_m2, depth_mm = row.number("area_m2"), row.number("depth_mm")
    if volume_m3 is None or area_m2 is None or depth_mm is None:
        return
    plain_m3 = in_place_m3(area_m2=area_m2, depth_mm=depth_mm, overbreak=0.0)
    if not plain_m3 / _MUCH <= volume_m3 <= plain_m3 * _MUCH:
        ledger.warn(
            "odd-number",
            f"{volume_m3:g} m³ where area times depth gives {plain_m3:.3g} m³; the volume is used,"
            " the depth sets the layers",
            table=_TABLE,
            row=row,
            column="volume_m3",
        )


def _check_found(ledger: Ledger, row: Row) -> None:
    """Note what break-out found where it lacks its other half, or is far from the survey."""
    for found, other, what in (
        ("found_area_m2", "depth_mm", "depth_mm or found_depth_mm"),
        ("found_depth_mm", "area_m2", "area_m2 or found_area_m2"),
    ):
        if row.has(found) and row.is_empty(other) and row.is_empty(f"found_{other}"):
            ledger.missing(f"write {what} beside {found}", table=_TABLE, row=row, column=other)
        surveyed = found.removeprefix("found_")
        before, now = row.number(surveyed), row.number(found)
        if before and now and not before / _MUCH <= now <= before * _MUCH:
            ledger.warn(
                "odd-number",
                f"{now:g} found where the survey has {before:g}; it is used as given",
                table=_TABLE,
                row=row,
                column=found,
            )


def _check_levels(ledger: Ledger, row: Row) -> None:
    for name in _WATER:
        if row.is_empty(name):
            meaning = (
                "highest water at which people can work (m above the site datum)"
                if name == "water_max_m"
                else "water level that reaches the fresh surface (m above the site datum)"
            )
            ledger.missing(
                f"write the {meaning}, or never",
                table=_TABLE,
                row=row,
                column=name,
            )
    if row.has("water_min_m"):
        _check_float(ledger, row)


def _check_float(ledger: Ledger, row: Row) -> None:
    least, most = row.number("water_min_m"), row.number("water_max_m")
    if row.is_never("water_max_m") or row.is_empty("water_max_m"):
        ledger.error(
            "water-min-without-max",
            "floating access needs water_max_m as well: a rising float traps people; write the"
            " highest water at which they can work",
            table=_TABLE,
            row=row,
            column="water_min_m",
        )
        return
    if least is None or most is None:
        return
    if least > most:
        ledger.error(
            "water-min-above-max",
            f"{least:g} m is above water_max_m, {most:g} m; people could never work there",
            table=_TABLE,
            row=row,
            column="water_min_m",
        )
        return
    keys = ledger.draft.keys
    high = keys.number("water.allowance_m") or 0.0
    low = keys.number("water.allowance_low_m")
    margin = 0.0 if ledger.water_kind == "sewer" else (high if low is None else low)
    if least + margin >= most - high:
        ledger.warn(
            "never-open",
            f"between {least:g} m and {most:g} m the allowances of the water leave nothing; the"
            " zone will have no window",
            table=_TABLE,
            row=row,
            column="water_min_m",
        )


def _warn_of_idle_levels(ledger: Ledger, row: Row) -> None:
    for name in (*_WATER, "water_min_m"):
        if row.has(name) and not row.is_never(name):
            ledger.warn(
                "column-not-used",
                'the level is not used, because water.kind is "none"',
                table=_TABLE,
                row=row,
                column=name,
            )


def _check_section(ledger: Ledger, row: Row, series: set[str]) -> None:
    if "section" in row.bad:
        return
    section = row.text("section")
    if ledger.water_kind == "sewer":
        _check_sewer_section(ledger, row, section)
    elif ledger.water_kind == "levels" and series and not {section, ""} & series:
        said = f"section {shorten(section)}" if section else "a zone without section"
        ledger.error(
            "unknown-reference",
            f"{ledger.draft.label('levels')} has no series for {said}, and none for all"
            f" sections{did_you_mean(section, series)}",
            table=_TABLE,
            row=row,
            column="section",
        )


def _check_sewer_section(ledger: Ledger, row: Row, section: str) -> None:
    known = known_ids(ledger.draft, "sewer")
    if not section:
        ledger.missing(
            f"write the section of {ledger.draft.label('sewer')} in which the zone lies",
            table=_TABLE,
            row=row,
            column="section",
        )
    elif section not in known:
        ledger.error(
            "unknown-reference",
            f"{shorten(section)} is not in {ledger.draft.label('sewer')}"
            f"{did_you_mean(section, known)}",
            table=_TABLE,
            row=row,
            column="section",
        )


def _check_dates(ledger: Ledger, row: Row) -> None:
    clock = ledger.clock
    if clock is None:
        return
    ready, due = row.moment("ready_from"), row.day("due")
    ready_min = None if ready is None else not_before(clock, ready)
    if ready_min is not None and ready_min >= clock.horizon_min:
        ledger.warn(
            "outside-campaign",
            f"{ready} lies after the campaign's last day, {clock.last_day}; the zone cannot be"
            " planned",
            table=_TABLE,
            row=row,
            column="ready_from",
        )
    if due is None:
        return
    if due < clock.first_day:
        ledger.warn(
            "outside-campaign",
            f"{due} lies before the campaign's first day, {clock.first_day}; the zone is late"
            " whatever is planned",
            table=_TABLE,
            row=row,
            column="due",
        )
    elif ready_min is not None and ready_min >= clock.day_end(due):
        ledger.warn(
            "due-before-ready",
            f"the zone is due on {due}, before it is ready from {ready}; it is late whatever is"
            " planned",
            table=_TABLE,
            row=row,
            column="due",
        )
