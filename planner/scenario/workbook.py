"""A scenario as one workbook, and back, without loss.

Each table is a sheet; the sheet ``campaign`` has two columns, dotted key and value.  Cells are
written as text, so that no identifier, date or number is changed and nothing runs as a formula.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from planner.scenario.dictionary import CAMPAIGN, TABLES
from planner.scenario.dictionary.price_book import PRICE_BOOK
from planner.scenario.findings import Findings
from planner.scenario.grid import first_control
from planner.scenario.raw import CELL_MAX, Form, Tables, labels
from planner.scenario.replace import replace_file
from planner.scenario.sheets import KEY_HEADING, load_workbook

if TYPE_CHECKING:
    import xlsxwriter

_CREATED = datetime(2000, 1, 1)  # noqa: DTZ001  the library wants it without a zone
"""Creation date written into every workbook, so that the same tables give the same bytes."""
_LOST_ON_READING = "x005F_"
"""The reading library drops these letters from texts, so they cannot be written."""
_WIDEST = 40
"""Widest column of a sheet, in characters."""
_LETTERS = 26


def read_workbook(path: Path) -> Tables:
    """Return the raw tables of a workbook.

    Raises
    ------
    InputRefusedError
        If the file cannot be read as a workbook of tables.
    """
    findings = Findings(labels(Form.WORKBOOK))
    tables = load_workbook(path, findings)
    findings.raise_errors()
    return tables


def write_workbook(tables: Tables, path: Path) -> None:
    """Write a scenario as a workbook; an old file stays until the new one is whole.

    Raises
    ------
    InputRefusedError
        If a text cannot be kept by a workbook.
    """
    import xlsxwriter  # noqa: PLC0415 - slow to import

    refuse_lossy(tables)
    buffer = BytesIO()
    book = xlsxwriter.Workbook(buffer, {"in_memory": True})
    book.set_properties({"created": _CREATED})
    heading = book.add_format({"bold": True, "bottom": 1, "num_format": "@"})
    body = book.add_format({"num_format": "@"})
    _write_sheet(book, CAMPAIGN, KEY_HEADING, tuple(tables.campaign.items()), (heading, body))
    for table in TABLES:
        raw = tables.tables.get(table.name)
        if raw is not None:
            _write_sheet(book, table.name, raw.columns, raw.rows, (heading, body))
    if tables.book:
        _write_sheet(book, PRICE_BOOK, KEY_HEADING, tuple(tables.book.items()), (heading, body))
    book.close()
    replace_file(path, buffer.getvalue())


def _write_sheet(
    book: xlsxwriter.Workbook,
    name: str,
    columns: Sequence[str],
    rows: Sequence[Sequence[str]],
    formats: tuple[object, object],
) -> None:
    heading, body = formats
    sheet = book.add_worksheet(name)
    for place, column in enumerate(columns):
        sheet.write_string(0, place, column, heading)
        widest = max((len(cells[place]) for cells in rows), default=0)
        sheet.set_column(place, place, min(_WIDEST, max(len(column), widest) + 2), body)
    for number, cells in enumerate(rows, start=1):
        for place, cell in enumerate(cells):
            if cell:
                sheet.write_string(number, place, cell, body)
    sheet.freeze_panes(1, 0)
    if columns:
        whole = f"A1:{_column_letters(len(columns))}{len(rows) + 1}"
        sheet.ignore_errors({"number_stored_as_text": whole})


def _column_letters(count: int) -> str:
    letters = ""
    while count:
        count, place = divmod(count - 1, _LETTERS)
        letters = chr(ord("A") + place) + letters
    return letters


def refuse_lossy(tables: Tables) -> None:
    """Refuse texts that a workbook would not give back as they are.

    Raises
    ------
    InputRefusedError
        If there are any.
    """
    findings = Findings(tables.labels())
    for name, entries in ((CAMPAIGN, tables.campaign), (PRICE_BOOK, tables.book)):
        for key, value in entries.items():
            _check_lossy(findings, value, file=tables.label(name), row=None, column=key)
            _check_lossy(findings, key, file=tables.label(name), row=None, column=key)
    for name, raw in tables.tables.items():
        for row, cells in enumerate((raw.columns, *raw.rows), start=1):
            for column, cell in zip(raw.columns, cells, strict=True):
                _check_lossy(findings, cell, file=tables.label(name), row=row, column=column)
    findings.raise_errors()


def _check_lossy(
    findings: Findings, text: str, *, file: str, row: int | None, column: str
) -> None:
    if _LOST_ON_READING in text or len(text) > CELL_MAX or first_control(text):
        findings.error(
            "not-for-workbook",
            f"a workbook cannot keep this text without loss (control characters, the letters"
            f" {_LOST_ON_READING}, or over {CELL_MAX} characters); change it",
            file=file,
            row=row,
            column=column,
        )
