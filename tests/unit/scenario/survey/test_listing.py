"""Lists are read whatever their separators, marks of decimals, sheets and headings."""

import io

import openpyxl
import pytest

from planner.core.problems import InputRefusedError
from planner.scenario.survey.listing import read_listings, text_listing


@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
def test_the_separator_is_told_by_how_evenly_it_divides(separator):
    text = "\n".join(separator.join(row) for row in (("ref", "area"), ("A", "2.5"), ("B", "3")))
    listing = text_listing(text, name="a.csv")
    assert listing.rows == (("ref", "area"), ("A", "2.5"), ("B", "3"))


def test_a_decimal_comma_is_noticed():
    assert text_listing("ref;area\nA;2,5\nB;3,25", name="a").has_comma
    assert not text_listing("ref,area\nA,2.5", name="a").has_comma
    assert not text_listing("ref;count\nA;1,200", name="a").has_comma  # thousands, or not: asked


def test_lines_above_the_heading_are_passed_over():
    listing = text_listing("Survey of May;;\n;;\nref;area;depth\nA;2,5;40", name="a")
    assert listing.heading_row() == 2


def test_ragged_rows_are_made_even_and_blank_ends_dropped():
    listing = text_listing("ref,area\nA\nB,2,\n,,\n", name="a")
    assert listing.rows == (("ref", "area"), ("A", ""), ("B", "2"))


def test_other_encodings_of_spreadsheets_are_read():
    text = "ref;tiefe\nPfähle;4"
    for content in (text.encode("utf-16"), text.encode("cp1252"), text.encode("utf-8-sig")):
        (listing,) = read_listings("a.csv", content)
        assert listing.rows[1] == ("Pfähle", "4")


def test_each_sheet_of_a_workbook_is_a_list_and_formulas_are_not_run():
    book = openpyxl.Workbook()
    book.remove(book["Sheet"])
    survey = book.create_sheet("Survey")
    survey.append(["ref", "area"])
    survey.append(["A", 2.5])
    book.create_sheet("Empty")
    other = book.create_sheet("Two")
    other.append(["x"])
    content = io.BytesIO()
    book.save(content)
    listings = read_listings("a.xlsx", content.getvalue())
    assert [(one.name, one.rows) for one in listings] == [
        ("Survey", (("ref", "area"), ("A", "2.5"))),
        ("Two", (("x",),)),
    ]


def test_a_formula_without_a_result_is_told():
    book = openpyxl.Workbook()
    book["Sheet"].append(["ref", "=HYPERLINK(1)"])
    content = io.BytesIO()
    book.save(content)
    with pytest.raises(InputRefusedError) as refused:
        read_listings("a.xlsx", content.getvalue())
    assert refused.value.problems[0].code == "formula"


def test_quotes_that_do_not_match_are_told():
    with pytest.raises(InputRefusedError) as refused:
        text_listing('ref,area\n"A,2\nB,3', name="a.csv")
    assert refused.value.problems[0].code == "csv-broken"


def test_control_characters_are_left_out():
    assert text_listing("ref,area\nA\x07,2", name="a").rows[1] == ("A", "2")


def test_what_is_no_workbook_is_told():
    with pytest.raises(InputRefusedError):
        read_listings("a.xlsx", b"no workbook")
