"""The first page opens scenarios from everywhere, keeps every change, and settles conflicts."""

import io
import zipfile
from typing import cast

import pytest
from streamlit.testing.v1 import AppTest

from planner.scenario.tables import read_tables
from planner.scenario.writer import write_folder
from planner.screens import state
from planner.screens.data_folder import VARIABLE, data_folder
from planner.screens.drafts import FILE, DraftStore
from planner.workflow.demos import copy_demo, demos
from planner.workflow.editing import with_keys
from planner.workflow.saving import scenario_workbook, scenario_zip

pytestmark = pytest.mark.screens

ZIP = "application/zip"
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
TABLES_PAGE = "planner/screens/pages/tables.py"


def store():
    return DraftStore(data_folder())


def heads():
    return store().recent()


def text(page):
    kinds = (page.title, page.header, page.markdown, page.caption, page.error, page.warning)
    return "\n".join(str(item.value) for kind in (*kinds, page.info) for item in kind)


def choose(page, kind):
    page.segmented_control(key="kind").set_value(kind).run()
    assert not page.exception
    return page


def open_demo(page, name="silo-rings"):
    page.button(key=f"demo-{name}").click().run()
    assert not page.exception
    return page


def open_folder(page, path):
    choose(page, "A folder")
    page.text_input(key="path").set_value(str(path)).run()
    page.button(key="open-path").click().run()
    assert not page.exception
    return page


def upload(page, name, content, kind):
    choose(page, "An upload")
    page.file_uploader(key="upload").set_value((name, content, kind)).run()
    page.button(key="open-upload").click().run()
    assert not page.exception
    return page


def another_tab(repository, draft_id, where="tables"):
    tab = AppTest.from_file(str(repository / "app.py"), default_timeout=30)
    tab.query_params["w"] = draft_id
    tab.run()
    if where == "tables":
        tab.switch_page(TABLES_PAGE).run()
        tab.segmented_control(key="table-group").set_value("Settings").run()
    assert not tab.exception
    return tab


def field(page, key):
    (found,) = [one for one in page.text_input if (one.key or "").endswith(f"-{key}")]
    return found


def write(page, key, value):
    field(page, key).set_value(value).run()
    assert not page.exception


@pytest.fixture
def demo():
    return read_tables(demos()["silo-rings"])


def test_a_zip_and_a_workbook_are_opened(page, demo):
    upload(page, "site.zip", scenario_zip(demo, "site"), ZIP)
    assert "Silo rings" in page.header[0].value
    upload(page, "site.xlsx", scenario_workbook(demo), XLSX)
    assert [head.source for head in heads()] == ["upload site.xlsx", "upload site.zip"]
    assert store().tables(heads()[0].draft_id)[1] == demo


def test_a_zip_that_leads_out_is_told_and_nothing_is_opened(page):
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        archive.writestr("../campaign.toml", "")
    upload(page, "odd.zip", packed.getvalue(), ZIP)
    assert "odd.zip cannot be opened" in page.error[0].value
    assert "leads out of the zip file" in page.code[0].value
    assert heads() == []


def test_what_is_refused_leaves_the_open_scenario_alone(page):
    open_demo(page)
    upload(page, "photo.zip", b"no zip", ZIP)
    assert "cannot be opened" in page.error[0].value
    page.switch_page(TABLES_PAGE).run()
    assert "Silo rings" in page.title[0].value


def test_html_in_a_name_is_shown_as_letters(page, demo):
    named = with_keys(demo, {"campaign.name": "<img src=x onerror=alert(1)> ![p](http://a.b)"})
    upload(page, "odd.zip", scenario_zip(named, "site"), ZIP)
    assert page.header[0].value == r"\<img src=x onerror=alert(1)\> \!\[p\](http\://a.b)"
    assert not any("<img" in item.value.replace(r"\<", "") for item in page.markdown)


def test_a_formula_in_a_cell_stays_a_text_and_is_told(page, demo):
    named = with_keys(demo, {"campaign.name": "=1+1"})
    upload(page, "odd.xlsx", scenario_workbook(named), XLSX)
    assert "cannot be planned yet" in page.error[0].value
    assert "begins like a formula" in "\n".join(code.value for code in page.code)
    assert store().tables(heads()[0].draft_id)[1].campaign["campaign.name"] == "=1+1"


