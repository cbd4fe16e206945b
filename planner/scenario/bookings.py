"""Bookings of a calendar file as rows of closures.csv."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from pathlib import Path

from planner.core.clock import Clock
from planner.scenario.calendar_file import Booking, Moment
from planner.scenario.dates import YEAR_MAX, YEAR_MIN
from planner.scenario.dictionary import CLOSURES
from planner.scenario.raw import Form, RawTable, Tables, label
from planner.scenario.replace import replace_file
from planner.scenario.workbook import write_workbook
from planner.scenario.writer import csv_text

_TEXT_MAX = 200
_NEEDED = ("scope", "id", "from", "to", "kind", "why")


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """What bookings close: scope, identifier (empty for the site) and kind of closures.csv."""

    scope: str
    name: str
    kind: str


def with_bookings(
    tables: Tables, bookings: Iterable[Booking], *, target: Target, clock: Clock, anew: bool
) -> tuple[Tables, int]:
    """Return the scenario with bookings as closures, and how many rows are new.

    Parameters
    ----------
    tables
        The scenario as text.
    bookings
        What is taken.
    target
        What it closes.
    clock
        The campaign's calendar.
    anew
        Whether earlier rows of the same scope, identifier and kind go first.
    """
    old = tables.tables.get(CLOSURES.name, RawTable(columns=()))
    columns = (*old.columns, *(name for name in _NEEDED if name not in old.columns))
    width = len(columns)
    rows = [row + ("",) * (width - len(row)) for row in old.rows]
    place = {name: columns.index(name) for name in CLOSURES.column_names if name in columns}
    if anew:
        same = (("scope", target.scope), ("id", target.name), ("kind", target.kind))
        rows = [
            row for row in rows if any(row[place[name]].strip() != text for name, text in same)
        ]
    known = set(rows)
    fresh = []
    for booking in bookings:
        row = _row(booking, target, columns, clock)
        if row not in known:
            fresh.append(row)
            known.add(row)
    table = RawTable(columns=columns, rows=(*rows, *fresh))
    return replace(tables, tables={**tables.tables, CLOSURES.name: table}), len(fresh)


def _row(
    booking: Booking, target: Target, columns: Sequence[str], clock: Clock
) -> tuple[str, ...]:
    last = booking.end
    if not isinstance(last, datetime):
        last -= timedelta(days=1)  # a calendar's last day is not included, a closure's is
    cells = {
        "scope": target.scope,
        "id": target.name,
        "from": _text(booking.start, clock),
        "to": _text(last, clock),
        "kind": target.kind,
        "why": _plain(booking.what),
    }
    return tuple(cells.get(name, "") for name in columns)


def _text(moment: Moment, clock: Clock) -> str:
    if not YEAR_MIN <= moment.year <= YEAR_MAX:  # open at that end; the tables know no such year
        return date(min(max(moment.year, YEAR_MIN), YEAR_MAX), 1, 1).isoformat()
    if not isinstance(moment, datetime):
        return date.isoformat(moment)
    if moment.tzinfo is None:
        return moment.isoformat()
    return moment.astimezone(clock.local(0).tzinfo).isoformat()


def _plain(text: str) -> str:
    """Return a text that no spreadsheet takes for a formula."""
    return " ".join(text.split())[:_TEXT_MAX].lstrip("=@+-\t ")


def write_closures(tables: Tables, path: Path) -> None:
    """Write the closures of a scenario back: one file of a folder, or the workbook.

    Other files of a folder are left as they are.  A workbook is written anew: its texts stay,
    colours and notes do not.

    Raises
    ------
    OSError
        If the disk does not let us.
    """
    if tables.form is Form.WORKBOOK:
        write_workbook(tables, path)
        return
    text = csv_text(tables.tables[CLOSURES.name])
    replace_file(path / label(CLOSURES.name, Form.FOLDER), text.encode())
