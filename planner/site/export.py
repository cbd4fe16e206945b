"""From the journal to the scenario: progress.csv, and what break-out found in zones.csv.

One row of progress.csv for each entry with a placed or left volume.  Where break-out is planned, a
zone that was measured counts as broken out, so it gets a row with nothing done.  Losses, water
levels and ticks stay in the journal.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from planner.core.clock import Clock
from planner.model.campaign import Campaign
from planner.model.identifiers import ZoneId
from planner.model.progress import Done
from planner.model.zone import Zone
from planner.plan.rows import exact
from planner.scenario.raw import RawTable, Tables
from planner.site.entry import Entry, Stored

PROGRESS = "progress"
ZONES = "zones"
COLUMNS = ("zone", "layer", "done_m3", "left_m3", "at", "rig", "crew", "position")
FOUND = ("found_area_m2", "found_depth_mm")


def done_of(entry: Entry, clock: Clock, *, plans_break_out: bool) -> Done | None:
    """Return the row of progress that an entry makes, or None."""
    if entry.zone is None or entry.stop is None:
        return None
    if not entry.is_work and not (entry.is_find and plans_break_out):
        return None
    return Done(
        zone_id=entry.zone,
        layer=entry.layer or 1,
        done_m3=entry.placed_m3 or 0.0,
        left_m3=entry.left_m3,
        at_min=clock.minute(entry.stop),
        rig_id=entry.rig,
        crew_id=entry.crew,
        position_id=entry.position,
    )


def progress_rows(campaign: Campaign, stored: Iterable[Stored]) -> tuple[Done, ...]:
    """Return the rows of progress that entries make, in time order."""
    found = [
        done
        for row in stored
        if (done := done_of(row.entry, campaign.clock, plans_break_out=campaign.plans_break_out))
    ]
    return tuple(sorted(found, key=lambda row: (row.at_min, row.zone_id, row.layer)))


def found_of(stored: Iterable[Stored]) -> dict[ZoneId, tuple[float | None, float | None]]:
    """Return area and depth found in each zone measured, the last measure of each [m², mm]."""
    found: dict[ZoneId, tuple[float | None, float | None]] = {}
    for row in stored:
        entry = row.entry
        if entry.zone is not None and entry.is_find:
            area, depth = found.get(entry.zone, (None, None))
            found[entry.zone] = (
                area if entry.found_area_m2 is None else entry.found_area_m2,
                depth if entry.found_depth_mm is None else entry.found_depth_mm,
            )
    return found


def with_records(campaign: Campaign, stored: Sequence[Stored]) -> Campaign:
    """Return the campaign with what the journal says: progress, and quantities found.

    Rows of progress that no entry holding now makes are kept beside them, as written by hand; rows
    of entries that were corrected since must have been taken off (:func:`by_hand`).
    """
    made = progress_rows(campaign, stored)
    others = [row for row in campaign.done if row not in set(made)]
    finds = found_of(stored)
    overbreak = campaign.rules.overbreak
    zones = tuple(
        _with_find(zone, *finds[zone.zone_id], overbreak) if zone.zone_id in finds else zone
        for zone in campaign.zones
    )
    return replace(campaign, zones=zones, done=(*others, *made))


def by_hand(campaign: Campaign, ever: Iterable[Stored]) -> Campaign:
    """Return the campaign with only those rows of progress that no entry has ever made."""
    return replace(campaign, done=unknown_rows(campaign, campaign.done, ever))


def _with_find(
    zone: Zone, area_m2: float | None, depth_mm: float | None, overbreak: float
) -> Zone:
    surveyed = zone.surveyed_m3
    if surveyed is None:
        surveyed = zone.in_place_m3(overbreak)
    area = zone.area_m2 if area_m2 is None else area_m2
    depth = zone.depth_mm if depth_mm is None else depth_mm
    if area is None or depth is None:
        return zone
    volume = area * depth / 1000.0 if depth_mm is not None else None
    return replace(zone, area_m2=area, depth_mm=depth, volume_m3=volume, surveyed_m3=surveyed)


def progress_table(clock: Clock, rows: Iterable[Done]) -> RawTable:
    """Return progress.csv as text: the contract's columns, times with their offset."""
    return RawTable(columns=COLUMNS, rows=tuple(_cells(clock, row) for row in rows))


def _cells(clock: Clock, row: Done) -> tuple[str, ...]:
    return (
        str(row.zone_id),
        str(row.layer),
        str(exact(row.done_m3)),
        "" if row.left_m3 is None else str(exact(row.left_m3)),
        clock.text(row.at_min),
        row.rig_id or "",
        row.crew_id or "",
        row.position_id or "",
    )


def unknown_rows(
    campaign: Campaign, present: Iterable[Done], ever: Iterable[Stored]
) -> tuple[Done, ...]:
    """Return the rows of progress.csv that no entry of the journal, now or before, has made."""
    made = set(progress_rows(campaign, ever))
    return tuple(row for row in present if row not in made)


def with_tables(tables: Tables, campaign: Campaign, stored: Sequence[Stored]) -> Tables:
    """Return the scenario as text with progress and finds of the journal; the rest as it was."""
    changed = dict(tables.tables)
    changed[PROGRESS] = progress_table(campaign.clock, progress_rows(campaign, stored))
    finds = found_of(stored)
    if finds:
        changed[ZONES] = _zones_table(tables.tables[ZONES], finds)
    return replace(tables, tables=changed)


def _zones_table(
    raw: RawTable, finds: dict[ZoneId, tuple[float | None, float | None]]
) -> RawTable:
    columns = (*raw.columns, *(name for name in FOUND if name not in raw.columns))
    zone_at = columns.index("zone")
    rows = []
    for row in raw.rows:
        cells = list(row) + [""] * (len(columns) - len(row))
        for name, value in zip(
            FOUND, finds.get(ZoneId(cells[zone_at]), (None, None)), strict=True
        ):
            if value is not None:
                cells[columns.index(name)] = str(exact(value))
        rows.append(tuple(cells))
    return RawTable(columns=columns, rows=tuple(rows))
