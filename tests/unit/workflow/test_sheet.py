"""A table as a sheet: cells are kept as typed, rows are moved, problems stand beside rows."""

import pytest

from planner.core.problems import Problem, Severity
from planner.scenario.dictionary import TABLE_BY_NAME
from planner.scenario.raw import RawTable, Tables
from planner.workflow import sheet

ZONES = TABLE_BY_NAME["zones"]
RAW = RawTable(
    columns=("zone", "depth_mm", "colour"),
    rows=(("Z1", "40", "red"), ("Z2", "50", ""), ("Z3", "60", "")),
)


def names(raw):
    return [row[0] for row in raw.rows]


@pytest.mark.parametrize("text", [".5", "1,5", "2e3", "3 m3", "abc", "1.234,5", "-3", "=1+1"])
def test_what_is_typed_is_kept_letter_by_letter(text):
    assert sheet.with_edits(RAW, ZONES, {1: {"depth_mm": text}}).rows[1] == ("Z2", text, "")


def test_an_emptied_cell_is_empty():
    assert sheet.with_edits(RAW, ZONES, {0: {"depth_mm": None}}).rows[0] == ("Z1", "", "red")


def test_a_column_comes_where_it_is_filled_and_columns_not_known_stay():
    changed = sheet.with_edits(RAW, ZONES, {0: {"priority": "2"}})
    assert changed.columns == ("zone", "depth_mm", "colour", "priority")
    assert changed.rows[1] == ("Z2", "50", "", "")


def test_a_free_row_becomes_a_row_and_those_before_it_are_blank():
    changed = sheet.with_edits(RAW, ZONES, {4: {"zone": "Z5"}})
    assert names(changed) == ["Z1", "Z2", "Z3", "", "Z5"]


def test_the_same_edits_twice_change_nothing_more():
    edits = {0: {"depth_mm": "45"}, 3: {"zone": "Z4"}}
    once = sheet.with_edits(RAW, ZONES, edits)
    assert sheet.with_edits(once, ZONES, edits) == once


def test_the_first_cell_of_a_new_table_brings_the_columns_that_must_be_there():
    changed = sheet.with_edits(None, TABLE_BY_NAME["shifts"], {0: {"shift": "early"}})
    assert changed.columns == ("shift", "days", "start", "end")
    assert changed.rows == (("early", "", "", ""),)


def test_a_cleared_last_row_is_gone():
    empty = {"zone": None, "depth_mm": None}
    assert names(sheet.with_edits(RAW, ZONES, {2: empty})) == ["Z1", "Z2"]


def test_a_sheet_has_free_rows_in_even_steps():
    assert sheet.sheet_parts(None) == [range(50)]
    assert sheet.sheet_parts(RAW) == [range(50)]
    assert sheet.sheet_parts(RawTable(columns=("zone",), rows=(("Z",),) * 40)) == [range(100)]


@pytest.mark.parametrize("rows", [0, 1, 30, 1999, 2000, 2020, 2021, 4500, 60_000])
def test_a_long_table_is_shown_part_by_part_and_no_row_is_left_out(rows):
    parts = sheet.sheet_parts(RawTable(columns=("zone",), rows=(("Z",),) * rows))
    assert [row for part in parts for row in part] == list(range(parts[-1].stop))
    assert parts[-1].stop >= rows + sheet.SPARE
    assert all(len(part) <= sheet.PAGE_ROWS + sheet.SPARE + sheet.CHUNK for part in parts)


def test_the_cells_of_a_sheet_are_those_of_the_table_and_empty_below():
    cells = sheet.cells_of(RAW, ("zone", "priority"), range(5))
    assert cells == {"zone": ["Z1", "Z2", "Z3", "", ""], "priority": [""] * 5}
    assert sheet.cells_of(RAW, ("zone",), range(2, 4)) == {"zone": ["Z3", ""]}


def test_needed_and_used_columns_are_shown_and_those_not_known_last():
    shown = sheet.shown_columns(ZONES, RAW, all_of_them=False)
    assert shown[0] == "zone"
    assert "priority" not in shown
    assert shown[-1] == "colour"
    every = sheet.shown_columns(ZONES, RAW, all_of_them=True)
    assert set(ZONES.column_names) < set(every)


