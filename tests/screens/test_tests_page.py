"""The page of tests: panels without a plan, entry of a result, crews, a work chain."""

import pytest

from planner.screens.state import _shelf

pytestmark = pytest.mark.screens

PAGE = "planner/screens/pages/tests.py"


def open_tests(page, name="silo-rings"):
    page.button(key=f"demo-{name}").click().run()
    page.switch_page(PAGE).run()
    assert not page.exception
    return page


def the_work():
    (work,) = _shelf().found.values()
    return work


def enter(page, values, day="2027-10-04", turn=0):
    page.selectbox(key=f"result-test-{turn}").set_value("PRE/Ibis/wet-abrasion/vertical")
    page.text_input(key=f"result-date-{turn}").set_value(day)
    page.text_input(key=f"result-values-{turn}").set_value(values)
    page.button(key=f"result-send-{turn}").click().run()
    assert not page.exception


def test_without_a_plan_the_panels_before_the_work_are_listed(page):
    open_tests(page)
    assert "no plan yet" in page.info[0].value
    frame = page.dataframe[0].value
    assert {"pre-construction panel"} == set(frame["Kind"])
    assert {"· open"} == set(frame["Verdict"])


def test_a_result_is_entered_and_judged_without_a_rule(page):
    open_tests(page)
    enter(page, "38.2; 41; 36.5; 40; 39")
    frame = page.dataframe[0].value.set_index("Test")
    row = frame.loc["PRE/Ibis/wet-abrasion/vertical"]
    assert row["Verdict"] == "? no rule"
    assert row["Values (MPa)"] == "38.2; 41; 36.5; 40; 39"
    assert the_work().tables.tables["results"].rows[0][0] == "PRE/Ibis/wet-abrasion/vertical"
    enter(page, "40", turn=1)
    assert len(the_work().tables.tables["results"].rows) == 2


def test_a_result_that_cannot_be_read_is_refused_with_a_reason(page):
    open_tests(page)
    enter(page, "38,2")
    assert "not entered" in page.error[0].value
    assert page.code[0].value.startswith("values:")
    assert "results" not in the_work().tables.tables


def test_crews_and_a_work_chain_are_shown(page):
    open_tests(page)
    page.segmented_control(key="tests-view").set_value("Crews and cards").run()
    assert {"Heron", "Ibis"} == set(page.dataframe[0].value["Crew"])
    page.segmented_control(key="tests-view").set_value("Work chain").run()
    assert not page.exception
    assert page.dataframe[0].value["What"].iloc[0] == "break out"
    page.segmented_control(key="tests-view").set_value("Stops").run()
    assert "names no stop" in "".join(info.value for info in page.info)
