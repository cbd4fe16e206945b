"""Scenarios as workbooks: written as text, read whatever a spreadsheet made of it."""

import zipfile
from datetime import date, datetime, time

import openpyxl
import pytest

from planner.core.problems import InputRefusedError
from planner.scenario.raw import RawTable
from planner.scenario.reader import read_scenario
from planner.scenario.tables import read_tables
from planner.scenario.workbook import read_workbook, write_workbook
from planner.scenario.writer import write_folder
from tests.unit.scenario.scenes import marks, scene, sewer, tidal


def at(text):
    """Return a local date-time."""
    return datetime.fromisoformat(text)


def written(path, tables=None):
    write_workbook(tables or scene(), path)
    return path


def changed(path, change):
    """Open a workbook, change it and save it, as people do."""
    book = openpyxl.load_workbook(path)
    change(book)
    book.save(path)
    return path


def refused(path):
    with pytest.raises(InputRefusedError) as caught:
        read_scenario(path)
    return caught.value.problems


@pytest.mark.parametrize("tables", [scene(), tidal(), sewer()], ids=["dry", "tide", "sewer"])
def test_folder_and_workbook_are_equal_ways_in_and_out(tmp_path, tables):
    write_folder(tables, tmp_path / "a")
    write_workbook(read_tables(tmp_path / "a"), tmp_path / "b.xlsx")
    write_folder(read_workbook(tmp_path / "b.xlsx"), tmp_path / "c")
    assert read_tables(tmp_path / "c") == read_tables(tmp_path / "b.xlsx") == tables
    for name in ("zones.csv", "campaign.toml"):
        assert (tmp_path / "c" / name).read_bytes() == (tmp_path / "a" / name).read_bytes()
    one, two = read_scenario(tmp_path / "a")[0], read_scenario(tmp_path / "b.xlsx")[0]
    assert one == two


def test_the_same_tables_give_the_same_bytes(tmp_path):
    first, second = written(tmp_path / "a.xlsx"), written(tmp_path / "b.xlsx")
    assert first.read_bytes() == second.read_bytes()


def test_every_cell_is_written_as_text_so_that_nothing_runs_and_nothing_is_changed(tmp_path):
    tables = scene(closures=[{"scope": "site", "why": "=HYPERLINK(1)"}, {"why": "007"}])
    book = openpyxl.load_workbook(written(tmp_path / "a.xlsx", tables))
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row]
    assert {cell.data_type for cell in cells if cell.value is not None} == {"s"}
    assert {cell.number_format for cell in cells if cell.value is not None} == {"@"}
    assert read_workbook(tmp_path / "a.xlsx") == tables


def test_unknown_columns_are_kept(tmp_path):
    tables = scene(shifts=[{**scene_shift(), "foreman": "any", "second": ""}])
    assert read_workbook(written(tmp_path / "a.xlsx", tables)) == tables


def scene_shift():
    return {"shift": "day", "days": "Mon", "start": "07:00", "end": "17:00"}


def test_numbers_dates_and_times_that_people_type_are_read_as_meant(tmp_path):
    def type_in(book):
        book["campaign"]["B3"] = date(2027, 4, 5)
        book["campaign"]["B3"].number_format = "yyyy-mm-dd"
        sheet = book["zones"]
        names = [cell.value for cell in sheet[1]]
        sheet.cell(2, names.index("area_m2") + 1).value = 12.5
        sheet.cell(2, names.index("area_m2") + 1).number_format = "0.0"
        sheet.cell(1, len(names) + 1).value = "due"
        sheet.cell(2, len(names) + 1).value = at("2027-04-09T00:00:00")
        sheet.cell(2, len(names) + 1).number_format = "dd/mm/yyyy"
        sheet.cell(1, len(names) + 2).value = "joint_allowed"
        sheet.cell(2, len(names) + 2).value = True
        sheet.cell(1, len(names) + 3).value = "priority"
        sheet.cell(2, len(names) + 3).value = 2
        shifts = book["shifts"]
        shifts["C2"] = time(7, 30)
        shifts["C2"].number_format = "hh:mm"

    path = changed(written(tmp_path / "a.xlsx"), type_in)
    campaign, found = read_scenario(path)
    assert found == []
    zone = campaign.zones[0]
    assert (zone.area_m2, zone.joint_allowed, zone.priority) == (12.5, True, 2)
    # The end of 9 April is five days of 1440 minutes after 00:00 on 5 April.
    assert zone.due_min == 5 * 1440
    assert campaign.shifts[0].start_tod == 7 * 60 + 30


def test_a_formula_counts_by_its_last_result_and_is_remarked_on(tmp_path):
    path = written(tmp_path / "a.xlsx")
    with_formula(path, "<c r='F2'><f>3*13</f><v>39</v></c>")
    campaign, found = read_scenario(path)
    assert campaign.zones[0].depth_mm == 39.0
    assert marks(found) == [("zones", 2, "column 6", "formula")]


def test_a_formula_without_a_result_is_refused(tmp_path):
    def put_formula(book):
        book["zones"]["F2"] = "=2*20"

    found = refused(changed(written(tmp_path / "a.xlsx"), put_formula))
    assert ("zones", 2, "column 6", "formula") in marks(found)


def with_formula(path, cell):
    """Put a cell as XML in the place of F2 of the zones sheet (depth_mm)."""
    import re

    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    sheet = parts["xl/worksheets/sheet2.xml"].decode()
    assert '<c r="F2"' in sheet
    parts["xl/worksheets/sheet2.xml"] = re.sub(r'<c r="F2".*?</c>', cell, sheet).encode()
    repack(path, parts)


def repack(path, parts):
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in parts.items():
            archive.writestr(name, data)


