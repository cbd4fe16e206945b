"""Scenario folders: bytes, rows and columns, whatever people save."""

import pytest

from planner.core.problems import InputRefusedError
from planner.scenario.campaign_file import campaign_toml
from planner.scenario.raw import CELL_MAX, COLUMNS_MAX, RawTable
from planner.scenario.reader import read_scenario
from planner.scenario.tables import read_tables
from planner.scenario.writer import csv_text
from tests.unit.scenario.scenes import marks, scene, write_files


def files(tables=None, **changes):
    """Return the files of a scene by name; None leaves one out."""
    raw = tables or scene()
    texts: dict[str, str | bytes | None] = {
        f"{name}.csv": csv_text(table) for name, table in raw.tables.items()
    }
    texts["campaign.toml"] = campaign_toml(raw.campaign)
    for name, content in changes.items():
        texts[name.replace("__", ".")] = content
    return {name: content for name, content in texts.items() if content is not None}


def refused(folder):
    with pytest.raises(InputRefusedError) as caught:
        read_scenario(folder)
    return caught.value.problems


SHIFTS = "shift,days,start,end\nday,Mon;Tue,07:00,17:00\n"


def test_a_folder_gives_the_tables_as_they_were_written(tmp_path):
    assert read_tables(write_files(tmp_path, files())) == scene()


@pytest.mark.parametrize(
    "spelling",
    [
        "\ufeff" + SHIFTS,
        SHIFTS.replace("\n", "\r\n"),
        SHIFTS.replace("\n", "\r"),
        SHIFTS + ",,,\n\n  ,,,\n",
        SHIFTS.rstrip("\n"),
        SHIFTS.replace("day,", " day ,"),
        SHIFTS.replace("Mon;Tue", '"Mon;Tue"'),
        SHIFTS.replace("\n", ",,\n"),
        "shift , days,start,end\nday,Mon;Tue,07:00,17:00",
    ],
    ids=["mark", "crlf", "cr", "blank tail", "no last break", "blanks", "quotes", "extra", "head"],
)
def test_the_way_a_table_is_saved_does_not_matter(tmp_path, spelling):
    plain = read_tables(write_files(tmp_path / "plain", files(shifts__csv=SHIFTS)))
    other = read_tables(write_files(tmp_path / "other", files(shifts__csv=spelling)))
    assert other.tables["shifts"] == plain.tables["shifts"]


def test_the_way_the_campaign_file_is_saved_does_not_matter(tmp_path):
    text = campaign_toml(scene().campaign)
    other = "\ufeff" + text.replace("\n", "\r\n") + "\r\n# end\r\n"
    folder = write_files(tmp_path, files(campaign__toml=other))
    assert read_tables(folder) == scene()


def test_a_cell_may_hold_commas_quotes_and_line_breaks(tmp_path):
    text = 'scope,id,from,to,why\nsite,,2027-04-06,2027-04-06,"berth ""A"",\r\nnorth"\n'
    tables = read_tables(write_files(tmp_path, files(closures__csv=text)))
    assert tables.tables["closures"].rows[0][-1] == 'berth "A",\nnorth'


def test_rows_count_as_a_spreadsheet_counts_them_across_blank_rows_and_breaks(tmp_path):
    # Row 1 heading, row 2 with a break inside, row 3 blank, row 4 wrong.
    text = 'scope,id,from,to,why\nsite,,2027-04-06,2027-04-06,"a\nb"\n\nmoon,,,,\n'
    found = refused(write_files(tmp_path, files(closures__csv=text)))
    assert marks(found) == [("closures.csv", 4, "scope", "unknown-word")]


def test_a_folder_called_plan_and_files_of_other_kinds_are_not_looked_at(tmp_path):
    folder = write_files(tmp_path, files(notes__txt="=1", _own__csv="x", _x__csv=b"\xff"))
    write_files(folder / "plan", {"zones.csv": b"\xff\xfe\x00", "spells.csv": "x"})
    campaign, warnings = read_scenario(folder)
    assert campaign.name == "Small scene"
    assert warnings == []


def test_a_table_under_a_misspelt_name_is_remarked_on(tmp_path):
    folder = write_files(tmp_path, files(closure__csv="scope\nsite\n"))
    _, warnings = read_scenario(folder)
    assert marks(warnings) == [("closure.csv", None, "", "unknown-file")]
    assert 'did you mean "closures.csv"?' in warnings[0].message


def test_a_missing_file_is_one_problem_and_not_a_hundred(tmp_path):
    found = refused(write_files(tmp_path, files(shifts__csv=None)))
    assert marks(found) == [("shifts.csv", None, "", "missing-table")]


def test_a_missing_campaign_file_is_one_problem(tmp_path):
    found = refused(write_files(tmp_path, files(campaign__toml=None)))
    assert marks(found) == [("campaign.toml", None, "", "missing-file")]


def test_a_scenario_that_is_not_there_is_one_problem(tmp_path):
    found = refused(tmp_path / "nowhere")
    assert [problem.code for problem in found] == ["scenario-missing"]
    plain = tmp_path / "plain.txt"
    plain.write_text("hello", encoding="utf-8")
    assert [problem.code for problem in refused(plain)] == ["scenario-missing"]


def test_an_empty_folder_is_refused_in_one_line(tmp_path):
    assert [problem.code for problem in refused(tmp_path)] == ["missing-file"]


def test_a_byte_that_is_not_utf_8_is_shown_with_its_row_and_place(tmp_path):
    data = b"shift,days,start,end\nday,Mon,07:00,17:00\nnachtschicht,Mon,0\xe9:00"
    found = refused(write_files(tmp_path, files(shifts__csv=data)))
    assert marks(found) == [("shifts.csv", 3, "", "not-utf-8")]
    # nachtschicht,Mon,0 are 18 bytes
    assert "byte 19 of this line is 0xE9" in found[0].message


