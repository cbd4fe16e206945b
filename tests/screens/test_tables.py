"""The tables: every one opens; edits are kept, checked and undone; lists are taken over."""

import pytest

from planner.scenario.dictionary import TABLES
from planner.screens.data_folder import data_folder
from planner.screens.drafts import DraftStore
from planner.screens.editor.grid import MARK
from planner.screens.editor.picker import GROUPS, _groups
from planner.workflow.demos import demos

pytestmark = pytest.mark.screens

PAGE = "planner/screens/pages/tables.py"


def draft_tables():
    store = DraftStore(data_folder())
    return store.tables(store.recent()[0].draft_id)[1]


def at_tables(page, demo="silo-rings", group="Work"):
    page.button(key=f"demo-{demo}").click().run()
    page.switch_page(PAGE).run()
    return at_group(page, group)


def at_group(page, group, table=None):
    page.segmented_control(key="table-group").set_value(group).run()
    if table is not None:
        page.segmented_control(key=f"table-of-{group}").set_value(table).run()
    assert not page.exception
    return page


def field(page, key):
    (found,) = [one for one in page.text_input if (one.key or "").endswith(f"-{key}")]
    return found


def markdown(page):
    return "\n".join(item.value for item in page.markdown)


def rows(page, text, button):
    (typed,) = [one for one in page.text_input if (one.key or "").startswith("rows-")]
    typed.set_value(text).run()
    page.button(key=button).click().run()
    assert not page.exception


def names(table="zones"):
    return [row[0] for row in draft_tables().tables[table].rows]


def test_without_a_scenario_the_page_leads_to_the_first(page):
    page.switch_page(PAGE).run()
    assert not page.exception
    assert "Open a scenario first" in page.info[0].value


@pytest.mark.parametrize("name", list(demos()))
def test_every_table_of_every_demo_opens(page, name):
    at_tables(page, name)
    for group, tables in _groups(draft_tables()).items():
        at_group(page, group)
        for table in tables if len(tables) > 1 else ():
            at_group(page, group, table)
            assert page.title[0].value.endswith(r"(invented demo)")


def test_every_table_of_the_dictionary_can_be_reached(page):
    at_tables(page)
    reached = {name for names in _groups(draft_tables()).values() for name in names}
    water = set(GROUPS["Water"]) - {"wet_weather"}  # those of other kinds of water are not shown
    assert {table.name for table in TABLES} - water <= reached


def test_a_setting_is_kept_as_typed_told_where_it_is_wrong_and_undone(page):
    at_tables(page, group="Settings")
    field(page, "rules.get_in_min").set_value("1,5").run()
    assert draft_tables().campaign["rules.get_in_min"] == "1,5"
    assert "write 1.5, with a point as decimal mark" in markdown(page)
    (group,) = [one for one in page.segmented_control if one.key == "table-group"]
    assert any("1 to mend" in label for label in group.options)
    page.button(key="undo").click().run()
    assert draft_tables().campaign["rules.get_in_min"] == "15"
    assert field(page, "rules.get_in_min").value == "15"
    page.button(key="redo").click().run()
    assert field(page, "rules.get_in_min").value == "1,5"


def test_an_emptied_setting_is_taken_out(page):
    at_tables(page, group="Settings")
    field(page, "rules.get_in_min").set_value("").run()
    assert "rules.get_in_min" not in draft_tables().campaign


def test_a_price_of_a_rig_and_a_further_item_are_kept(page):
    at_tables(page, group="Settings")
    field(page, "prices.rig_day.DRY").set_value("750").run()
    at_group(page, "Settings", "prices")
    (name,) = [one for one in page.text_input if (one.key or "").startswith("item-name")]
    name.set_value("Toilets").run()
    (money,) = [one for one in page.text_input if (one.key or "").startswith("item-price")]
    money.set_value("40").run()
    page.button(key="item-add").click().run()
    assert not page.exception
    assert draft_tables().campaign["prices.rig_day.DRY"] == "750"
    assert draft_tables().book["extra.fixed.Toilets"] == "40"


def test_rows_are_repeated_inserted_moved_and_removed(page):
    at_tables(page, group="Rigs and people")
    at_group(page, "Rigs and people", "shifts")
    rows(page, "2", "rows-duplicate")
    assert names("shifts") == ["long-day", "long-day-2", "day"]
    rows(page, "4", "rows-up")
    assert names("shifts") == ["long-day", "day", "long-day-2"]
    rows(page, "3", "rows-insert above")
    assert names("shifts") == ["long-day", "", "day", "long-day-2"]
    rows(page, "3, 5", "rows-delete")
    assert names("shifts") == ["long-day", "day"]


