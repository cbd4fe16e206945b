"""A table as a sheet of text cells: what is shown, and what becomes of edits."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from planner.core.problems import Problem, Severity
from planner.scenario.dictionary import TABLE_BY_NAME, Column, Kind, Need, Table
from planner.scenario.grid import tidy
from planner.scenario.raw import RawTable, Tables, without_blank_tail

SPARE = 20
"""Fewest free rows below a table."""
CHUNK = 50
"""Free rows are added by so many, so that the sheet seldom changes its length."""
PAGE_ROWS = 2_000
"""Most rows of a table on the page at once; longer ones are shown part by part."""
FIRST_ROW = 2
"""Row number of the first row below the heading, as a spreadsheet counts."""

_EMPTY = RawTable(columns=())


def shown_columns(table: Table, raw: RawTable | None, *, all_of_them: bool) -> tuple[str, ...]:
    """Return the columns of a sheet: those needed or used, or all; unknown ones come last."""
    there = () if raw is None else raw.columns
    known = [
        column.name
        for column in table.columns
        if all_of_them or column.name in there or column.need is not Need.NEVER
    ]
    return (*known, *(name for name in there if name not in table.column_names))


def sheet_parts(raw: RawTable | None) -> list[range]:
    """Return the rows that are on the page at once, part by part; free ones end the last part."""
    filled = 0 if raw is None else len(raw.rows)
    starts = list(range(0, max(1, filled - SPARE), PAGE_ROWS))
    last = starts[-1]
    length = -(-(filled - last + SPARE) // CHUNK) * CHUNK
    return [
        *(range(start, start + PAGE_ROWS) for start in starts[:-1]),
        range(last, last + length),
    ]


def cells_of(raw: RawTable | None, columns: Sequence[str], part: range) -> dict[str, list[str]]:
    """Return the cells of a part of a sheet by column; free ones are empty."""
    source = raw or _EMPTY
    place = {name: at for at, name in enumerate(source.columns)}
    rows = source.rows[part.start : part.stop]
    blank = [""] * (len(part) - len(rows))
    return {
        name: [row[place[name]] for row in rows] + blank if name in place else [""] * len(part)
        for name in columns
    }


def with_edits(
    raw: RawTable | None, table: Table, edits: Mapping[int, Mapping[str, object]]
) -> RawTable:
    """Return a table with cells changed; new columns and rows come where they are filled.

    Parameters
    ----------
    raw
        The table so far.
    table
        Its description.
    edits
        New texts by row, from 0, and column name; None stands for empty.
    """
    old = raw or _EMPTY
    texts = {
        row: {name: _cell_text(value) for name, value in cells.items()}
        for row, cells in edits.items()
    }
    columns = _with_new_columns(old, table, texts.values())
    length = max(
        [len(old.rows), *(row + 1 for row, cells in texts.items() if any(cells.values()))]
    )
    rows = []
    for number in range(length):
        before = (
            dict(zip(old.columns, old.rows[number], strict=True)) if number < len(old.rows) else {}
        )
        after = before | texts.get(number, {})
        rows.append(tuple(after.get(name, "") for name in columns))
    return RawTable(columns=columns, rows=without_blank_tail(rows))


def _cell_text(value: object) -> str:
    return "" if value is None else tidy(str(value))


def _with_new_columns(
    old: RawTable, table: Table, rows: Iterable[Mapping[str, str]]
) -> tuple[str, ...]:
    filled = {name for cells in rows for name, text in cells.items() if text}
    if not old.columns:
        needed = {column.name for column in table.columns if column.is_required}
        return tuple(name for name in table.column_names if name in needed | filled)
    fresh = [name for name in table.column_names if name in filled and name not in old.columns]
    return (*old.columns, *fresh)


def what_changed(name: str, old: RawTable | None, new: RawTable | None) -> str:
    """Return the difference of two states of a table in a few words.

    Examples
    --------
    >>> before = RawTable(columns=("zone", "depth_mm"), rows=(("Z1", "40"),))
    >>> after = RawTable(columns=("zone", "depth_mm"), rows=(("Z1", "45"),))
    >>> what_changed("zones", before, after), what_changed("zones", before, None)
    ('zones: Z1 depth_mm 40 → 45', 'zones: table removed')
    """
    if new is None:
        return f"{name}: table removed"
    before, after = old or _EMPTY, new
    more = len(after.rows) - len(before.rows)
    told = [f"{_count(abs(more), 'row')} {'added' if more > 0 else 'removed'}"] if more else []
    cells = _changed_cells(before, after) if more >= 0 else []
    if len(cells) == 1:
        told.append(_told_cell(cells[0], before, after))
    elif cells:
        told.append(f"{_count(len(cells), 'cell')} changed")
    if not told and after.columns != before.columns:
        told.append("columns changed")
    return f"{name}: {', '.join(told) or 'rearranged'}"


def _changed_cells(before: RawTable, after: RawTable) -> list[tuple[int, str]]:
    """Return the row and column of each cell that differs, of the rows that both have."""
    place = {name: at for at, name in enumerate(before.columns)}
    return [
        (number, name)
        for number, (old, row) in enumerate(zip(before.rows, after.rows, strict=False))
        if old != row or before.columns != after.columns
        for name, cell in zip(after.columns, row, strict=True)
        if cell != (old[place[name]] if name in place else "")
    ]


def _told_cell(cell: tuple[int, str], before: RawTable, after: RawTable) -> str:
    row, name = cell
    old = before.rows[row][before.columns.index(name)] if name in before.columns else ""
    new = after.rows[row][after.columns.index(name)]
    whose = before.rows[row][0] or f"row {row + FIRST_ROW}"
    return f"{whose[:40]} {name} {old[:40] or '(empty)'} → {new[:40] or '(empty)'}"


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"


@dataclass(frozen=True, slots=True, kw_only=True)
class RowsAsked:
    """Rows that somebody typed, or why they are not understood.

    Attributes
    ----------
    rows
        Rows from 0, in order.
    complaint
        What would be right; empty: all is.
    """

    rows: tuple[int, ...] = ()
    complaint: str = ""


def rows_asked(text: str, last: int) -> RowsAsked:
    """Return the rows of a text like ``4`` or ``4-7, 9``, as a spreadsheet counts them.

    Parameters
    ----------
    text
        What was typed.
    last
        How many rows the table has.

    Examples
    --------
    >>> rows_asked("2-3, 5", 10).rows
    (0, 1, 3)
    """
    found: set[int] = set()
    for part in filter(None, re.split(r"[,;\s]+", re.sub(r"\s*[-\u2013]\s*", "-", text.strip()))):
        span = re.fullmatch(r"([0-9]{1,6})(?:-([0-9]{1,6}))?", part)
        if span is None:
            return RowsAsked(complaint=f'"{part}" is no row; write rows like 4 or 4-7')
        first, final = int(span.group(1)), int(span.group(2) or span.group(1))
        if not FIRST_ROW <= first <= final <= last + FIRST_ROW - 1:
            return RowsAsked(
                complaint=f"rows go from {FIRST_ROW} to {last + FIRST_ROW - 1}"
                if last
                else "the table has no rows yet"
            )
        found |= set(range(first - FIRST_ROW, final - FIRST_ROW + 1))
    if not found:
        return RowsAsked(complaint="write rows like 4 or 4-7")
    return RowsAsked(rows=tuple(sorted(found)))


def duplicated(raw: RawTable, rows: Sequence[int], table: Table) -> RawTable:
    """Return a table with rows repeated below the last of them, under names of their own."""
    named = table.key[0] if len(table.key) == 1 and table.key[0] in raw.columns else ""
    at = raw.columns.index(named) if named else -1
    taken = {row[at] for row in raw.rows} if named else set()
    copies = []
    for number in rows:
        cells = list(raw.rows[number])
        if named:
            cells[at] = free_name(cells[at], taken)
            taken.add(cells[at])
        copies.append(tuple(cells))
    below = max(rows) + 1
    return RawTable(columns=raw.columns, rows=(*raw.rows[:below], *copies, *raw.rows[below:]))


def free_name(name: str, taken: Iterable[str]) -> str:
    """Return the next name of a series that nobody has yet.

    Examples
    --------
    >>> free_name("S3-beam2", {"S3-beam2", "S3-beam3"}), free_name("Yard", {"Yard"})
    ('S3-beam4', 'Yard-2')
    """
    known = set(taken)
    if not name:
        return name
    found = re.fullmatch(r"(.*?)([0-9]+)", name)
    stem, start, width = (
        (found.group(1), int(found.group(2)), len(found.group(2))) if found else (f"{name}-", 1, 1)
    )
    number = start + 1
    while f"{stem}{number:0{width}d}" in known:
        number += 1
    return f"{stem}{number:0{width}d}"


def inserted(raw: RawTable, above: int) -> RawTable:
    """Return a table with an empty row above another."""
    blank = tuple("" for _ in raw.columns)
    return RawTable(columns=raw.columns, rows=(*raw.rows[:above], blank, *raw.rows[above:]))


def without_rows(raw: RawTable, rows: Iterable[int]) -> RawTable:
    """Return a table without some rows."""
    gone = set(rows)
    kept = [row for number, row in enumerate(raw.rows) if number not in gone]
    return RawTable(columns=raw.columns, rows=without_blank_tail(kept))


def moved(raw: RawTable, rows: Sequence[int], by: int) -> RawTable:
    """Return a table with rows moved one place up (-1) or down (+1), where there is room."""
    order = list(range(len(raw.rows)))
    wanted = set(rows)
    places = range(len(order)) if by < 0 else range(len(order) - 1, -1, -1)
    for place in places:
        other = place + by
        is_free = 0 <= other < len(order) and order[other] not in wanted
        if order[place] in wanted and is_free:
            order[place], order[other] = order[other], order[place]
    return RawTable(columns=raw.columns, rows=tuple(raw.rows[number] for number in order))


def choices_for(column: Column, tables: Tables, present: Iterable[str]) -> tuple[str, ...]:
    """Return the words that may stand in a cell, those that stand there already among them.

    None at all: the column takes free text.
    """
    if column.kind is Kind.FLAG:
        offered = ["yes", "no"]
    elif column.choices:
        offered = list(column.choices)
    elif column.refers:
        offered = [name for table in column.refers for name in _names(tables, table)]
    else:
        return ()
    return tuple(dict.fromkeys(filter(None, (*offered, *present))))


def _names(tables: Tables, table: str) -> list[str]:
    raw = tables.tables.get(table)
    key = TABLE_BY_NAME[table].key[0] if table in TABLE_BY_NAME else ""
    if raw is None and table == "mixes":
        return ["dry", "wet"]
    if raw is None or key not in raw.columns:
        return []
    at = raw.columns.index(key)
    return list(dict.fromkeys(row[at].strip() for row in raw.rows))


def problems_by_row(problems: Iterable[Problem], file: str) -> dict[int, list[Problem]]:
    """Return the problems of a table's rows by row, from 0."""
    found: dict[int, list[Problem]] = {}
    for problem in problems:
        if problem.file == file and problem.row is not None and problem.row >= FIRST_ROW:
            found.setdefault(problem.row - FIRST_ROW, []).append(problem)
    return found


def row_marks(part: range, filled: int, found: Mapping[int, Sequence[Problem]]) -> list[str]:
    """Return the number of each row with a sign of what is wrong in it: ✗, or ! for odd."""
    marks = []
    for row in part:
        number = str(row + FIRST_ROW) if row < filled else ""
        here = found.get(row, ())
        bad = sum(problem.severity is Severity.ERROR for problem in here)
        sign = f" ✗ {bad}" if bad else " !" if here else ""
        marks.append(number + sign)
    return marks
