"""Rows of a list as rows of one of our tables: units, words and dates turned into ours."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from datetime import date
from enum import StrEnum

from planner.core.problems import Problem
from planner.scenario.dictionary import Column, Kind, Table
from planner.scenario.draft import table_rows
from planner.scenario.findings import Findings
from planner.scenario.raw import RawTable, without_blank_tail
from planner.scenario.suggest import plain
from planner.scenario.survey.headings import Match
from planner.scenario.units import converted

_NUMBERS = frozenset({Kind.NUMBER, Kind.WHOLE, Kind.LEVEL})
_YES = frozenset({"y", "yes", "true", "x", "1", "ja", "oui", "si"})
_NO = frozenset({"n", "no", "false", "0", "nein", "non"})
_DAY = re.compile(r"([0-9]{1,2})[./-]([0-9]{1,2})[./-]([0-9]{4})")
_MONTHS_MAX = 12


class Way(StrEnum):
    """What becomes of the rows that the table has already."""

    ADD = "add below"
    REPLACE = "replace all rows"
    UPDATE = "update rows of the same name, add the others"


def taken_over(
    rows: Sequence[Sequence[str]],
    matches: Iterable[Match],
    table: Table,
    *,
    has_comma: bool,
) -> RawTable:
    """Return rows of a list, heading left out, as a table of ours.

    Parameters
    ----------
    rows
        The list's rows below its heading.
    matches
        Which of its columns goes where, in which unit.
    table
        Our table.
    has_comma
        Whether the list writes decimals with a comma.
    """
    used = [match for match in matches if match.target]
    columns = [table.column(match.target) for match in used]
    is_day_first = [
        _is_day_first(row[match.place] for row in rows) if column.kind in _DATES else None
        for match, column in zip(used, columns, strict=True)
    ]
    found = [
        tuple(
            _cell(row[match.place], column, match.unit, has_comma=has_comma, day_first=first)
            for match, column, first in zip(used, columns, is_day_first, strict=True)
        )
        for row in rows
        if any(row)
    ]
    return RawTable(columns=tuple(match.target for match in used), rows=without_blank_tail(found))


_DATES = frozenset({Kind.DATE, Kind.MOMENT})


def _cell(text: str, column: Column, unit: str, *, has_comma: bool, day_first: bool | None) -> str:
    cell = text.strip()
    if column.kind in _NUMBERS:
        return converted(cell, source=unit, target=column.unit, has_comma=has_comma)
    if column.kind is Kind.FLAG:
        word = plain(cell)
        return "yes" if word in _YES else "no" if word in _NO else cell
    if column.kind is Kind.CHOICE:
        return _word(cell, column)
    if column.kind in _DATES and day_first is not None:
        return _iso(cell, day_first=day_first)
    if column.kind in {Kind.IDENTIFIERS, Kind.CHOICES}:
        return ";".join(part.strip() for part in re.split(r"[;,\n]", cell) if part.strip())
    return cell


def _word(cell: str, column: Column) -> str:
    words = {plain(choice): choice for choice in column.choices}
    words |= {plain(other): choice for other, choice in column.also}
    return words.get(plain(cell), cell)


def _is_day_first(cells: Iterable[str]) -> bool | None:
    """Return whether dates with numbers only begin with the day; None: they do not tell."""
    firsts, seconds = [], []
    for cell in cells:
        found = _DAY.match(cell.strip())
        if found:
            firsts.append(int(found.group(1)))
            seconds.append(int(found.group(2)))
    if any(number > _MONTHS_MAX for number in firsts):
        return True
    if any(number > _MONTHS_MAX for number in seconds):
        return False
    return None


def _iso(cell: str, *, day_first: bool) -> str:
    found = _DAY.fullmatch(cell)
    if not found:
        return cell
    one, two, year = (int(part) for part in found.groups())
    day, month = (one, two) if day_first else (two, one)
    try:
        return date(year, month, day).isoformat()
    except ValueError:
        return cell


def cell_problems(fresh: RawTable, table: Table) -> list[Problem]:
    """Return what is wrong or odd in the cells of rows taken over; row 2 is the first."""
    findings = Findings()
    table_rows(table, fresh, file=table.name, findings=findings, is_whole=True)
    return findings.problems()


def merged(old: RawTable, fresh: RawTable, table: Table, way: Way) -> RawTable:
    """Return a table with rows of a list taken over; other columns of old rows stay."""
    columns = (*old.columns, *(name for name in fresh.columns if name not in old.columns))
    if way is Way.REPLACE:
        rows: list[dict[str, str]] = []
    else:
        rows = [dict(zip(old.columns, row, strict=True)) for row in old.rows]
    keys = [name for name in table.key if name in fresh.columns]
    place = {tuple(row.get(key, "") for key in keys): number for number, row in enumerate(rows)}
    for cells in fresh.rows:
        row = dict(zip(fresh.columns, cells, strict=True))
        at = place.get(tuple(row[key] for key in keys)) if keys and way is Way.UPDATE else None
        if at is None:
            rows.append(row)
        else:
            rows[at] |= {name: text for name, text in row.items() if text}
    return RawTable(
        columns=columns,
        rows=without_blank_tail([tuple(row.get(name, "") for name in columns) for row in rows]),
    )
