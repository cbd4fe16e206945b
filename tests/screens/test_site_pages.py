"""On site and Sheets: records from the page, paper and issues from the plan."""

import zipfile
from io import BytesIO

import pytest

from planner.optimise.engine import Settings
from planner.screens.pages.sheets import _of, _zip
from planner.screens.site_place import records_place
from planner.screens.state import _shelf
from planner.workflow.papers import Order
from planner.workflow.planning import plan_scenario
from planner.workflow.site import journal_of

pytestmark = pytest.mark.screens

PAGES = "planner/screens/pages"


def only():
    (work,) = _shelf().found.values()
    return work


def open_page(page, name, demo="silo-rings"):
    page.button(key=f"demo-{demo}").click().run()
    page.switch_page(f"{PAGES}/{name}.py").run()
    assert not page.exception
    return page


def planned(page):
    """Plan the open scenario by the hand rule alone, and show the page again."""
    work = only()
    found = plan_scenario(work.loaded, settings=Settings(effort=0.0, seconds=60.0))
    work.keep_plan(found, work.loaded)
    page.run()
    assert not page.exception


def journal(page):
    del page
    return journal_of(records_place(only().head))


def fill(page, zone="R01W", **texts):
    page.selectbox(key="site-zone").set_value(zone).run()
    for name, text in texts.items():
        page.text_input(key=f"site-{name}").set_value(text)
    return page


def test_a_record_from_the_page_is_kept_and_shown(page):
    open_page(page, "progress")
    page.text_input(key="site-by").set_value("Ann")
    fill(page, placed="1.1", start="905", stop="10.00")
    page.button(key="site-write").click().run()
    assert not page.exception
    assert "Entry 1 is written" in page.success[0].value
    (row,) = journal(page).current()
    assert (row.by, row.entry.zone, row.entry.placed_m3, row.entry.minutes) == (
        "Ann",
        "R01W",
        1.1,
        55,
    )
    assert any("R01W layer 1" in item.value for item in page.markdown)


def test_the_same_record_sent_twice_is_one_entry(page):
    open_page(page, "progress")
    page.text_input(key="site-by").set_value("Ann")
    fill(page, placed="1.1", start="9:05", stop="10:00")
    page.button(key="site-write").click().run()
    page.button(key="site-write").click().run()
    assert len(journal(page).stored()) == 1


def test_what_is_wrong_is_told_beside_its_name_and_nothing_is_written(page):
    open_page(page, "progress")
    page.text_input(key="site-by").set_value("Ann")
    fill(page, placed="1,1", start="9:05", stop="")
    page.button(key="site-write").click().run()
    shown = "\n".join(item.value for item in page.markdown)
    assert "**In place**" in shown
    assert "write 1.1" in shown
    assert journal(page).stored() == ()


def test_nobody_cannot_write(page):
    open_page(page, "progress")
    fill(page, placed="1.1", start="9:05", stop="10:00")
    page.button(key="site-write").click().run()
    assert any("who you are" in item.value for item in page.error)


def test_a_find_is_carried_into_the_scenario(page):
    open_page(page, "progress")
    page.get_by_key("site-kind").set_value("Found").run()
    page.text_input(key="site-by").set_value("Ann")
    fill(page, depth="160")
    page.text_input(key="site-found-time").set_value("11:00")
    page.button(key="site-write").click().run()
    assert not page.error
    page.button(key="site-carry").click().run()
    assert not page.exception
    zone = next(row for row in only().loaded.campaign.zones if row.zone_id == "R01W")
    assert zone.depth_mm == 160.0
    assert zone.surveyed_m3 is not None


def test_an_entry_is_taken_back(page):
    open_page(page, "progress")
    page.text_input(key="site-by").set_value("Ann")
    fill(page, placed="1.1", start="9:05", stop="10:00")
    page.button(key="site-write").click().run()
    page.button(key="site-withdraw").click().run()
    assert journal(page).current() == ()
    assert len(journal(page).stored()) == 2


def test_the_zone_that_comes_next_by_the_plan_stands_first(page):
    open_page(page, "progress")
    planned(page)
    first = min(only().planned.plan.spells, key=lambda spell: spell.start_min)
    assert page.selectbox(key="site-zone").value == first.zone
    assert page.text_input(key=f"site-layer-{first.zone}").value == str(first.layer)


def test_without_a_plan_there_is_nothing_to_print(page):
    open_page(page, "sheets")
    assert "Make a plan first" in page.info[0].value


def test_papers_are_packed_and_the_plan_is_issued(page):
    open_page(page, "sheets")
    planned(page)
    work = only()
    place = records_place(work.head)
    papers = _of(work, place, work.planned_for, work.planned)
    order = Order(crew="Heron", shifts=False, calendars=True, workbook=True)
    with zipfile.ZipFile(BytesIO(_zip(papers, order))) as packed:
        names = packed.namelist()
    assert {"crew-Heron.ics", "plan.xlsx"} <= set(names)
    page.text_input(key="issue-by").set_value("Ann").run()
    page.button(key="issue").click().run()
    assert not page.exception
    assert "Kept as issue 1" in page.success[0].value
    issue = _of(work, place, work.planned_for, work.planned).issue
    assert issue is not None
    assert issue.number == 1
    page.button(key="issue").click().run()
    assert "is issue 1 already" in page.info[0].value
