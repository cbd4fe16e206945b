"""The estimate as rows, workbook and PDF."""

from dataclasses import replace
from io import BytesIO

import openpyxl
import pytest

from planner.estimate.bill import estimate
from planner.model.limits import ClosureScope
from planner.reports.estimate_book import estimate_workbook
from planner.reports.estimate_pdf import estimate_pdf
from planner.reports.estimate_rows import bill_rows, headline, notes
from tests.builders import closure
from tests.unit.estimate.test_bill import BOOK, PLAN, SCENE

pypdf = pytest.importorskip("pypdf")

EVIL = replace(SCENE, name='=HYPERLINK("http://x.example","y") <b>&amp; </para>')
PRICED = estimate(SCENE, PLAN, BOOK)


def test_lines_follow_their_item_and_add_up_to_it():
    rows = list(bill_rows(PRICED))
    assert rows[-1].level == "total"
    items = [row for row in rows if row.level == "item"]
    assert sum(row.amount for row in items) == pytest.approx(rows[-1].amount, abs=0.05)
    for item in items:
        lines = [row for row in rows if row.item.startswith(f"{item.item}.")]
        assert lines
        assert sum(row.amount for row in lines) == pytest.approx(item.amount, abs=0.05)


def test_the_workbook_holds_live_sums_with_their_values():
    data = estimate_workbook(SCENE, PLAN, PRICED)
    values = openpyxl.load_workbook(BytesIO(data), data_only=True)["Bill"]
    formulas = openpyxl.load_workbook(BytesIO(data))["Bill"]
    rows = list(bill_rows(PRICED))
    for place, row in enumerate(rows, start=5):
        assert values.cell(place, 7).value == pytest.approx(row.amount)
        assert str(formulas.cell(place, 7).value).startswith("=")
    line = next(place for place, row in enumerate(rows, start=5) if row.level == "line")
    assert formulas.cell(line, 7).value == f"=D{line}*F{line}"


def test_nothing_of_a_scenario_runs_as_a_formula_in_the_workbook():
    book = openpyxl.load_workbook(
        BytesIO(estimate_workbook(EVIL, PLAN, estimate(EVIL, PLAN, BOOK)))
    )
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row]
    formulas = {str(cell.value) for cell in cells if cell.data_type == "f"}
    assert formulas
    assert all(text[:2] in {"=D", "=S", "=G"} for text in formulas)
    assert book["Bill"]["A1"].data_type == "s"


def test_workbook_and_pdf_are_the_same_bytes_each_time():
    assert estimate_workbook(SCENE, PLAN, PRICED) == estimate_workbook(SCENE, PLAN, PRICED)
    first = estimate_pdf(SCENE, PLAN, PRICED, version="1")
    assert first == estimate_pdf(SCENE, PLAN, PRICED, version="1")


def test_the_pdf_tells_total_items_and_sources_and_takes_any_name():
    data = estimate_pdf(EVIL, PLAN, estimate(EVIL, PLAN, BOOK), version="1")
    text = "\n".join(page.extract_text() for page in pypdf.PdfReader(BytesIO(data)).pages)
    flat = " ".join(text.replace("\N{NO-BREAK SPACE}", " ").split())
    assert "=HYPERLINK" in flat
    assert f"{PRICED.total:,.2f}".replace(",", " ") in flat
    for words in ("Per site day", "Per relocation", "prices.crew_shift.C1", "Safety boat"):
        assert words in flat


def test_the_headline_names_total_and_unit_rates():
    # (3803.395 + 2409.1576) x 1.1 = 6833.81; over 4.95 m³ and over 45 m²
    assert headline(PRICED) == "Total 6 834, 1 381 for each m³ in place, 152 for each m² of face."


def test_the_notes_say_how_much_of_the_paid_time_is_waiting():
    assert "crew-hours" not in " ".join(notes(SCENE, PLAN, PRICED))
    shut = closure(ClosureScope.SITE, from_min=12 * 60, to_min=18 * 60)
    scene = replace(SCENE, closures=(shut,))
    text = " ".join(notes(scene, PLAN, estimate(scene, PLAN, BOOK)))
    assert "Of 24 paid crew-hours 6 (25 %) are waiting" in text