def test_from_blank_the_tables_say_what_is_missing(page):
    choose(page, "A blank one")
    page.button(key="open-blank").click().run()
    assert not page.exception
    assert page.title[0].value == "New scenario"
    assert "the key is missing or empty" in text(page)


def test_a_blank_scenario_takes_the_name_that_it_is_given(page):
    choose(page, "A blank one")
    page.button(key="open-blank").click().run()
    write(page, "campaign.name", "Pier 3")
    assert page.title[0].value == "Pier 3"


def test_recent_scenarios_are_listed_opened_and_forgotten(page):
    open_demo(page)
    open_demo(page, "trunk-sewer")
    first = next(head for head in heads() if "Silo" in head.name)
    choose(page, "A recent one")
    page.button(key=f"recent-{first.draft_id}").click().run()
    assert "Silo rings" in page.header[0].value
    page.button(key=f"forget-{first.draft_id}").click().run()
    assert not page.exception
    assert [head.name for head in heads()] == ["Trunk sewer (invented demo)"]


def test_opening_the_same_thing_again_goes_on_with_its_draft(page):
    open_demo(page)
    open_demo(page)
    assert len(heads()) == 1


def test_a_reloaded_page_finds_the_work_again(page, repository):
    open_demo(page)
    page.switch_page(TABLES_PAGE).run()
    page.segmented_control(key="table-group").set_value("Settings").run()
    write(page, "rules.get_in_min", "25")
    again = another_tab(repository, heads()[0].draft_id)
    assert field(again, "rules.get_in_min").value == "25"


def test_an_id_that_is_not_known_opens_nothing(repository, page):
    open_demo(page)
    tab = another_tab(repository, "nobody", where="start")
    assert not tab.header


def test_changes_of_a_folder_that_were_not_saved_are_offered_again(page, tmp_path):
    copy_demo("silo-rings", tmp_path / "site")
    open_folder(page, tmp_path / "site")
    page.switch_page(TABLES_PAGE).run()
    page.segmented_control(key="table-group").set_value("Settings").run()
    write(page, "rules.get_in_min", "25")
    page.switch_page("planner/screens/pages/start.py").run()
    choose(page, "A folder")
    page.text_input(key="path").set_value(str(tmp_path / "site")).run()
    assert "were never saved there" in text(page)
    page.button(key=f"resume-{heads()[0].draft_id}").click().run()
    assert not page.exception
    assert len(heads()) == 1


def test_a_named_copy_leaves_the_first_as_it_is(page):
    open_demo(page)
    page.text_input(key="copy-name").set_value("Night variant").run()
    page.button(key="copy").click().run()
    assert not page.exception
    assert page.header[0].value == "Night variant"
    assert {head.name for head in heads()} == {"Night variant", "Silo rings (invented demo)"}


def test_a_scenario_is_saved_to_a_folder_and_says_so(page, tmp_path, demo):
    open_demo(page)
    page.text_input(key="save-path").set_value(str(tmp_path / "site")).run()
    page.button(key="save").click().run()
    assert "Saved to" in page.success[0].value
    assert read_tables(tmp_path / "site") == demo


def test_a_folder_that_was_changed_meanwhile_is_not_written_over(page, tmp_path, demo):
    site = tmp_path / "site"
    write_folder(demo, site)
    open_folder(page, site)
    theirs = with_keys(demo, {"rules.get_in_min": "99"})
    write_folder(theirs, site)
    page.button(key="save").click().run()
    assert "changed there since" in text(page)
    assert read_tables(site) == theirs