@pytest.mark.parametrize(
    ("text", "rows"),
    [("2", (0,)), ("2-4", (0, 1, 2)), ("4, 2", (0, 2)), ("2 - 3", (0, 1)), ("3;3", (1,))],
)
def test_rows_are_named_as_a_spreadsheet_counts_them(text, rows):
    assert sheet.rows_asked(text, 3).rows == rows


@pytest.mark.parametrize("text", ["", "1", "5", "4-2", "two", "2-9"])
def test_rows_that_are_not_there_are_told(text):
    asked = sheet.rows_asked(text, 3)
    assert asked.rows == ()
    assert asked.complaint


def test_a_repeated_row_stands_below_under_the_next_free_name():
    changed = sheet.duplicated(RAW, (0, 1), ZONES)
    assert names(changed) == ["Z1", "Z2", "Z4", "Z5", "Z3"]
    assert changed.rows[2] == ("Z4", "40", "red")


def test_rows_are_inserted_removed_and_moved():
    assert names(sheet.inserted(RAW, 1)) == ["Z1", "", "Z2", "Z3"]
    assert names(sheet.without_rows(RAW, (0, 2))) == ["Z2"]
    assert names(sheet.moved(RAW, (1, 2), -1)) == ["Z2", "Z3", "Z1"]
    assert names(sheet.moved(RAW, (0,), +1)) == ["Z2", "Z1", "Z3"]
    assert names(sheet.moved(RAW, (0,), -1)) == ["Z1", "Z2", "Z3"]


@pytest.mark.parametrize(
    ("new", "told"),
    [
        (RawTable(columns=RAW.columns, rows=RAW.rows[:2]), "zones: 1 row removed"),
        (
            RawTable(columns=RAW.columns, rows=(*RAW.rows, ("Z4", "1", ""))),
            "zones: 1 row added",
        ),
        (
            RawTable(columns=RAW.columns, rows=(("Z1", "41", ""), *RAW.rows[1:])),
            "zones: 2 cells changed",
        ),
        (
            RawTable(columns=RAW.columns, rows=(("Z1", "41", "red"), *RAW.rows[1:])),
            "zones: Z1 depth_mm 40 → 41",
        ),
        (RawTable(columns=("zone",), rows=(("Z1",), ("Z2",), ("Z3",))), "zones: columns changed"),
    ],
)
def test_a_change_is_told_in_a_few_words(new, told):
    assert sheet.what_changed("zones", RAW, new) == told


def test_choices_come_from_the_other_tables_and_keep_what_stands_there():
    shifts = RawTable(columns=("shift",), rows=(("early",), ("late",)))
    tables = Tables(campaign={}, tables={"shifts": shifts})
    column = TABLE_BY_NAME["crews"].column("shift")
    assert sheet.choices_for(column, tables, ["", "nigth"]) == ("early", "late", "nigth")


def test_without_a_mixes_table_the_built_in_mixes_are_offered():
    column = ZONES.column("mixes")
    assert sheet.choices_for(column, Tables(campaign={}, tables={}), ()) == ("dry", "wet")


def test_free_text_has_no_choices():
    assert sheet.choices_for(ZONES.column("depth_mm"), Tables(campaign={}, tables={}), ()) == ()


def test_a_mark_stands_beside_each_row_with_something_wrong():
    def problem(row, severity):
        return Problem(file="zones.csv", row=row, message="m", code="c", severity=severity)

    found = sheet.problems_by_row(
        [
            problem(2, Severity.ERROR),
            problem(2, Severity.ERROR),
            problem(3, Severity.WARNING),
            problem(1, Severity.ERROR),
            problem(None, Severity.ERROR),
        ],
        "zones.csv",
    )
    assert sheet.row_marks(range(4), 3, found) == ["2 ✗ 2", "3 !", "4", ""]
    assert sheet.row_marks(range(1, 3), 3, found) == ["3 !", "4"]