def test_rows_that_are_not_there_are_told(page):
    at_tables(page, group="Rigs and people")
    at_group(page, "Rigs and people", "shifts")
    (typed,) = [one for one in page.text_input if one.key == "rows-shifts"]
    typed.set_value("9").run()
    assert page.button(key="rows-delete").disabled
    assert any("rows go from 2 to 3" in caption.value for caption in page.caption)


def test_what_is_wrong_in_a_table_stands_below_it_and_elsewhere_as_a_count(page):
    at_tables(page, group="Rigs and people")
    at_group(page, "Rigs and people", "shifts")
    rows(page, "3", "rows-delete")
    at_group(page, "Rigs and people", "crews")
    assert "1 thing to mend" in markdown(page)
    (frame,) = [one.value for one in page.dataframe if "Written" in one.value.columns]
    assert frame.iloc[0]["Row"] == "3"
    assert frame.iloc[0]["Written"] == "day"
    assert "is not in shifts.csv" in frame.iloc[0]["What is wrong, and what would be right"]
    at_group(page, "Work", "zones")
    assert any("crews (1)" in caption.value for caption in page.caption)


def test_a_table_that_need_not_be_there_can_be_taken_out(page):
    at_tables(page)
    at_group(page, "Work", "apart")
    page.button(key="remove-table").click().run()
    assert "apart" not in draft_tables().tables
    page.button(key="undo").click().run()
    assert "apart" in draft_tables().tables


def sheet_of(page):
    (found,) = [one.value for one in page.dataframe if MARK in one.value.columns]
    return found


def test_all_columns_can_be_shown(page):
    at_tables(page)
    assert "priority" not in sheet_of(page).columns
    page.toggle(key="all-columns-zones").set_value(True).run()
    assert "priority" in sheet_of(page).columns


def test_the_sheet_has_free_rows_however_many_are_taken_over(page):
    at_tables(page)
    assert len(sheet_of(page)) == 100  # 56 rows and at least 20 free ones, in steps of 50
    paste(page, "zone\tdepth (mm)\n" + "\n".join(f"N{number}\t40" for number in range(60)))
    page.button(key="list-accept").click().run()
    assert len(sheet_of(page)) == 150
    assert list(sheet_of(page)["zone"])[115] == "N59"


def test_marks_stand_beside_the_rows(page):
    at_tables(page)
    paste(page, "zone\tdepth (mm)\nN1\t4 cm or so")
    page.button(key="list-accept").click().run()
    assert sheet_of(page)[MARK].iloc[56].startswith("58 ✗")


SURVEY = "Defect ref\tArea (sqm)\tDepth (cm)\tFace\nD-01\t6.5\t4.5\tSoffit\nD-02\t3\tca. 5\tWall"


def paste(page, text):
    (area,) = [one for one in page.text_area if (one.key or "").startswith("list-text")]
    area.set_value(text).run()
    assert not page.exception


def test_a_survey_list_is_matched_previewed_and_taken_over(page):
    at_tables(page)
    before = names()
    paste(page, SURVEY)
    preview = next(one.value for one in page.dataframe if "Depth (mm)" in one.value.columns)
    assert list(preview["Depth (mm)"]) == ["45", "ca. 5"]
    assert list(preview["Orientation"]) == ["overhead", "vertical"]
    assert any(r"4.5 cm → 45 mm" in caption.value for caption in page.caption)
    assert names() == before
    page.button(key="list-accept").click().run()
    assert not page.exception
    assert names() == [*before, "D-01", "D-02"]
    assert any("2 rows taken over" in info.value for info in page.info)


def test_a_column_can_be_left_out_and_a_unit_changed(page):
    at_tables(page)
    paste(page, SURVEY)
    (unit,) = [one for one in page.selectbox if (one.key or "").endswith("depth_mm-unit")]
    unit.set_value("in").run()
    preview = next(one.value for one in page.dataframe if "Depth (mm)" in one.value.columns)
    assert preview["Depth (mm)"].iloc[0] == "114.3"  # 4.5 in of 25.4 mm
    (face,) = [one for one in page.selectbox if one.value == "orientation"]
    face.set_value("leave out").run()
    preview = next(one.value for one in page.dataframe if "Depth (mm)" in one.value.columns)
    assert "Orientation" not in preview.columns


def test_a_list_that_cannot_be_read_is_told(page):
    at_tables(page)
    paste(page, 'ref,area\n"A,2')
    assert "double quotes" in page.error[0].value
