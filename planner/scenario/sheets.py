"""The sheets of a workbook as raw tables.

Numbers, dates, times and the results of formulas that people enter are read as the text that the
tables would have.
"""

from __future__ import annotations

import re
import struct
import warnings
import zipfile
import zlib
from collections.abc import Iterator, Sequence
from datetime import date
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from planner.scenario.dictionary import CAMPAIGN, TABLE_BY_NAME
from planner.scenario.dictionary.price_book import PRICE_BOOK
from planner.scenario.files import read_bytes
from planner.scenario.findings import Findings
from planner.scenario.grid import shorten, table_from
from planner.scenario.raw import BYTES_MAX, Form, RawTable, Tables
from planner.scenario.spreadsheet import cell_text
from planner.scenario.suggest import did_you_mean

if TYPE_CHECKING:
    from openpyxl.workbook.workbook import Workbook

PACKED_BYTES_MAX = 50_000_000
"""Most bytes of a workbook on the disk."""
PARTS_MAX = 2_000
"""Most files packed in a workbook."""
KEY_HEADING = ("key", "value")
_DEFINITION = re.compile(rb"<!(?:DOCTYPE|ENTITY)", re.IGNORECASE)
_FORMULA = re.compile(rb"<(?:\w+:)?f[\s>/]")

# What the spreadsheet library raises on damaged files: it trusts what it unpacks.
_DAMAGE = (
    ArithmeticError,
    AssertionError,
    AttributeError,
    EOFError,
    LookupError,
    NameError,
    OSError,
    RuntimeError,
    SyntaxError,  # also of the XML parser
    TypeError,
    ValueError,
    struct.error,
    zipfile.BadZipFile,
    zipfile.LargeZipFile,
    zlib.error,
)

_Place = tuple[int, int]


def load_workbook(path: Path, findings: Findings) -> Tables:
    """Return the raw tables of a workbook; what is wrong with it goes to the findings."""
    nothing = Tables(campaign={}, tables={}, form=Form.WORKBOOK)
    data = read_bytes(path, file=path.name, most=PACKED_BYTES_MAX, findings=findings)
    if data is None:
        return nothing
    try:
        with warnings.catch_warnings():
            # Features of a workbook that do not concern us (styles, extensions) draw warnings.
            warnings.simplefilter("ignore")
            has_formulas = _inspect(data, file=path.name, findings=findings)
            return nothing if findings.has_errors() else _tables(data, findings, has_formulas)
    except _DAMAGE as error:
        findings.error(
            "workbook-broken",
            f"this is not an .xlsx workbook that can be read ({type(error).__name__}); open it in"
            " a spreadsheet, remove a password if there is one, and save it again as .xlsx",
            file=path.name,
        )
        return nothing


def sheet_grids(path: Path, findings: Findings) -> dict[str, list[list[str]]]:
    """Return every sheet of any workbook as rows of text; what is wrong goes to the findings."""
    data = read_bytes(path, file=path.name, most=PACKED_BYTES_MAX, findings=findings)
    if data is None:
        return {}
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # styles and extensions do not concern us
            has_formulas = _inspect(data, file=path.name, findings=findings)
            if findings.has_errors():
                return {}
            book = _opened(data, data_only=True)
            formulas = _formulas(data) if has_formulas else {}
            return {
                title: list(_grid(book, title, formulas.get(title, frozenset()), findings))
                for title in book.sheetnames
            }
    except _DAMAGE as error:
        findings.error(
            "workbook-broken",
            f"this is not an .xlsx workbook that can be read ({type(error).__name__}); open it in"
            " a spreadsheet, remove a password if there is one, and save it again as .xlsx",
            file=path.name,
        )
        return {}


def _inspect(data: bytes, *, file: str, findings: Findings) -> bool:
    """Look at a workbook before it is unpacked; return whether there is a formula in it."""
    has_formulas = False
    with zipfile.ZipFile(BytesIO(data)) as archive:
        parts = archive.infolist()
        size = sum(part.file_size for part in parts)
        if len(parts) > PARTS_MAX or size > BYTES_MAX:
            findings.error(
                "workbook-too-large",
                f"unpacked it would be {size} bytes in {len(parts)} parts; at most {BYTES_MAX} in"
                f" {PARTS_MAX}",
                file=file,
            )
            return False
        for part in parts:
            if part.filename.endswith((".xml", ".rels")):
                content = archive.read(part)
                if _DEFINITION.search(content):
                    findings.error(
                        "workbook-broken",
                        f"{shorten(part.filename)} defines entities, which no workbook needs;"
                        " save it again from a spreadsheet",
                        file=file,
                    )
                has_formulas = has_formulas or bool(_FORMULA.search(content))
    return has_formulas


def _opened(data: bytes, *, data_only: bool) -> Workbook:
    from openpyxl import load_workbook as open_workbook  # noqa: PLC0415 - slow to import

    return open_workbook(BytesIO(data), read_only=True, data_only=data_only, keep_links=False)