def test_two_tabs_never_overwrite_each_other_silently(page, repository):
    open_demo(page)
    draft_id = heads()[0].draft_id
    one, two = another_tab(repository, draft_id), another_tab(repository, draft_id)
    write(one, "rules.get_in_min", "21")
    write(two, "rules.get_out_min", "22")
    told = text(two)
    assert "Nothing was overwritten" in told
    assert "rules.get\\_in\\_min 15 → 21" in told
    campaign = store().tables(draft_id)[1].campaign
    assert (campaign["rules.get_in_min"], campaign["rules.get_out_min"]) == ("21", "15")
    two.button(key="keep-mine").click().run()
    assert not two.exception
    assert "(mine)" in two.title[0].value
    mine = next(head for head in heads() if head.draft_id != draft_id)
    kept = store().tables(mine.draft_id)[1].campaign
    assert (kept["rules.get_in_min"], kept["rules.get_out_min"]) == ("15", "22")


def test_a_late_change_can_be_dropped_for_theirs(page, repository):
    open_demo(page)
    draft_id = heads()[0].draft_id
    one, two = another_tab(repository, draft_id), another_tab(repository, draft_id)
    write(one, "rules.get_in_min", "21")
    write(two, "rules.get_out_min", "22")
    two.button(key="take-theirs").click().run()
    assert not two.exception
    assert [head.draft_id for head in heads()] == [draft_id]
    assert field(two, "rules.get_in_min").value == "21"
    assert field(two, "rules.get_out_min").value == "15"
    write(two, "rules.get_out_min", "30")
    assert store().tables(draft_id)[1].campaign["rules.get_out_min"] == "30"


def test_a_late_undo_is_not_done_and_told(page, repository):
    open_demo(page)
    draft_id = heads()[0].draft_id
    one, two = another_tab(repository, draft_id), another_tab(repository, draft_id)
    write(one, "rules.get_in_min", "21")
    two.run()
    write(one, "rules.get_in_min", "22")
    two.button(key="undo").click().run()
    assert store().tables(draft_id)[1].campaign["rules.get_in_min"] == "22"
    assert "21 → 22" in text(two)


def test_another_scenario_does_not_show_the_plan_of_the_first(page):
    open_demo(page)
    (work,) = state._shelf().found.values()
    work.pictures["strips"] = "drawn"
    open_demo(page, "quay-soffit")
    other = state._shelf().found[heads()[0].draft_id]
    assert other is not work
    assert (other.planned, other.pictures) == (None, {})


def test_a_plan_says_when_the_scenario_was_changed_since(demo):
    from planner.screens.state import Workspace
    from planner.workflow.editing import look_at
    from planner.workflow.planning import Planned

    work = Workspace()
    first = look_at(demo).loaded
    assert first is not None
    work.loaded = first
    work.keep_plan(cast("Planned", object()), first)
    assert not work.plan_is_old
    work.loaded = look_at(with_keys(demo, {"rules.get_in_min": "21"})).loaded
    assert work.plan_is_old


def test_work_on_a_draft_that_was_forgotten_elsewhere_goes_on_as_a_new_one(page, repository):
    open_demo(page)
    draft_id = heads()[0].draft_id
    tab = another_tab(repository, draft_id)
    store().remove(draft_id)
    write(tab, "rules.get_in_min", "21")
    (head,) = heads()
    assert store().tables(head.draft_id)[1].campaign["rules.get_in_min"] == "21"


def test_a_name_is_told_to_others(page, repository):
    open_demo(page)
    tab = another_tab(repository, heads()[0].draft_id)
    tab.text_input(key="who").set_value("Ada").run()
    write(tab, "rules.get_in_min", "21")
    assert heads()[0].last.who == "Ada"


def test_a_place_where_nothing_can_be_kept_is_told(repository, tmp_path, monkeypatch):
    blocked = tmp_path / "a-file"
    blocked.write_text("")
    monkeypatch.setenv(VARIABLE, str(blocked))
    tab = AppTest.from_file(str(repository / "app.py"), default_timeout=30).run()
    assert not tab.exception
    assert "EBBWORK" in tab.error[0].value


def test_a_damaged_store_of_drafts_is_told(repository, tmp_path, monkeypatch):
    monkeypatch.setenv(VARIABLE, str(tmp_path))
    (tmp_path / FILE).write_bytes(b"no database, " * 1000)
    tab = AppTest.from_file(str(repository / "app.py"), default_timeout=30).run()
    assert not tab.exception
    assert "move a damaged" in tab.error[0].value
    assert (tmp_path / FILE).read_bytes().startswith(b"no database")
