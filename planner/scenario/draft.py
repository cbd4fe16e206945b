"""A scenario whose cells are parsed one by one, before they are looked at together."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from functools import cache

from planner.scenario.cell_error import CellError
from planner.scenario.dictionary import (
    CAMPAIGN,
    KEYS,
    PRICE_OWNERS,
    TABLE_BY_NAME,
    Column,
    Need,
    Table,
    key_column,
)
from planner.scenario.findings import Findings
from planner.scenario.raw import RawTable, Tables
from planner.scenario.row_defaults import own_defaults
from planner.scenario.suggest import did_you_mean, is_slip
from planner.scenario.values import NEVER, Value, oddity, parse


@cache
def default_value(column: Column) -> Value | None:
    """Return the value that stands for an empty cell, or None."""
    return parse(column, column.default) if column.default else None


class Cells:
    """Values by column name, with the defaults of the dictionary behind them.

    Parameters
    ----------
    given
        Values of the cells that are filled and right.
    defaults
        Values of the cells that are empty and have a default.
    bad
        Columns whose value is not known, because the cell could not be read or a required
        column is missing; a problem stands for each already.
    """

    __slots__ = ("_defaults", "bad", "given")

    def __init__(
        self, *, given: dict[str, Value], defaults: Mapping[str, Value], bad: frozenset[str]
    ) -> None:
        self.given = given
        self._defaults = defaults
        self.bad = bad

    def value(self, name: str) -> Value | None:
        """Return the value of a cell, its default, or None."""
        found = self.given.get(name)
        if found is None and name not in self.bad:
            return self._defaults.get(name)
        return found

    def says_more(self, name: str) -> bool:
        """Return whether the cell is filled with something else than its default."""
        return name in self.given and self.given[name] != self._defaults.get(name)

    def has(self, name: str) -> bool:
        """Return whether the cell is filled and right."""
        return name in self.given

    def is_empty(self, name: str) -> bool:
        """Return whether the cell is empty (a bad one is not)."""
        return name not in self.given and name not in self.bad

    def is_never(self, name: str) -> bool:
        """Return whether the cell says ``never``."""
        return self.given.get(name) == NEVER

    def text(self, name: str) -> str:
        """Return a text, or an empty one."""
        found = self.value(name)
        return found if isinstance(found, str) else ""

    def number(self, name: str) -> float | None:
        """Return a number; None where there is none, and for ``never``."""
        found = self.value(name)
        if isinstance(found, int | float) and not isinstance(found, bool):
            return float(found)
        return None

    def whole(self, name: str) -> int | None:
        """Return a whole number, or None."""
        found = self.value(name)
        return found if isinstance(found, int) and not isinstance(found, bool) else None

    def flag(self, name: str) -> bool:
        """Return whether the cell says yes."""
        return self.value(name) is True

    def names(self, name: str) -> tuple[str, ...]:
        """Return the words of a list."""
        found = self.value(name)
        if not isinstance(found, tuple):
            return ()
        return tuple(item for item in found if isinstance(item, str))

    def numbers(self, name: str) -> tuple[float, ...]:
        """Return the numbers of a list."""
        found = self.value(name)
        if not isinstance(found, tuple):
            return ()
        return tuple(item for item in found if isinstance(item, float))

    def day(self, name: str) -> date | None:
        """Return a date without a time, or None."""
        found = self.value(name)
        return found if isinstance(found, date) and not isinstance(found, datetime) else None

    def moment(self, name: str) -> date | datetime | None:
        """Return a date-time, or a date where only that was written, or None."""
        found = self.value(name)
        return found if isinstance(found, date) else None

    def weekdays(self, name: str) -> frozenset[int] | None:
        """Return weekdays, Monday = 0, or None."""
        found = self.value(name)
        return found if isinstance(found, frozenset) else None


class Row(Cells):
    """One row of a table, with its number as a spreadsheet counts.

    Parameters
    ----------
    place
        Row number, the heading being row 1.
    """

    __slots__ = ("place",)

    def __init__(
        self,
        place: int,
        *,
        given: dict[str, Value],
        defaults: Mapping[str, Value],
        bad: frozenset[str],
    ) -> None:
        super().__init__(given=given, defaults=defaults, bad=bad)
        self.place = place


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A scenario as parsed cells.

    Attributes
    ----------
    raw
        The text it came from.
    keys
        Keys of campaign.toml.
    tables
        Rows by table name, blank ones left out; a table that is not there is missing here.
    damaged
        Tables whose file could not be read whole: what they lack says nothing.
    """

    raw: Tables
    keys: Cells
    tables: Mapping[str, tuple[Row, ...]]
    damaged: frozenset[str] = frozenset()

    def rows(self, table: str) -> tuple[Row, ...]:
        """Return the rows of a table; none where it is not there."""
        return self.tables.get(table, ())

    def has(self, table: str) -> bool:
        """Return whether the table is there."""
        return table in self.tables

    def is_whole(self, table: str) -> bool:
        """Return whether all rows of a table are known by name, so that one can be missed."""
        name = TABLE_BY_NAME[table].key[0]
        is_read = self.has(table) and table not in self.damaged
        return is_read and any(row.has(name) for row in self.rows(table))

    def ids(self, table: str) -> dict[str, Row]:
        """Return the first row of each identifier of a table, in file order."""
        name = TABLE_BY_NAME[table].key[0]
        found: dict[str, Row] = {}
        for row in self.rows(table):
            if row.has(name):
                found.setdefault(row.text(name), row)
        return found

    def label(self, table: str) -> str:
        """Return how a problem names a table."""
        return self.raw.label(table)


