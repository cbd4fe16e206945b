"""Shift records as text become entries; everything wrong with them is told in one go."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

from planner.core.problems import InputRefusedError, Problem
from planner.model.campaign import Campaign
from planner.model.identifiers import CrewId, MixId, PositionId, RigId, ZoneId
from planner.scenario.calendar import is_ambiguous
from planner.scenario.draft import Row, table_rows
from planner.scenario.files import read_bytes
from planner.scenario.findings import Findings
from planner.scenario.folder import read_csv
from planner.scenario.grid import shorten, table_from
from planner.scenario.raw import BYTES_MAX, RawTable
from planner.scenario.spreadsheet import cell_text
from planner.scenario.suggest import did_you_mean
from planner.site.columns import RECORDS
from planner.site.entry import Entry
from planner.site.plausible import Ledger, check

_REFERENCES = ("zone", "rig", "crew", "position", "mix")
_WORKBOOK = ".xlsx"


def entries_of_file(
    path: Path, campaign: Campaign
) -> tuple[tuple[tuple[int, Entry], ...], tuple[Problem, ...]]:
    """Return the entries of a CSV file or the first sheet of a workbook, and what is odd.

    Each entry comes with its row, as a spreadsheet counts it.

    Raises
    ------
    InputRefusedError
        With every problem found, warnings included; nothing is taken then.
    """
    findings = Findings()
    raw = _as_records(_raw(path, findings))
    found = entries_of(raw, campaign, file=path.name, findings=findings)
    return found, tuple(findings.problems())


def entry_of_cells(
    cells: Mapping[str, str], campaign: Campaign, *, file: str
) -> tuple[Entry, tuple[Problem, ...]]:
    """Return the entry of one form or command line, and what is odd about it.

    Raises
    ------
    InputRefusedError
        With every problem found; rows do not apply.
    """
    given = {name: text for name, text in cells.items() if text.strip()}
    raw = RawTable(columns=tuple(given), rows=(tuple(given.values()),))
    findings = Findings()
    try:
        ((_, entry),) = entries_of(raw, campaign, file=file, findings=findings)
    except InputRefusedError as refused:
        raise InputRefusedError(_without_rows(refused.problems)) from None
    return entry, _without_rows(findings.problems())


def _without_rows(problems: Sequence[Problem]) -> tuple[Problem, ...]:
    return tuple(replace(problem, row=None) for problem in problems)


def entries_of(
    raw: RawTable, campaign: Campaign, *, file: str, findings: Findings
) -> tuple[tuple[int, Entry], ...]:
    """Return the entries of a table of records, each with its row.

    Raises
    ------
    InputRefusedError
        With every problem found, warnings included.
    """
    if not any(any(cell.strip() for cell in row) for row in raw.rows):
        message = "there is no record; write one row for each zone, layer and shift"
        findings.error("no-record", message, file=file, row=1)
    rows = table_rows(RECORDS, raw, file=file, findings=findings, is_whole=True)
    ledger = Ledger(campaign=campaign, file=file, findings=findings)
    found = [(row.place, entry) for row in rows for entry in _entry(row, ledger)]
    findings.raise_errors()
    return tuple(found)


def _entry(row: Row, ledger: Ledger) -> Iterator[Entry]:
    """Yield the entry of a row; nothing where it cannot be taken, which is told."""
    before = ledger.errors
    known = _known_ids(ledger.campaign)
    for name in _REFERENCES:
        text = row.text(name)
        if text and text not in known[name]:
            ledger.error(
                row,
                name,
                f"there is no {name} {shorten(text)} in this scenario"
                f"{did_you_mean(text, known[name])}",
            )
    start, stop = _moment(row, "start", ledger), _moment(row, "stop", ledger)
    if row.bad or ledger.errors > before:
        return
    entry = Entry(
        zone=ZoneId(row.text("zone")) if row.has("zone") else None,
        layer=row.whole("layer"),
        placed_m3=row.number("placed_m3"),
        left_m3=row.number("left_m3"),
        bags=row.number("bags"),
        bag_l=row.number("bag_l"),
        start=start,
        stop=stop,
        rig=RigId(row.text("rig")) if row.has("rig") else None,
        crew=CrewId(row.text("crew")) if row.has("crew") else None,
        position=PositionId(row.text("position")) if row.has("position") else None,
        mix=MixId(row.text("mix")) if row.has("mix") else None,
        water_m=row.number("water_m"),
        lost_min=row.number("lost_min"),
        lost_reason=row.text("lost_reason") or None,
        found_area_m2=row.number("found_area_m2"),
        found_depth_mm=row.number("found_depth_mm"),
        item=row.text("item") or None,
        note=row.text("note") or None,
    )
    check(entry, row, ledger)
    if ledger.errors == before:
        yield entry


def _as_records(raw: RawTable) -> RawTable:
    """Return a table with the columns of progress.csv under the names of a record."""
    if "at" not in raw.columns or "stop" in raw.columns:
        return raw
    names = {"at": "stop", "done_m3": "placed_m3"}
    return replace(raw, columns=tuple(names.get(name, name) for name in raw.columns))


def _known_ids(campaign: Campaign) -> dict[str, list[str]]:
    return {
        "zone": [str(row.zone_id) for row in campaign.zones],
        "rig": [str(row.rig_id) for row in campaign.rigs],
        "crew": [str(row.crew_id) for row in campaign.crews],
        "position": [str(row.position_id) for row in campaign.positions],
        "mix": list(dict.fromkeys(str(row.mix_id) for row in campaign.mixes)),
    }


def _moment(row: Row, name: str, ledger: Ledger) -> datetime | None:
    """Return a time with its offset; a date alone says no time of day and is refused."""
    value = row.moment(name)
    if value is None:
        return None
    clock = ledger.campaign.clock
    if not isinstance(value, datetime):
        ledger.error(row, name, f"{date.isoformat(value)} has no time of day; write 09:05 with it")
        return None
    if is_ambiguous(clock, value):
        ledger.warn(
            row,
            name,
            f"{value:%Y-%m-%d %H:%M} falls into the change of the clock and is read with the"
            " offset before it; write the offset to be sure",
        )
    return clock.local(round(clock.exact_minute(value)))


def _raw(path: Path, findings: Findings) -> RawTable:
    if not path.exists():
        findings.error("no-such-file", "there is no such file", file=path.name)
        findings.raise_errors()
    if path.suffix.lower() == _WORKBOOK:
        return _first_sheet(path, findings)
    return read_csv(path, RECORDS, findings)


def _first_sheet(path: Path, findings: Findings) -> RawTable:
    from io import BytesIO  # noqa: PLC0415 - beside its only use
    from zipfile import BadZipFile  # noqa: PLC0415 - beside its only use

    from openpyxl import load_workbook  # noqa: PLC0415 - slow to import
    from openpyxl.utils.exceptions import InvalidFileException  # noqa: PLC0415 - as above

    data = read_bytes(path, file=path.name, most=BYTES_MAX, findings=findings)
    if data is None:
        return RawTable(columns=())
    try:
        book = load_workbook(BytesIO(data), data_only=True)
    except (BadZipFile, InvalidFileException, KeyError, ValueError, OSError):
        message = "is no .xlsx workbook that can be read; save it as .xlsx, or as CSV UTF-8"
        findings.error("not-a-workbook", message, file=path.name)
        return RawTable(columns=())
    sheet = book.worksheets[0]
    grid = [
        [cell_text(cell.value, str(cell.number_format)) for cell in row]
        for row in sheet.iter_rows()
    ]
    return table_from(grid, file=path.name, findings=findings)