def _tables(data: bytes, findings: Findings, has_formulas: bool) -> Tables:  # noqa: FBT001
    book = _opened(data, data_only=True)
    formulas = _formulas(data) if has_formulas else {}
    keys: dict[str, tuple[dict[str, str], dict[str, int]]] = {}
    tables: dict[str, RawTable] = {}
    for title in book.sheetnames:
        name = title.strip().lower()
        grid = _grid(book, title, formulas.get(title, frozenset()), findings)
        if name in {CAMPAIGN, PRICE_BOOK} and name not in keys:
            keys[name] = _entries(grid, findings, file=name)
        elif name in TABLE_BY_NAME and name not in tables:
            tables[name] = table_from(grid, file=name, findings=findings)
        else:
            _note_stranger(title, findings)
    if CAMPAIGN not in [title.strip().lower() for title in book.sheetnames]:
        findings.error(
            "missing-file",
            "the sheet is missing; it holds the campaign's keys in two columns, key and value",
            file=CAMPAIGN,
        )
    entries, lines = keys.get(CAMPAIGN, ({}, {}))
    book_entries, book_lines = keys.get(PRICE_BOOK, ({}, {}))
    return Tables(
        campaign=entries,
        tables=tables,
        form=Form.WORKBOOK,
        lines=lines,
        book=book_entries,
        book_lines=book_lines,
    )


def _note_stranger(title: str, findings: Findings) -> None:
    known = (CAMPAIGN, PRICE_BOOK, *TABLE_BY_NAME)
    if title.strip().lower() in known:
        findings.error(
            "duplicate-sheet", "there are two sheets of this name; keep one", file=title
        )
        return
    findings.warn(
        "unknown-sheet",
        f"not a table of a scenario, and not read{did_you_mean(title, known)}",
        file=title,
    )


def _formulas(data: bytes) -> dict[str, frozenset[_Place]]:
    book = _opened(data, data_only=False)
    return {
        title: frozenset(
            (number, place)
            for number, cells in enumerate(_rows(book, title), start=1)
            for place, cell in enumerate(cells)
            if getattr(cell, "data_type", "") == "f"
        )
        for title in book.sheetnames
    }


def _rows(book: Workbook, title: str) -> Iterator[Sequence[object]]:
    sheet = book[title]
    reset = getattr(sheet, "reset_dimensions", None)
    if reset is None:  # a sheet that holds a chart only
        return iter(())
    reset()  # the size that the file states may be wrong
    return iter(sheet.iter_rows())


def _grid(
    book: Workbook, title: str, formulas: frozenset[_Place], findings: Findings
) -> Iterator[list[str]]:
    for number, cells in enumerate(_rows(book, title), start=1):
        texts = [_text_of(cell) for cell in cells]
        for place in range(len(texts)) if formulas else ():
            if (number, place) in formulas:
                _note_formula(texts[place], title, number, place, findings)
        yield texts


def _text_of(cell: object) -> str:
    value = getattr(cell, "value", None)
    if isinstance(value, str):
        return value
    # Only dates and times need the format, and looking it up is slow.
    is_moment = isinstance(value, date)
    return cell_text(value, str(getattr(cell, "number_format", "")) if is_moment else "")


def _note_formula(text: str, title: str, row: int, place: int, findings: Findings) -> None:
    column = f"column {place + 1}"
    if text:
        findings.warn(
            "formula",
            f"the cell holds a formula; its last result, {shorten(text)}, is used",
            file=title,
            row=row,
            column=column,
        )
    else:
        findings.error(
            "formula",
            "the cell holds a formula without a result; open the workbook in a spreadsheet and"
            " save it, or write the value",
            file=title,
            row=row,
            column=column,
        )


def _entries(
    grid: Iterator[list[str]], findings: Findings, *, file: str
) -> tuple[dict[str, str], dict[str, int]]:
    table = table_from(grid, file=file, findings=findings)
    entries: dict[str, str] = {}
    lines: dict[str, int] = {}
    if tuple(name.lower() for name in table.columns[:2]) != KEY_HEADING:
        findings.error(
            "missing-column",
            "the first row of the sheet must be the heading: key in column A, value in column B",
            file=file,
            row=1,
        )
        return entries, lines
    for name in filter(None, table.columns[2:]):
        findings.warn(
            "unknown-column",
            "the sheet has two columns, key and value; this one is not read",
            file=file,
            row=1,
            column=name,
        )
    for row, (key, value, *_) in enumerate(table.rows, start=2):
        if key in lines:
            findings.error(
                "duplicate-key",
                f"the key is given in row {lines[key]} already; keep one",
                file=file,
                row=row,
                column=key,
            )
        elif key or value:
            entries[key], lines[key] = value, row
    return entries, lines
