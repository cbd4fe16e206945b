"""The page of quantities: whole zones without a plan, weeks and what is shared with one."""

import pytest

from planner.optimise.engine import Settings
from planner.screens.state import _shelf
from planner.workflow.planning import plan_scenario

pytestmark = pytest.mark.screens

PAGE = "planner/screens/pages/quantities.py"


def open_page(page, name="silo-rings"):
    page.button(key=f"demo-{name}").click().run()
    page.switch_page(PAGE).run()
    assert not page.exception
    return page


def planned(page):
    """Plan the open scenario by the hand rule alone, and show the page again."""
    (work,) = _shelf().found.values()
    assert work.loaded is not None
    found = plan_scenario(work.loaded, settings=Settings(effort=0.0, seconds=60.0))
    work.keep_plan(found, work.loaded)
    page.run()
    assert not page.exception


def test_without_a_plan_whole_zones_are_counted(page):
    open_page(page)
    assert "no plan yet" in page.info[0].value
    assert page.get_by_key("qty-view").options == ["By mix", "By zone"]
    mixes = page.dataframe[0].value
    assert (mixes["Shot (m³)"] > mixes["In place (m³)"]).all()


def test_each_number_of_a_zone_tells_its_source(page):
    open_page(page)
    page.selectbox(key="qty-zone").set_value("R02N").run()
    why = page.dataframe[1].value
    assert {"placed_m3", "shot_m3", "water_l"} <= set(why["Number"])
    assert why["Source"].all()


def test_with_a_plan_weeks_runs_and_what_is_shared_are_shown(page):
    open_page(page, "jetty-piles")
    planned(page)
    page.get_by_key("qty-view").set_value("Week by week").run()
    weeks = page.dataframe[0].value
    assert (weeks["Delivered"] >= weeks["Bags or loads"]).all()
    page.get_by_key("qty-view").set_value("Shared resources").run()
    assert not page.exception
    shared = page.dataframe[0].value.set_index("Resource")
    assert (shared["Most at once"] <= shared["There are"]).all()
    assert shared.loc["float", "Hours all taken"] > 0