def draft_of(raw: Tables, findings: Findings) -> Draft:
    """Return the parsed cells of a scenario; every cell that is wrong becomes a problem.

    Parameters
    ----------
    raw
        The scenario as text.
    findings
        Holds the problems of its files already, and gets those of its cells.
    """
    refused = findings.refused_files()
    damaged = frozenset(name for name in (CAMPAIGN, *TABLE_BY_NAME) if raw.label(name) in refused)
    keys = _keys(raw, findings, is_whole=CAMPAIGN not in damaged)
    tables = {
        name: table_rows(
            TABLE_BY_NAME[name],
            table,
            file=raw.label(name),
            findings=findings,
            is_whole=name not in damaged,
        )
        for name, table in raw.tables.items()
    }
    return Draft(raw=raw, keys=keys, tables=tables, damaged=damaged)


def _keys(raw: Tables, findings: Findings, *, is_whole: bool) -> Cells:
    file = raw.label("campaign")
    given: dict[str, Value] = {}
    bad: set[str] = set()
    for key, text in raw.campaign.items():
        row = raw.lines.get(key)
        column = key_column(key)
        if column is None:
            _note_unknown_key(key, present=raw.campaign, file=file, row=row, findings=findings)
        elif text:
            value = _cell(column, text, file=file, row=row, name=key, findings=findings)
            if value is None:
                bad.add(key)
            else:
                given[key] = value
    for column in KEYS if is_whole else ():
        if column.is_required and column.name not in given and column.name not in bad:
            findings.error(
                "missing-key",
                f"the key is missing or empty; {column.advice()}",
                file=file,
                column=column.name,
            )
    defaults = {
        column.name: value for column in KEYS if (value := default_value(column)) is not None
    }
    return Cells(given=given, defaults=defaults, bad=frozenset(bad))


def _note_unknown_key(
    key: str, *, present: Iterable[str], file: str, row: int | None, findings: Findings
) -> None:
    known = [column.name for column in KEYS if not column.name.endswith(".*")]
    absent = [name for name in known if name not in set(present)]
    # prices.rig_days.R1 may mean prices.rig_day.R1
    tail = ".".join(key.split(".")[2:])
    for group in PRICE_OWNERS:
        grouped = f"{group}.{tail or 'NAME'}"
        known.append(grouped)
        if tail:
            absent.append(grouped)
    _note_unknown("key", key, known=known, absent=absent, file=file, row=row, findings=findings)