def test_a_table_saved_as_unicode_text_is_named_as_such(tmp_path):
    found = refused(write_files(tmp_path, files(shifts__csv=SHIFTS.encode("utf-16"))))
    assert [problem.code for problem in found] == ["not-utf-8"]
    assert "UTF-16" in found[0].message


@pytest.mark.parametrize(("separator", "name"), [(";", "semicolons"), ("\t", "tabs")])
def test_a_table_with_other_separators_is_named_as_such(tmp_path, separator, name):
    text = "shift,start,end\nday,07:00,17:00\n".replace(",", separator)
    found = refused(write_files(tmp_path, files(shifts__csv=text)))
    assert marks(found) == [("shifts.csv", 1, "", "wrong-separator")]
    assert name in found[0].message


def test_a_decimal_comma_outside_of_quotes_is_a_cell_too_many(tmp_path):
    text = "from,to,length_m\nP1,Z1,30,5\nP1,Z2,35\n"
    found = refused(write_files(tmp_path, files(routes__csv=text)))
    assert marks(found) == [("routes.csv", 2, "", "too-many-cells")]
    assert "decimals with a point" in found[0].message


def test_a_quote_that_is_never_closed_is_a_problem_of_its_row(tmp_path):
    text = 'shift,days,start,end\nday,Mon,07:00,17:00\nlate,"Mon,07:00,17:00\n'
    found = refused(write_files(tmp_path, files(shifts__csv=text)))
    assert marks(found) == [("shifts.csv", 3, "", "csv-broken")]


def test_a_control_character_is_named(tmp_path):
    found = refused(write_files(tmp_path, files(shifts__csv=SHIFTS.replace("Mon", "M\x07on"))))
    assert ("shifts.csv", 2, "days", "control-character") in marks(found)
    assert "U+0007" in next(p for p in found if p.code == "control-character").message


def test_a_cell_longer_than_stated_is_refused(tmp_path):
    text = f"scope,why\nsite,{'x' * (CELL_MAX + 1)}\n"
    found = refused(write_files(tmp_path, files(closures__csv=text)))
    assert ("closures.csv", 2, "why", "cell-too-long") in marks(found)


def test_a_table_with_too_many_columns_is_refused(tmp_path):
    text = "shift,days,start,end," + ",".join(f"c{k}" for k in range(COLUMNS_MAX)) + "\n"
    found = refused(write_files(tmp_path, files(shifts__csv=text)))
    assert ("shifts.csv", 1, "", "too-many-columns") in marks(found)


def test_a_table_with_too_many_rows_is_refused(tmp_path, monkeypatch):
    monkeypatch.setattr("planner.scenario.grid.ROWS_MAX", 3)
    rows = "".join(f"s{k},Mon,07:00,17:00\n" for k in range(4))
    found = refused(write_files(tmp_path, files(shifts__csv="shift,days,start,end\n" + rows)))
    assert ("shifts.csv", 5, "", "too-many-rows") in marks(found)


def test_blank_rows_beyond_the_most_rows_do_no_harm(tmp_path, monkeypatch):
    monkeypatch.setattr("planner.scenario.grid.ROWS_MAX", 3)
    tables = read_tables(write_files(tmp_path, files(shifts__csv=SHIFTS + "\n" * 20)))
    assert len(tables.tables["shifts"].rows) == 1


def test_a_file_larger_than_stated_is_not_read(tmp_path, monkeypatch):
    monkeypatch.setattr("planner.scenario.folder.BYTES_MAX", 200)
    found = refused(write_files(tmp_path, files(shifts__csv=SHIFTS + "#" * 200)))
    assert marks(found) == [("shifts.csv", None, "", "file-too-large")]


def test_a_folder_in_place_of_a_table_is_a_problem(tmp_path):
    folder = write_files(tmp_path, files(shifts__csv=None))
    (folder / "shifts.csv").mkdir()
    assert marks(refused(folder)) == [("shifts.csv", None, "", "not-a-file")]


@pytest.mark.parametrize(
    ("heading", "code", "column"),
    [
        ("shift,days,start,end,end", "duplicate-column", "end"),
        ("shift,days,start,end,,x", "column-without-name", ""),
    ],
)
def test_a_heading_must_name_each_column_once(tmp_path, heading, code, column):
    text = f"{heading}\nday,Mon,07:00,17:00,,\n"
    found = refused(write_files(tmp_path, files(shifts__csv=text)))
    assert ("shifts.csv", 1, column, code) in marks(found)


def test_an_empty_required_table_and_one_with_a_heading_only_are_told_apart(tmp_path):
    empty = refused(write_files(tmp_path / "a", files(shifts__csv="")))
    assert {problem.code for problem in empty} == {"missing-column", "empty-table"}
    heading = refused(write_files(tmp_path / "b", files(shifts__csv="shift,days,start,end\n")))
    assert marks(heading) == [("shifts.csv", None, "", "empty-table")]


def test_a_row_with_fewer_cells_than_the_heading_is_filled_with_empty_ones(tmp_path):
    text = "rig,process,hose_max_m,rate_m3_h,at\nR1,dry,60,4\n"
    campaign, _ = read_scenario(write_files(tmp_path, files(rigs__csv=text)))
    assert campaign.rigs[0].at is None


def test_a_raw_table_refuses_rows_that_do_not_fit():
    with pytest.raises(ValueError, match="a row of 1 cells in a table of 2 columns"):
        RawTable(columns=("a", "b"), rows=(("1",),))
