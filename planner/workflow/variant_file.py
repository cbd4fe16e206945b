"""variants/*.toml: one staging of a job, as a small file of changes on its scenario.

The file is read into plain changes with the line of each; whether they fit the scenario is told
by :mod:`planner.workflow.variants`.
"""

from __future__ import annotations

import re
import tomllib
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time
from pathlib import Path

from planner.scenario.dictionary import TABLE_BY_NAME
from planner.scenario.files import read_text
from planner.scenario.findings import Findings
from planner.scenario.suggest import did_you_mean

BYTES_MAX = 1_000_000
"""Most bytes of a variant."""
PARTS = ("name", "why", "keys", "book", "change", "add", "drop")
LIKE = "like"
_HEADER = re.compile(r"^\s*(\[\[?)([^\[\]]+)\]\]?\s*(?:#.*)?$")
_ASSIGNMENT = re.compile(r"^\s*((?:[A-Za-z0-9_\-.\s]|\"[^\"]*\"|'[^']*')+?)\s*=")
_WORD = re.compile(r"\"([^\"]*)\"|'([^']*)'|([A-Za-z0-9_-]+)")
_PLACE = re.compile(r"\s*\(at (?:line (\d+), column (\d+)|end of document)\)$")

KeyPath = tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One cell that gets another text; ``row`` may be a pattern with ``*``."""

    table: str
    row: str
    column: str
    text: str
    line: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Add:
    """One more row, made from a row that stands where ``like`` names one."""

    table: str
    like: str
    cells: Mapping[str, str]
    lines: Mapping[str, int | None]
    line: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Drop:
    """Rows that go; ``row`` may be a pattern with ``*``."""

    table: str
    row: str
    line: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class VariantFile:
    """A variant as written.

    Attributes
    ----------
    variant, file
        Its short name, the stem of the file; how problems name the file.
    name, why
        For people.
    keys, book
        Keys of campaign.toml and of prices.toml with their texts; empty takes a key away.
    lines
        Line of each of these keys, as ``keys.rules.waste``.
    changes, adds, drops
        What happens to rows, in the order: drop, add, change.
    """

    variant: str
    file: str
    name: str
    why: str = ""
    keys: Mapping[str, str]
    book: Mapping[str, str]
    lines: Mapping[str, int]
    changes: tuple[Change, ...] = ()
    adds: tuple[Add, ...] = ()
    drops: tuple[Drop, ...] = ()


def read_variant(path: Path, findings: Findings) -> VariantFile | None:
    """Return a variant's file; what is wrong with its form goes to the findings."""
    file = f"{path.parent.name}/{path.name}" if path.parent.name else path.name
    text = read_text(path, file=file, most=BYTES_MAX, findings=findings)
    if text is None:
        return None
    return variant_of(text, variant=path.stem, file=file, findings=findings)


def variant_of(text: str, *, variant: str, file: str, findings: Findings) -> VariantFile | None:
    """Return a variant from its text, or None with a problem where it is no TOML."""
    try:
        document = tomllib.loads(text, parse_float=lambda number: number.replace("_", ""))
    except (ValueError, RecursionError) as error:
        _note_syntax(str(error), file=file, findings=findings)
        return None
    return _Reader(document, _lines(text), file, findings).variant(variant)


def _note_syntax(message: str, *, file: str, findings: Findings) -> None:
    place = _PLACE.search(message)
    row = int(place.group(1)) if place and place.group(1) else None
    said = _PLACE.sub("", message)
    findings.error(
        "toml-broken",
        f"not a TOML file: {said}; texts stand in double quotes, lists in [ ], and a key is"
        " given once",
        file=file,
        row=row,
    )


def _lines(text: str) -> dict[KeyPath, int]:
    """Return the line of each key and heading, as far as a plain look at the lines can tell."""
    lines: dict[KeyPath, int] = {}
    counts: defaultdict[KeyPath, int] = defaultdict(int)
    section: KeyPath = ()
    for number, line in enumerate(text.splitlines(), start=1):
        header = _HEADER.match(line)
        assignment = None if header else _ASSIGNMENT.match(line)
        if header:
            section = _words(header.group(2))
            if header.group(1) == "[[":
                counts[section] += 1
                section = (*section, str(counts[section] - 1))
            for depth in range(1, len(section) + 1):
                lines.setdefault(section[:depth], number)
        elif assignment:
            lines.setdefault((*section, *_words(assignment.group(1))), number)
    return lines


def _words(key: str) -> KeyPath:
    return tuple(next((text for text in part if text), "") for part in _WORD.findall(key))


