"""Every page opens; a demo is opened, planned, looked at and taken away; bad input is told."""

from __future__ import annotations

import io
import threading
import zipfile

import pytest

from planner.screens.downloads import plan_zip
from planner.screens.results import TABS
from planner.screens.state import _shelf
from planner.workflow.demos import copy_demo, demos

pytestmark = pytest.mark.screens

PAGES = "planner/screens/pages"
PLAN_WAIT_S = 50.0


def only_workspace():
    (work,) = _shelf().found.values()
    return work


def shown(page) -> str:
    """Everything that is written on a page."""
    kinds = (page.title, page.header, page.markdown, page.caption, page.error, page.info)
    return "\n".join(str(item.value) for kind in kinds for item in kind)


def open_demo(page, name="silo-rings"):
    page.button(key=f"demo-{name}").click().run()
    assert not page.exception
    return page


def test_the_first_page_offers_every_demo(page):
    assert not page.exception
    assert page.title[0].value == "Ebbwork"
    keys = [button.key for button in page.button]
    assert [f"demo-{name}" for name in demos()] == [key for key in keys if key.startswith("demo-")]


@pytest.mark.parametrize("name", list(demos()))
def test_each_demo_opens_and_says_that_it_is_invented(page, name):
    open_demo(page, name)
    assert "invented demo" in page.header[0].value
    assert not page.error
    assert not page.warning
    assert len(page.dataframe) == 1


@pytest.mark.parametrize("name", ["plan", "check"])
def test_a_page_without_a_scenario_leads_to_the_first(page, name):
    page.switch_page(f"{PAGES}/{name}.py").run()
    assert not page.exception
    assert "Open" in page.info[0].value
    page.button(key="go-start").click().run()
    assert not page.exception


def test_the_page_of_explanations_opens(page):
    page.switch_page(f"{PAGES}/reading.py").run()
    assert not page.exception
    assert "local codes decide on site" in shown(page)


def test_every_problem_of_a_scenario_is_listed(page, tmp_path):
    folder = tmp_path / "scenario"
    copy_demo("silo-rings", folder)
    zones = (folder / "zones.csv").read_text(encoding="utf-8").splitlines()
    zones[1] = zones[1].replace("vertical", "slanting")
    zones[2] = zones[2].replace(",23.6,", ",-23.6,")
    (folder / "zones.csv").write_text("\n".join(zones), encoding="utf-8")
    type_path(page, str(folder))
    assert "cannot be planned yet" in page.error[0].value
    rows = page.dataframe[1].value
    assert {"2", "3"} <= set(rows["Row"])
    assert "zones.csv:2:orientation:" in page.code[0].value


def type_path(page, text):
    page.segmented_control(key="kind").set_value("A folder").run()
    page.text_input(key="path").set_value(text).run()
    page.button(key="open-path").click().run()
    assert not page.exception


@pytest.mark.parametrize("text", ["", "no/such/folder"])
def test_a_path_with_nothing_there_is_told(page, text):
    type_path(page, text)
    assert "nothing is there" in page.code[0].value


def test_a_folder_is_opened_by_its_path(page, tmp_path):
    folder = tmp_path / "scenario"
    copy_demo("silo-rings", folder)
    type_path(page, str(folder))
    assert "Silo rings" in page.header[0].value


def test_an_uploaded_file_that_is_no_workbook_is_told(page):
    page.segmented_control(key="kind").set_value("An upload").run()
    kind = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
    page.file_uploader(key="upload").set_value(("broken.xlsx", b"no workbook", kind)).run()
    page.button(key="open-upload").click().run()
    assert not page.exception
    assert "broken.xlsx" in page.error[0].value


def plan_it(page, seconds=5):
    open_demo(page)
    page.switch_page(f"{PAGES}/plan.py").run()
    page.number_input(key="seconds").set_value(seconds).run()
    page.button(key="plan").click().run()
    assert not page.exception
    return only_workspace()


@pytest.mark.solver
def test_a_demo_is_planned_looked_at_and_taken_away(page):
    work = plan_it(page)
    if work.job is not None:
        assert work.job.wait(PLAN_WAIT_S)
    page.run()
    assert not page.exception
    assert work.planned is not None
    assert work.loaded is not None
    told = shown(page)
    assert "zones are planned" in told
    assert "A plan is a proposal" in told
    for tab in TABS:
        page.segmented_control(key="tab").set_value(tab).run()
        assert not page.exception, tab
    assert page.success[0].value.endswith("none is broken.")
    names = zipfile.ZipFile(io.BytesIO(plan_zip(work.loaded, work.planned))).namelist()
    assert {"plan/spells.csv", "plan/runs.csv", "plan/summary.json"} <= set(names)


@pytest.mark.solver
def test_a_search_can_be_stopped(page):
    work = plan_it(page, seconds=600)
    job = work.job
    assert job is not None
    assert job.running()
    page.button(key="stop").click().run()
    assert job.stopping
    assert job.wait(PLAN_WAIT_S)
    assert not page.exception


def test_no_search_is_left_running(page):
    open_demo(page)
    assert not [thread for thread in threading.enumerate() if thread.name == "ebbwork-plan"]


def test_a_plan_folder_is_checked(page, tmp_path):
    open_demo(page)
    page.switch_page(f"{PAGES}/check.py").run()
    page.text_input(key="plan-path").set_value(str(tmp_path)).run()
    page.button(key="check").click().run()
    assert not page.exception
    assert "cannot be read as a plan" in page.error[0].value
