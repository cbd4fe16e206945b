"""Records from a form or a spreadsheet: taken whole, or refused with row and column."""

from datetime import date

import openpyxl
import pytest
from openpyxl.worksheet.worksheet import Worksheet

from planner.core.problems import InputRefusedError
from planner.model.water import Water, WaterKind
from planner.site.records import entries_of_file, entry_of_cells
from tests import builders as make
from tests.unit.site import scenes

GOOD = {
    "zone": "Z1",
    "layer": "1",
    "placed_m3": "1.0",
    "start": "2026-03-02T09:00",
    "stop": "2026-03-02T10:00",
    "rig": "R1",
    "crew": "C1",
    "position": "P1",
}


def entry(**cells):
    return entry_of_cells(GOOD | cells, make.campaign(), file="record")


def refused(**cells):
    with pytest.raises(InputRefusedError) as refusal:
        entry(**cells)
    return [problem.line() for problem in refusal.value.problems]


def test_a_record_becomes_an_entry_with_times_of_the_site():
    found, warnings = entry()
    assert found == scenes.sprayed()
    assert warnings == ()


def test_everything_wrong_is_told_in_one_go_without_a_row():
    lines = refused(zone="Z9", layer="one", placed_m3="1,2")
    assert [line.split(":")[2] for line in lines] == ["layer", "placed_m3", "zone"]
    assert all(line.startswith("record::") for line in lines)


@pytest.mark.parametrize(
    ("cells", "column", "words"),
    [
        ({"stop": "2026-03-02T08:00"}, "stop", "not after start"),
        ({"stop": "2026-03-02"}, "stop", "no time of day"),
        ({"stop": "2026-04-02T08:00", "start": ""}, "stop", "after the campaign's last day"),
        ({"layer": "4"}, "layer", "has 1 layer, not 4"),
        ({"layer": ""}, "layer", "needs it"),
        ({"lost_min": "20"}, "lost_reason", "need it"),
        ({"lost_reason": "machine"}, "lost_min", "write the minutes"),
        ({"lost_min": "60", "lost_reason": "machine"}, "lost_min", "yet something was placed"),
        ({"bags": "50", "bag_l": "12"}, "bags", "0.600 m³ through the nozzle, less than"),
        ({"water_m": "1.2", "stop": "", "start": "", "placed_m3": ""}, "stop", "reading"),
        ({"note": "=HYPERLINK(1)"}, "note", "formula"),
        ({"lost_reason": "breakdown", "lost_min": "5"}, "lost_reason", '"machine"'),
    ],
)
def test_what_cannot_be_true_is_refused_with_its_column(cells, column, words):
    lines = refused(**cells)
    assert any(line.startswith(f"record::{column}: ") and words in line for line in lines), lines


def test_a_record_that_tells_nothing_is_refused():
    with pytest.raises(InputRefusedError, match="tells nothing"):
        entry_of_cells({"zone": "Z1"}, make.campaign(), file="record")


def test_much_more_than_was_left_is_odd_but_taken():
    found, warnings = entry(placed_m3="6", stop="2026-03-02T13:00")
    assert found.placed_m3 == 6.0
    assert "6 m³ where 2.200 m³ were left of layer 1" in warnings[0].message


def test_a_time_in_the_change_of_the_clock_asks_for_its_offset():
    clock = make.clock(first_day=date(2026, 3, 28), last_day=date(2026, 3, 30))
    campaign = make.campaign(clock=clock)
    cells = GOOD | {"start": "2026-03-29T01:30", "stop": "2026-03-29T03:30"}
    found, warnings = entry_of_cells(cells, campaign, file="record")
    assert found.minutes == 60.0  # 01:30 does not occur: read as 02:30 summer time
    assert any("change of the clock" in problem.message for problem in warnings)


def test_a_spreadsheet_is_told_by_row_and_column(tmp_path):
    path = tmp_path / "shift.csv"
    path.write_text(
        "zone,layer,placed_m3,stop\nZ1,1,0.5,2026-03-02T10:00\n\nZ7,1,x,2026-03-02T11:00\n",
        encoding="utf-8",
    )
    with pytest.raises(InputRefusedError) as refusal:
        entries_of_file(path, make.campaign())
    lines = [problem.line() for problem in refusal.value.problems]
    assert lines[0].startswith("shift.csv:4:placed_m3: ")
    assert lines[1].startswith("shift.csv:4:zone: there is no zone")


def test_a_workbook_with_real_times_is_read_from_its_first_sheet(tmp_path):
    book = openpyxl.Workbook()
    sheet = book.active
    assert isinstance(sheet, Worksheet)
    sheet.append(["zone", "layer", "placed_m3", "stop", "bags", "bag_l"])
    sheet.append(["Z1", 1, 0.5, scenes.at(600).replace(tzinfo=None), 80, 12.5])
    path = tmp_path / "shift.xlsx"
    book.save(path)
    ((row, found),), _ = entries_of_file(path, make.campaign())
    assert row == 2
    assert (found.stop, found.nozzle_m3) == (scenes.at(600), 1.0)


def test_a_broken_workbook_and_a_missing_file_are_refused(tmp_path):
    path = tmp_path / "shift.xlsx"
    with pytest.raises(InputRefusedError, match="no such file"):
        entries_of_file(path, make.campaign())
    path.write_bytes(b"no workbook")
    with pytest.raises(InputRefusedError, match=r"no \.xlsx workbook"):
        entries_of_file(path, make.campaign())


def test_progress_csv_can_be_taken_in_as_records(tmp_path):
    path = tmp_path / "progress.csv"
    path.write_text("zone,layer,done_m3,at,rig\nZ1,1,0.5,2026-03-02T10:00,R1\n", encoding="utf-8")
    ((_, found),), _ = entries_of_file(path, make.campaign())
    assert (found.placed_m3, found.stop) == (0.5, scenes.at(600))


def test_an_empty_table_is_refused(tmp_path):
    path = tmp_path / "shift.csv"
    path.write_text("zone,layer\n", encoding="utf-8")
    with pytest.raises(InputRefusedError, match="no record"):
        entries_of_file(path, make.campaign(water=Water(kind=WaterKind.NONE)))
