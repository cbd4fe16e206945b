"""Variants of a scenario: changes put into its tables, checked as the scenario itself is."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fnmatch import fnmatchcase
from pathlib import Path

from planner.core.problems import InputRefusedError, Problem
from planner.scenario.dictionary import PRICE_OWNERS, TABLE_BY_NAME
from planner.scenario.dictionary.price_book import BOOK_OWNERS
from planner.scenario.findings import Findings
from planner.scenario.raw import RawTable, Tables
from planner.scenario.reader import campaign_of
from planner.scenario.suggest import did_you_mean
from planner.workflow.demos import VARIANTS
from planner.workflow.loading import Loaded
from planner.workflow.variant_file import Add, Change, Drop, VariantFile, read_variant

ROW_KEYS = {"routes": ("from", "to")}
"""Tables without a key of their own whose rows have a name all the same."""
JOINT = "/"


@dataclass(frozen=True, slots=True, kw_only=True)
class Variant:
    """One staging of a job.

    Attributes
    ----------
    variant, name, why
        Short name, name in words, and what it is for.
    loaded
        The scenario with its changes.
    """

    variant: str
    name: str
    why: str
    loaded: Loaded


@dataclass
class _Row:
    """A row under change: its cells, and where it comes from."""

    cells: dict[str, str]
    file: str
    line: int | None
    changed: dict[str, int | None] = field(default_factory=dict)


@dataclass
class _Sheet:
    """A table under change."""

    name: str
    columns: list[str]
    rows: list[_Row]

    def names(self) -> list[str]:
        """Return what each row is called: its key, or its number as a spreadsheet counts."""
        key = TABLE_BY_NAME[self.name].key or ROW_KEYS.get(self.name, ())
        if not key:
            return [str(number) for number in range(2, len(self.rows) + 2)]
        return [JOINT.join(row.cells.get(name, "") for name in key) for row in self.rows]

    def found(self, pattern: str) -> list[int]:
        """Return the places of the rows of a name, or of a pattern with ``*``."""
        names = self.names()
        exact = [place for place, name in enumerate(names) if name == pattern]
        if exact or "*" not in pattern:
            return exact
        return [place for place, name in enumerate(names) if fnmatchcase(name, pattern)]


def variant_paths(scenario: Path) -> dict[str, Path]:
    """Return the variants of a scenario folder by their short names, in alphabetical order."""
    folder = scenario / VARIANTS if scenario.is_dir() else scenario.parent / VARIANTS
    return {path.stem: path for path in sorted(folder.glob("*.toml"), key=lambda path: path.stem)}


def load_variants(loaded: Loaded, paths: Iterable[Path]) -> list[Variant]:
    """Return the variants of a scenario.

    Raises
    ------
    InputRefusedError
        With every problem of every variant.
    """
    found: list[Variant] = []
    problems: list[Problem] = []
    for path in paths:
        findings = Findings()
        file = read_variant(path, findings)
        try:
            findings.raise_errors()
            if file is not None:
                found.append(changed(loaded, file))
        except InputRefusedError as refused:
            problems += refused.problems
    if problems:
        raise InputRefusedError(problems)
    return found


def changed(loaded: Loaded, file: VariantFile) -> Variant:
    """Return a scenario with the changes of a variant, checked like any scenario.

    Raises
    ------
    InputRefusedError
        With every change that does not fit, or else with every problem of the result; each is
        told at the line of the variant that brought it, or at the scenario's own.
    """
    bench = _Bench(loaded.tables, file)
    tables = bench.tables()
    bench.findings.raise_errors()
    try:
        campaign, warnings = campaign_of(tables)
    except InputRefusedError as refused:
        raise InputRefusedError(bench.placed(refused.problems)) from None
    old = {problem.message for problem in loaded.warnings}
    fresh = [problem for problem in bench.placed(warnings) if problem.message not in old]
    return Variant(
        variant=file.variant,
        name=file.name,
        why=file.why,
        loaded=Loaded(campaign=campaign, warnings=tuple(fresh), tables=tables),
    )


class _Bench:
    """The tables of a scenario while a variant changes them."""

    def __init__(self, base: Tables, file: VariantFile) -> None:
        self.findings = Findings()
        self._base = base
        self._file = file
        self._keys = dict(base.campaign)
        self._book = dict(base.book)
        self._sheets = {name: _sheet(base, name) for name in base.tables}

    def tables(self) -> Tables:
        """Return the changed tables; what does not fit goes to the findings."""
        for drop in self._file.drops:
            self._drop(drop)
        for add in self._file.adds:
            self._add(add)
        for change in self._file.changes:
            self._change(change)
        _put(self._keys, self._file.keys)
        _put(self._book, self._file.book)
        raw = {name: _raw(sheet) for name, sheet in self._sheets.items()}
        return replace(self._base, campaign=self._keys, book=self._book, tables=raw)

    def placed(self, problems: Sequence[Problem]) -> list[Problem]:
        """Return problems of the changed tables at the place where the words stand."""
        return [self._placed(problem) for problem in problems]

    def _placed(self, problem: Problem) -> Problem:
        for part, label in (("keys", "campaign"), ("book", "prices")):
            key = f"{part}.{problem.column}"
            if problem.file == self._base.label(label) and key in self._file.lines:
                line = self._file.lines[key]
                return replace(problem, file=self._file.file, row=line, column=key)
        sheet = next(
            (s for s in self._sheets.values() if self._base.label(s.name) == problem.file), None
        )
        place = None if problem.row is None else problem.row - 2
        if sheet is None or place is None or not 0 <= place < len(sheet.rows):
            return replace(problem, file=f"{self._file.file}: {problem.file}")
        row = sheet.rows[place]
        if problem.column in row.changed:
            column = f"{sheet.name}.{sheet.names()[place]}.{problem.column}"
            changed_at = row.changed[problem.column]
            return replace(problem, file=self._file.file, row=changed_at, column=column)
        if row.file:
            column = f"{sheet.name}.{problem.column}"
            return replace(problem, file=row.file, row=row.line, column=column)
        return replace(problem, file=f"{self._file.file}: {problem.file}", row=row.line)

    def _error(self, message: str, *, line: int | None, column: str) -> None:
        self.findings.error("variant", message, file=self._file.file, row=line, column=column)

    def _places(self, table: str, row: str, *, line: int | None, column: str) -> list[int]:
        """Return the places of the rows that are meant; none with a problem."""
        sheet = self._sheets.get(table)
        names = sheet.names() if sheet else []
        places = sheet.found(row) if sheet else []
        if not places:
            where = self._base.label(table)
            self._error(
                f"there is no row {row} in {where}{did_you_mean(row, names)}",
                line=line,
                column=column,
            )
        return places

    def _drop(self, drop: Drop) -> None:
        column = f"drop.{drop.table}"
        places = self._places(drop.table, drop.row, line=drop.line, column=column)
        sheet = self._sheets.get(drop.table)
        if sheet is None:
            return
        names = [sheet.names()[place] for place in places]
        sheet.rows = [row for place, row in enumerate(sheet.rows) if place not in set(places)]
        for name in names:
            self._forget(drop.table, name)

    def _forget(self, table: str, name: str) -> None:
        """Take away the prices and closures of a row that went: they would name nobody."""
        for entries, owners in ((self._keys, PRICE_OWNERS), (self._book, BOOK_OWNERS)):
            for group, owner in owners.items():
                if owner == table:
                    entries.pop(f"{group}.{name}", None)
        closures = self._sheets.get("closures")
        if closures is not None:
            scope = table.removesuffix("s")
            closures.rows = [
                row
                for row in closures.rows
                if (row.cells.get("scope"), row.cells.get("id")) != (scope, name)
            ]

    def _add(self, add: Add) -> None:
        column = f"add.{add.table}"
        sheet = self._sheets.setdefault(add.table, _Sheet(add.table, [], []))
        cells: dict[str, str] = {}
        if add.like:
            places = self._places(add.table, add.like, line=add.line, column=f"{column}.like")
            if not places:
                return
            cells = dict(sheet.rows[places[0]].cells)
        for name in add.cells:
            self._know_column(sheet, name, line=add.lines[name], column=f"{column}.{name}")
        cells.update(add.cells)
        changed_at = {name: add.lines[name] for name in add.cells}
        sheet.rows.append(
            _Row(cells=cells, file=self._file.file, line=add.line, changed=changed_at)
        )

    def _change(self, change: Change) -> None:
        column = f"change.{change.table}.{change.row}"
        places = self._places(change.table, change.row, line=change.line, column=column)
        sheet = self._sheets.get(change.table)
        if sheet is None:
            return
        column = f"{column}.{change.column}"
        self._know_column(sheet, change.column, line=change.line, column=column)
        for place in places:
            sheet.rows[place].cells[change.column] = change.text
            sheet.rows[place].changed[change.column] = change.line

    def _know_column(self, sheet: _Sheet, name: str, *, line: int | None, column: str) -> None:
        known = TABLE_BY_NAME[sheet.name].column_names
        if name not in sheet.columns and name not in known:
            self._error(
                f"{self._base.label(sheet.name)} has no column {name}{did_you_mean(name, known)}",
                line=line,
                column=column,
            )
        elif name not in sheet.columns:
            sheet.columns.append(name)


def _sheet(base: Tables, name: str) -> _Sheet:
    raw = base.tables[name]
    rows = [
        _Row(cells=dict(zip(raw.columns, cells, strict=True)), file="", line=number)
        for number, cells in enumerate(raw.rows, start=2)
    ]
    return _Sheet(name, list(raw.columns), rows)


def _raw(sheet: _Sheet) -> RawTable:
    columns = tuple(sheet.columns)
    rows = tuple(tuple(row.cells.get(name, "") for name in columns) for row in sheet.rows)
    return RawTable(columns=columns, rows=rows)


def _put(entries: dict[str, str], changes: Mapping[str, str]) -> None:
    for key, text in changes.items():
        if text:
            entries[key] = text
        else:
            entries.pop(key, None)
