"""Tables as files: CSV for programs, a workbook for people."""

from __future__ import annotations

from io import BytesIO

import pandas as pd

SHEET_MAX = 31
"""Longest name of a sheet that spreadsheets take."""
WIDTH_MAX = 60
FORMULA_MARKS = ("=", "+", "-", "@", "\t", "\r")
"""A cell of text that begins so would be run as a formula by a spreadsheet that opens a CSV."""


def csv_bytes(frame: pd.DataFrame) -> bytes:
    """Return a table as CSV in UTF-8 with a mark, so that spreadsheets read accents right.

    Texts that a spreadsheet would take for a formula get an apostrophe in front.
    """
    safe = frame.map(_harmless)
    return safe.to_csv(index=False).encode("utf-8-sig")


def _harmless(value: object) -> object:
    if isinstance(value, str) and value.startswith(FORMULA_MARKS):
        return f"'{value}"
    return value


def xlsx_bytes(frame: pd.DataFrame, *, sheet: str) -> bytes:
    """Return a table as a workbook: heading frozen, filter on, texts never formulas."""
    packed = BytesIO()
    options = {"options": {"strings_to_formulas": False, "strings_to_urls": False}}
    with pd.ExcelWriter(
        packed, engine="xlsxwriter", engine_kwargs=options, datetime_format="yyyy-mm-dd hh:mm"
    ) as writer:
        name = sheet[:SHEET_MAX]
        frame.to_excel(writer, sheet_name=name, index=False)
        page = writer.sheets[name]
        page.freeze_panes(1, 0)
        if len(frame.columns):
            page.autofilter(0, 0, max(len(frame), 1), len(frame.columns) - 1)
        for place, column in enumerate(frame.columns):
            texts = [str(column), *(str(value) for value in frame[column].head(200))]
            page.set_column(place, place, min(WIDTH_MAX, max(map(len, texts)) + 2))
    return packed.getvalue()