class _Reader:
    """One file on its way to changes."""

    def __init__(
        self,
        document: Mapping[str, object],
        lines: Mapping[KeyPath, int],
        file: str,
        findings: Findings,
    ) -> None:
        self._document = document
        self._lines = lines
        self._file = file
        self._findings = findings

    def variant(self, variant: str) -> VariantFile:
        for part in self._document:
            if part not in PARTS:
                known = ", ".join(PARTS)
                self._error(
                    (part,),
                    f"there is no such part{did_you_mean(part, PARTS)}; the parts"
                    f" of a variant are {known}",
                )
        keys, key_lines = self._keys("keys")
        book, book_lines = self._keys("book")
        return VariantFile(
            variant=variant,
            file=self._file,
            name=self._text("name") or variant.replace("-", " ").capitalize(),
            why=self._text("why"),
            keys=keys,
            book=book,
            lines={**key_lines, **book_lines},
            changes=tuple(self._changes()),
            adds=tuple(self._adds()),
            drops=tuple(self._drops()),
        )

    def _error(self, path: KeyPath, message: str, code: str = "variant") -> None:
        row = next(
            (self._lines[path[:n]] for n in range(len(path), 0, -1) if path[:n] in self._lines),
            None,
        )
        self._findings.error(code, message, file=self._file, row=row, column=".".join(path))

    def _text(self, name: str) -> str:
        value = self._document.get(name, "")
        if isinstance(value, str):
            return " ".join(value.split())
        self._error((name,), "is not a text; write it in double quotes")
        return ""

    def _part(self, name: str) -> Mapping[str, object]:
        value = self._document.get(name, {})
        if isinstance(value, dict):
            return value
        self._error((name,), f"is not a section; write [{name}] and its keys below it")
        return {}

    def _keys(self, part: str) -> tuple[dict[str, str], dict[str, int]]:
        found: dict[str, str] = {}
        lines: dict[str, int] = {}
        for path, value in _leaves(self._part(part), (part,)):
            text = self._cell(path, value)
            key = ".".join(path[1:])
            if text is not None:
                found[key] = text
                if path in self._lines:
                    lines[f"{part}.{key}"] = self._lines[path]
        return found, lines

    def _cell(self, path: KeyPath, value: object) -> str | None:
        text = cell_text(value)
        if text is None:
            self._error(path, "is not a text, number, date, true, false or list of them")
        return text

    def _tables(self, part: str) -> Iterator[tuple[str, object]]:
        for table, value in self._part(part).items():
            if table in TABLE_BY_NAME:
                yield table, value
            else:
                self._error(
                    (part, table), f"there is no such table{did_you_mean(table, TABLE_BY_NAME)}"
                )

    def _changes(self) -> Iterator[Change]:
        for table, rows in self._tables("change"):
            wrong = f"write [change.{table}.ROW] and below it COLUMN = value"
            if not isinstance(rows, dict):
                self._error(("change", table), wrong)
                continue
            for row, cells in rows.items():
                path = ("change", table, row)
                if not isinstance(cells, dict):
                    self._error(path, wrong)
                    continue
                for column, value in cells.items():
                    text = self._cell((*path, column), value)
                    if text is not None:
                        line = self._line((*path, column))
                        yield Change(table=table, row=row, column=column, text=text, line=line)

    def _adds(self) -> Iterator[Add]:
        for table, rows in self._tables("add"):
            if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
                self._error(("add", table), f"write [[add.{table}]] and below it COLUMN = value")
                continue
            for number, row in enumerate(rows):
                path = ("add", table, str(number))
                cells = {column: self._cell((*path, column), row[column]) for column in row}
                found = {column: text for column, text in cells.items() if text is not None}
                like = found.pop(LIKE, "")
                lines = {column: self._line((*path, column)) for column in found}
                yield Add(table=table, like=like, cells=found, lines=lines, line=self._line(path))

    def _drops(self) -> Iterator[Drop]:
        for table, rows in self._tables("drop"):
            texts = [cell_text(row) for row in rows] if isinstance(rows, list) else [None]
            for text in texts:
                if text is None:
                    self._error(
                        ("drop", table), f'write the rows as a list: {table} = ["A1", "A2"]'
                    )
                else:
                    yield Drop(table=table, row=text, line=self._line(("drop", table)))

    def _line(self, path: KeyPath) -> int | None:
        return next(
            (self._lines[path[:n]] for n in range(len(path), 0, -1) if path[:n] in self._lines),
            None,
        )


def _leaves(part: Mapping[str, object], path: KeyPath) -> Iterator[tuple[KeyPath, object]]:
    for key, value in part.items():
        if isinstance(value, dict):
            yield from _leaves(value, (*path, key))
        else:
            yield (*path, key), value


def cell_text(value: object) -> str | None:
    """Return a value of TOML as the text of a cell, or None where there is no such text.

    Examples
    --------
    >>> cell_text(12), cell_text(True), cell_text(["a", "b"]), cell_text({})
    ('12', 'yes', 'a;b', None)
    """
    if isinstance(value, list):
        items = [None if isinstance(item, list) else cell_text(item) for item in value]
        return None if None in items else ";".join(item for item in items if item is not None)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        return value.strip()
    if isinstance(value, int) and value.bit_length() < 256:
        return str(value)
    if isinstance(value, datetime | date | time):
        return value.isoformat()
    return None
