"""An estimate as a workbook: bill with live sums, paid hours, notes.

Texts are written as texts, so that nothing of a scenario runs as a formula; the only formulas
are ours, each with its value.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from io import BytesIO
from typing import TYPE_CHECKING, Any

from planner.estimate.line import CrewTime, Estimate
from planner.model.campaign import Campaign
from planner.plan.plan import Plan
from planner.reports.estimate_rows import BillRow, bill_rows, headline, notes

if TYPE_CHECKING:
    import xlsxwriter
    from xlsxwriter.worksheet import Worksheet

_CREATED = datetime(2000, 1, 1)  # noqa: DTZ001  the library wants it without a zone
"""Creation date of every workbook, so that the same estimate gives the same bytes."""
HEADINGS = (
    ("Item", 7),
    ("", 30),
    ("Of", 14),
    ("Quantity", 12),
    ("Unit", 12),
    ("Rate", 12),
    ("Amount", 14),
    ("Rate with on top", 16),
    ("Quantity from", 60),
    ("Rate from", 44),
)
_FIRST = 4
"""Row of the first item, counted from 0; title, headline, an empty row and the heading above."""
_QUANTITY, _RATE, _AMOUNT = "D", "F", "G"


def estimate_workbook(campaign: Campaign, plan: Plan, priced: Estimate) -> bytes:
    """Return the workbook's bytes; the same estimate gives the same."""
    import xlsxwriter  # noqa: PLC0415 - slow to import

    buffer = BytesIO()
    safe = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    book = xlsxwriter.Workbook(buffer, safe)
    book.set_properties({"created": _CREATED, "title": f"Estimate: {campaign.name}"[:250]})
    _bill_sheet(book, campaign, priced)
    _hours_sheet(book, priced.crew_time)
    _notes_sheet(book, notes(campaign, plan, priced))
    book.close()
    return buffer.getvalue()


def _bill_sheet(book: xlsxwriter.Workbook, campaign: Campaign, priced: Estimate) -> None:
    sheet = book.add_worksheet("Bill")
    title = book.add_format({"bold": True, "font_size": 14})
    sheet.write_string(0, 0, f"Estimate: {campaign.name}", title)
    sheet.write_string(1, 0, headline(priced))
    head = book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"})
    for column, (name, width) in enumerate(HEADINGS):
        sheet.set_column(column, column, width)
        sheet.write_string(_FIRST - 1, column, name, head)
    rows = list(bill_rows(priced))
    styles = _styles(book)
    for place, row in enumerate(rows):
        _write_row(sheet, _FIRST + place, row, rows, styles)
    sheet.freeze_panes(_FIRST, 2)
    sheet.set_landscape()
    sheet.set_paper(9)
    sheet.fit_to_pages(1, 0)
    sheet.repeat_rows(_FIRST - 1)


def _styles(book: xlsxwriter.Workbook) -> dict[str, tuple[Any, Any, Any]]:
    """Return formats for text, quantities and money of each level."""
    found = {}
    looks: dict[str, dict[str, Any]] = {
        "item": {"bold": True, "bg_color": "#E8EEF4", "top": 1},
        "line": {},
        "total": {"bold": True, "top": 2},
    }
    for level, look in looks.items():
        found[level] = (
            book.add_format({**look, "valign": "top"}),
            book.add_format({**look, "num_format": "#,##0.00", "valign": "top"}),
            book.add_format({**look, "num_format": "#,##0.00", "valign": "top"}),
        )
    return found


def _write_row(
    sheet: Worksheet,
    at: int,
    row: BillRow,
    rows: Sequence[BillRow],
    styles: dict[str, tuple[Any, Any, Any]],
) -> None:
    text, number, amount = styles[row.level]
    cells = (row.item, row.line, row.of, row.quantity, row.unit, row.rate)
    for column, cell in enumerate(cells):
        if isinstance(cell, str):
            sheet.write_string(at, column, cell, text)
        else:
            sheet.write_number(at, column, cell, number)
    sheet.write_formula(at, 6, _formula(at, row, rows), amount, row.amount)
    if isinstance(row.rate_all_in, float):
        sheet.write_number(at, 7, row.rate_all_in, number)
    else:
        sheet.write_blank(at, 7, None, text)
    sheet.write_string(at, 8, row.quantity_from, text)
    sheet.write_string(at, 9, row.rate_from, text)


def _formula(at: int, row: BillRow, rows: Sequence[BillRow]) -> str:
    """Return the sum of an item's lines, of all items, or quantity x rate of a line."""
    if row.level == "line":
        return f"={_QUANTITY}{at + 1}*{_RATE}{at + 1}"
    if row.level == "total":
        items = [n for n, other in enumerate(rows) if other.level == "item"]
        return "=" + ("+".join(f"{_AMOUNT}{_FIRST + n + 1}" for n in items) or "0")
    count = sum(other.item.startswith(f"{row.item}.") for other in rows)
    return f"=SUM({_AMOUNT}{at + 2}:{_AMOUNT}{at + 1 + count})"


def _hours_sheet(book: xlsxwriter.Workbook, times: Sequence[CrewTime]) -> None:
    sheet = book.add_worksheet("Paid hours")
    head = book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"})
    number = book.add_format({"num_format": "#,##0.0"})
    names = ("Crew", "Shifts paid", "Hours paid", "At work", "Waiting, faces shut")
    for column, name in enumerate((*names, "Waiting otherwise")):
        sheet.set_column(column, column, 18)
        sheet.write_string(0, column, name, head)
    for place, time in enumerate(times, start=1):
        sheet.write_string(place, 0, time.crew)
        sheet.write_number(place, 1, time.shifts)
        for column, value in enumerate((time.paid_h, time.work_h, time.shut_h, time.open_h), 2):
            sheet.write_number(place, column, round(value, 4), number)
    sheet.freeze_panes(1, 1)


def _notes_sheet(book: xlsxwriter.Workbook, sentences: Sequence[str]) -> None:
    sheet = book.add_worksheet("Notes")
    wrapped = book.add_format({"text_wrap": True, "valign": "top"})
    sheet.set_column(0, 0, 110)
    for place, sentence in enumerate(sentences):
        sheet.write_string(place, 0, sentence, wrapped)
