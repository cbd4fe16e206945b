"""Files of water levels that stand alone: a gauge's record, a table of high and low waters."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, tzinfo
from itertools import pairwise
from pathlib import Path

from planner.core.problems import Problem
from planner.scenario.dictionary import TABLE_BY_NAME, Need, Table
from planner.scenario.draft import Row, table_rows
from planner.scenario.findings import Findings
from planner.scenario.folder import read_csv
from planner.scenario.raw import without_blank_tail

RANGE_MOST_M = 17.0
"""No tide has a greater range: Bay of Fundy, 16 to 17 m (from memory) [m]."""

_Timed = tuple[datetime, Row]


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelFile:
    """Levels read from a file, in time order.

    Attributes
    ----------
    times_utc
        Times.
    levels_m
        Levels above the zero of the file [m].
    is_high
        Of a table of high and low waters: whether each is a high water; else empty.
    """

    times_utc: tuple[datetime, ...]
    levels_m: tuple[float, ...]
    is_high: tuple[bool, ...] = ()


def read_series(path: Path, *, zone: tzinfo = UTC) -> tuple[LevelFile, list[Problem]]:
    """Return a level series (columns ``time`` and ``level_m``), and what is odd about it.

    Rows without level are gaps.

    Parameters
    ----------
    path
        CSV file.
    zone
        Of times without an offset.

    Raises
    ------
    InputRefusedError
        With every problem found.
    """
    levels = TABLE_BY_NAME["levels"]
    table = _with(levels, "level_m", need=Need.NEVER)
    findings = Findings((path.name,))
    timed = _timed(path, table, zone=zone, findings=findings)
    known = [(moment, row) for moment, row in timed if row.number("level_m") is not None]
    if len(known) < len(timed):
        count = len(timed) - len(known)
        findings.warn(
            "odd-gap",
            f"{count} row{'s' if count > 1 else ''} without a level count as gaps",
            file=path.name,
            column="level_m",
        )
    return _finished(path, known, findings)


def read_extremes(path: Path, *, zone: tzinfo = UTC) -> tuple[LevelFile, list[Problem]]:
    """Return a table of high and low waters, as highlow.csv, and what is odd about it.

    Parameters
    ----------
    path
        CSV file with ``time``, ``level_m`` and ``kind``.
    zone
        Of times without an offset.

    Raises
    ------
    InputRefusedError
        With every problem found.
    """
    findings = Findings((path.name,))
    timed = _timed(path, TABLE_BY_NAME["highlow"], zone=zone, findings=findings)
    found, problems = _finished(path, timed, findings)
    return replace(found, is_high=tuple(row.text("kind") == "high" for _, row in timed)), problems


def _with(table: Table, name: str, *, need: Need) -> Table:
    columns = tuple(
        replace(column, need=need) if column.name == name else column for column in table.columns
    )
    return replace(table, columns=columns)


def _timed(path: Path, table: Table, *, zone: tzinfo, findings: Findings) -> list[_Timed]:
    """Return the rows in time order; twins and rows out of order are told."""
    raw = read_csv(path, table, findings)
    raw = replace(raw, rows=without_blank_tail(list(raw.rows)))
    _look_for_feet(raw.columns, path, findings)
    rows = table_rows(
        table, raw, file=path.name, findings=findings, is_whole=not findings.has_errors()
    )
    timed = [
        (_utc(moment, zone), row) for row in rows if (moment := row.moment("time")) is not None
    ]
    _warn_of_order(timed, path, findings)
    found: list[_Timed] = []
    for moment, row in sorted(timed, key=lambda pair: pair[0]):
        if found and moment == found[-1][0]:
            _note_twin(found[-1][1], row, path, findings)
        else:
            found.append((moment, row))
    return found


def _utc(moment: date, zone: tzinfo) -> datetime:
    if not isinstance(moment, datetime):
        moment = datetime.combine(moment, time())
    if moment.tzinfo is None:
        moment = moment.replace(tzinfo=zone)
    return moment.astimezone(UTC)


def _look_for_feet(columns: tuple[str, ...], path: Path, findings: Findings) -> None:
    for name in columns:
        if name.casefold() in {"level_ft", "height_ft", "level_feet", "level_cm", "level_mm"}:
            findings.error(
                "wrong-unit",
                "levels must be in metres: multiply feet by 0.3048, divide centimetres by 100,"
                " and name the column level_m",
                file=path.name,
                row=1,
                column=name,
            )


def _warn_of_order(timed: list[_Timed], path: Path, findings: Findings) -> None:
    late = next((row for (a, _), (b, row) in pairwise(timed) if b < a), None)
    if late is not None:
        findings.warn(
            "not-in-order",
            "the row is earlier than the one before it; the file is sorted by time",
            file=path.name,
            row=late.place,
            column="time",
        )


def _note_twin(first: Row, second: Row, path: Path, findings: Findings) -> None:
    if first.number("level_m") == second.number("level_m"):
        findings.warn(
            "duplicate",
            f"says the same as row {first.place}; it is left out",
            file=path.name,
            row=second.place,
            column="time",
        )
        return
    findings.error(
        "duplicate",
        f"the same time as row {first.place} with another level; keep one (where the clock is put"
        " back, give the offset from UTC, for example +01:00)",
        file=path.name,
        row=second.place,
        column="time",
    )


def _finished(
    path: Path, timed: list[_Timed], findings: Findings
) -> tuple[LevelFile, list[Problem]]:
    levels = [row.number("level_m") or 0.0 for _, row in timed]
    if not timed and not findings.has_errors():
        findings.error("empty-table", "the file has no levels", file=path.name)
    elif timed and max(levels) - min(levels) > RANGE_MOST_M:
        findings.error(
            "wrong-unit",
            f"the levels run from {min(levels):g} to {max(levels):g}; no tide has a range above"
            f" {RANGE_MOST_M:g} m, so these are feet, centimetres or spikes: write metres (a"
            " foot is 0.3048 m), and take out what the gauge could not have seen",
            file=path.name,
            column="level_m",
        )
    findings.raise_errors()
    return (
        LevelFile(times_utc=tuple(moment for moment, _ in timed), levels_m=tuple(levels)),
        findings.problems(),
    )