def _note_unknown(
    what: str,
    name: str,
    *,
    known: Iterable[str],
    absent: Iterable[str],
    file: str,
    row: int | None,
    findings: Findings,
) -> None:
    """Note an unknown name: refused when it is a slip for one that is not there, else kept."""
    if any(is_slip(name, candidate) for candidate in absent):
        findings.error(
            f"unknown-{what}",
            f"there is no such {what}{did_you_mean(name, absent)}",
            file=file,
            row=row,
            column=name,
        )
        return
    findings.warn(
        f"unknown-{what}",
        f"the {what} is not known; it is kept but not used{did_you_mean(name, known)}",
        file=file,
        row=row,
        column=name,
    )


def table_rows(
    table: Table, raw: RawTable, *, file: str, findings: Findings, is_whole: bool
) -> tuple[Row, ...]:
    """Return the parsed rows of a table; cells that are wrong become problems."""
    known = set(table.column_names)
    absent = [name for name in table.column_names if name not in raw.columns]
    for name in dict.fromkeys(raw.columns):
        if name and name not in known:
            _note_unknown(
                "column", name, known=known, absent=absent, file=file, row=1, findings=findings
            )
    # An optional table without rows says nothing and lacks nothing.
    is_told = bool(raw.rows) or table.need is not Need.NEVER
    for name in absent if is_whole and is_told else ():
        column = table.column(name)
        if column.is_required:
            findings.error(
                "missing-column",
                f"the column is missing: {column.meaning} Add it; {column.advice()}",
                file=file,
                row=1,
                column=name,
            )
    return _parsed_rows(table, raw, file=file, findings=findings)


def _parsed_rows(table: Table, raw: RawTable, *, file: str, findings: Findings) -> tuple[Row, ...]:
    places: dict[str, int] = {}
    for place, name in enumerate(raw.columns):
        places.setdefault(name, place)
    columns = [(column, places[column.name]) for column in table.columns if column.name in places]
    defaults = {
        column.name: value
        for column in table.columns
        if (value := default_value(column)) is not None
    }
    unknown = frozenset(
        column.name for column in table.columns if column.is_required and column.name not in places
    )
    return tuple(
        _row(
            number,
            cells,
            columns,
            defaults=defaults,
            unknown=unknown,
            table=table.name,
            file=file,
            findings=findings,
        )
        for number, cells in enumerate(raw.rows, start=2)
        if any(cells)
    )


def _row(
    number: int,
    cells: tuple[str, ...],
    columns: list[tuple[Column, int]],
    *,
    defaults: Mapping[str, Value],
    unknown: frozenset[str],
    table: str,
    file: str,
    findings: Findings,
) -> Row:
    given: dict[str, Value] = {}
    bad: set[str] = set(unknown)
    for column, place in columns:
        text = cells[place].strip()
        if text:
            value = _cell(column, text, file=file, row=number, name=column.name, findings=findings)
            if value is None:
                bad.add(column.name)
            else:
                given[column.name] = value
        elif column.is_required:
            bad.add(column.name)
            findings.error(
                "missing-value",
                f"the cell is empty; {column.advice()}",
                file=file,
                row=number,
                column=column.name,
            )
    defaults = own_defaults(table, given, defaults)
    return Row(number, given=given, defaults=defaults, bad=frozenset(bad))


def _cell(
    column: Column, text: str, *, file: str, row: int | None, name: str, findings: Findings
) -> Value | None:
    try:
        value = parse(column, text)
    except CellError as error:
        findings.error(error.code, str(error), file=file, row=row, column=name)
        return None
    odd = oddity(column, value)
    if odd:
        findings.warn("odd-number", odd, file=file, row=row, column=name)
    return value