def test_an_error_of_the_spreadsheet_is_named(tmp_path):
    path = written(tmp_path / "a.xlsx")
    with_formula(path, "<c r='F2' t='e'><v>#DIV/0!</v></c>")
    found = refused(path)
    assert marks(found) == [("zones", 2, "depth_mm", "not-a-number")]
    assert "mend the formula" in found[0].message


def test_sheet_names_may_be_written_in_capitals_and_strange_sheets_are_remarked_on(tmp_path):
    def rename(book):
        book["zones"].title = "Zones "
        book.create_sheet("notes")["A1"] = "our own"
        book.create_sheet("closure")

    campaign, found = read_scenario(changed(written(tmp_path / "a.xlsx"), rename))
    assert len(campaign.zones) == 2
    assert marks(found) == [
        ("closure", None, "", "unknown-sheet"),
        ("notes", None, "", "unknown-sheet"),
    ]
    assert 'did you mean "closures"?' in found[0].message


def test_two_sheets_of_one_name_are_refused(tmp_path):
    def twice(book):
        book.create_sheet("ZONES ")

    assert ("ZONES", None, "", "duplicate-sheet") in marks(
        refused(changed(written(tmp_path / "a.xlsx"), twice))
    )


def test_a_workbook_without_the_campaign_sheet_says_so(tmp_path):
    def remove(book):
        del book["campaign"]

    found = refused(changed(written(tmp_path / "a.xlsx"), remove))
    assert marks(found) == [("campaign", None, "", "missing-file")]


def test_the_campaign_sheet_needs_its_heading_and_each_key_once(tmp_path):
    def no_heading(book):
        book["campaign"].delete_rows(1)

    found = refused(changed(written(tmp_path / "a.xlsx"), no_heading))
    assert marks(found) == [("campaign", 1, "", "missing-column")]

    def twice(book):
        book["campaign"].append(["campaign.name", "Other"])
        book["campaign"]["C1"] = "note"
        book["campaign"]["C2"] = "not read"

    found = refused(changed(written(tmp_path / "b.xlsx"), twice))
    assert marks(found) == [
        ("campaign", 1, "note", "unknown-column"),
        ("campaign", 7, "campaign.name", "duplicate-key"),
    ]


def test_problems_name_the_sheet_and_the_row_of_the_sheet(tmp_path):
    tables = scene({"water.kind": "lake"}, shifts=[scene_shift() | {"start": "7"}])
    found = refused(written(tmp_path / "a.xlsx", tables))
    assert marks(found) == [
        ("campaign", 6, "water.kind", "unknown-word"),
        ("shifts", 2, "start", "not-a-time"),
    ]


def test_a_row_far_below_with_nothing_in_it_does_no_harm(tmp_path):
    def far(book):
        book["zones"]["A900000"].number_format = "0.00"
        book["zones"]["XFD5"].number_format = "0.00"

    campaign, found = read_scenario(changed(written(tmp_path / "a.xlsx"), far))
    assert (len(campaign.zones), found) == (2, [])


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"zone,area_m2\n",
        b"PK\x03\x04 not really",
        b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\x00" * 600,  # a workbook under a password
    ],
    ids=["empty", "csv", "zip", "password"],
)
def test_a_file_that_is_no_workbook_is_one_problem(tmp_path, data):
    path = tmp_path / "a.xlsx"
    path.write_bytes(data)
    assert marks(refused(path)) == [("a.xlsx", None, "", "workbook-broken")]


def test_a_workbook_that_is_not_there_is_one_problem(tmp_path):
    assert marks(refused(tmp_path / "a.xlsx")) == [("a.xlsx", None, "", "not-a-file")]


def test_a_workbook_that_unpacks_to_more_than_stated_is_not_unpacked(tmp_path):
    path = tmp_path / "a.xlsx"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/workbook.xml", b"\x20" * 100_000_001)
    assert path.stat().st_size < 200_000
    assert marks(refused(path)) == [("a.xlsx", None, "", "workbook-too-large")]


def test_a_workbook_of_very_many_parts_is_not_unpacked(tmp_path):
    path = tmp_path / "a.xlsx"
    with zipfile.ZipFile(path, "w") as archive:
        for part in range(2001):
            archive.writestr(f"{part}", b"")
    assert marks(refused(path)) == [("a.xlsx", None, "", "workbook-too-large")]


def test_a_workbook_that_defines_entities_is_refused(tmp_path):
    path = written(tmp_path / "a.xlsx")
    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    head = b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "aaaaaaaaaa">]>'
    sheet = parts["xl/worksheets/sheet1.xml"]
    parts["xl/worksheets/sheet1.xml"] = head + sheet[sheet.index(b"?>") + 2 :]
    repack(path, parts)
    found = refused(path)
    assert marks(found) == [("a.xlsx", None, "", "workbook-broken")]
    assert "entities" in found[0].message


def test_a_text_that_a_workbook_would_lose_is_not_written(tmp_path):
    tables = scene(closures=[{"scope": "site", "why": "_x005F_"}])
    with pytest.raises(InputRefusedError) as caught:
        write_workbook(tables, tmp_path / "a.xlsx")
    assert marks(caught.value.problems) == [("closures.csv", 2, "why", "not-for-workbook")]
    assert not (tmp_path / "a.xlsx").exists()


def test_an_empty_table_and_one_without_rows_are_kept(tmp_path):
    raw = scene()
    tables = type(raw)(
        campaign=raw.campaign,
        tables={
            **raw.tables,
            "mixes": RawTable(columns=()),
            "apart": RawTable(columns=("zone_a",)),
        },
    )
    assert read_workbook(written(tmp_path / "a.xlsx", tables)) == tables
