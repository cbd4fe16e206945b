"""A list from a file or the clipboard as rows of cells, whatever its separators."""

from __future__ import annotations

import csv
import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from io import StringIO
from pathlib import Path
from tempfile import TemporaryDirectory

from planner.scenario.findings import Findings
from planner.scenario.grid import first_control, tidy
from planner.scenario.raw import CELL_MAX, COLUMNS_MAX, ROWS_MAX
from planner.scenario.sheets import sheet_grids

LOOKED_AT = 40
"""Rows looked at to tell separators and headings."""
SEPARATORS = ("\t", ";", ",", "|")

Grid = tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Listing:
    """One list as cells.

    Attributes
    ----------
    name
        Sheet, or name of the file.
    rows
        Its cells, the heading among them; all rows are equally long.
    has_comma
        Whether decimals are written with a comma.
    """

    name: str
    rows: Grid
    has_comma: bool

    def heading_row(self) -> int:
        """Return the row that looks most like the heading, from 0."""
        best, place = 0.0, 0
        for number, cells in enumerate(self.rows[:LOOKED_AT]):
            filled = [cell for cell in cells if cell]
            words = [cell for cell in filled if not _NUMBER_LIKE.fullmatch(cell)]
            below = self.rows[number + 1 : number + 2]
            has_numbers = any(_NUMBER_LIKE.fullmatch(cell) for row in below for cell in row)
            score = len(set(words)) - 2 * (len(filled) - len(words)) + 0.5 * has_numbers
            if len(filled) > 1 and score > best:
                best, place = score, number
        return place


_NUMBER_LIKE = re.compile(r"[+-]?[0-9]+(?:[.,][0-9]+)*\s*%?")
_COMMA_NUMBER = re.compile(r"[+-]?[0-9]+,[0-9]{1,2}|[+-]?[0-9]+,[0-9]{4,}|0,[0-9]+")
_POINT_NUMBER = re.compile(r"[+-]?[0-9]*\.[0-9]+")


def read_listings(name: str, content: bytes) -> tuple[Listing, ...]:
    """Return the lists of a CSV file or of each sheet of a workbook.

    Raises
    ------
    InputRefusedError
        If it cannot be read as a table.
    """
    if Path(name).suffix.lower() == ".xlsx":
        return _from_workbook(content)
    return (text_listing(_decoded(content), name=name),)


def _from_workbook(content: bytes) -> tuple[Listing, ...]:
    findings = Findings()
    with TemporaryDirectory() as folder:
        path = Path(folder) / "list.xlsx"
        path.write_bytes(content)
        grids = sheet_grids(path, findings)
    findings.raise_errors()
    return tuple(_listing(title, rows) for title, rows in grids.items() if any(map(any, rows)))


def _decoded(content: bytes) -> str:
    if content[:2] in {b"\xff\xfe", b"\xfe\xff"}:
        return content.decode("utf-16", errors="replace")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("cp1252", errors="replace")


def text_listing(text: str, *, name: str) -> Listing:
    """Return pasted or saved text as a list, its separator told by how evenly it divides.

    Raises
    ------
    InputRefusedError
        If quotes do not match, or it is too large.
    """
    separator = _separator(text)
    reader = csv.reader(StringIO(text, newline=""), delimiter=separator, strict=True)
    rows: list[list[str]] = []
    findings = Findings()
    try:
        for row in reader:
            rows.append(row)
            if len(rows) > ROWS_MAX or len(row) > COLUMNS_MAX:
                findings.error("too-large", "more rows or columns than a table has", file=name)
                break
    except csv.Error as error:
        findings.error(
            "csv-broken",
            f"{error}; a text with a line break or quote in it stands in double quotes",
            file=name,
            row=reader.line_num,
        )
    findings.raise_errors()
    return _listing(name, rows)


def _separator(text: str) -> str:
    lines = [line for line in text.splitlines()[:LOOKED_AT] if line.strip()]
    best, found = 0.0, ","
    for separator in SEPARATORS:
        counts = Counter(line.count(separator) for line in lines)
        if not counts:
            continue
        count, times = counts.most_common(1)[0]
        score = times / len(lines) + min(count, 20) / 100 if count else 0.0
        if score > best:
            best, found = score, separator
    return found


def _listing(name: str, rows: Sequence[Sequence[str]]) -> Listing:
    cleaned = [tuple(_clean(cell) for cell in row) for row in rows]
    while cleaned and not any(cleaned[-1]):
        cleaned.pop()
    width = max((_width(row) for row in cleaned), default=0)
    even = tuple((*row, *("" for _ in range(width - len(row))))[:width] for row in cleaned)
    cells = [cell for row in even[: LOOKED_AT * 5] for cell in row]
    commas = sum(bool(_COMMA_NUMBER.fullmatch(cell)) for cell in cells)
    points = sum(bool(_POINT_NUMBER.fullmatch(cell)) for cell in cells)
    return Listing(name=name, rows=even, has_comma=commas > points)


def _width(row: Sequence[str]) -> int:
    return max((place + 1 for place, cell in enumerate(row) if cell), default=0)


def _clean(cell: str) -> str:
    text = tidy(cell)[:CELL_MAX]
    while (control := first_control(text)) is not None:
        text = text.replace(control, "")
    return text
