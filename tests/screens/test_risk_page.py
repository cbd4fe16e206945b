"""The risk page: it asks for a plan, lives it in the background, and tells what came of it."""

from __future__ import annotations

import pytest

from planner.optimise.engine import Settings
from planner.screens.risk_job import RiskJob
from planner.screens.state import _shelf
from planner.workflow.planning import plan_scenario

pytestmark = [pytest.mark.screens, pytest.mark.solver]

PAGE = "planner/screens/pages/risk.py"


def shown(page) -> str:
    kinds = (page.title, page.subheader, page.markdown, page.caption, page.error, page.info)
    return "\n".join(str(item.value) for kind in kinds for item in kind)


@pytest.fixture
def planned(page):
    """The silo, planned with next to no effort, on the risk page."""
    page.button(key="demo-silo-rings").click().run()
    (work,) = _shelf().found.values()
    assert work.loaded is not None
    work.keep_plan(plan_scenario(work.loaded, Settings(effort=0.002, seconds=20.0)), work.loaded)
    page.switch_page(PAGE).run()
    assert not page.exception
    return page, work


def test_without_a_plan_the_page_leads_to_one(page):
    page.button(key="demo-silo-rings").click().run()
    page.switch_page(PAGE).run()
    assert not page.exception
    assert "There is no plan yet" in page.info[0].value
    page.button(key="go-plan").click().run()
    assert not page.exception


def test_a_plan_is_lived_and_told_in_sentences(planned):
    page, work = planned
    page.button(key="risk-go").click().run()
    assert not page.exception
    job = work.benches["risk"]
    assert isinstance(job, RiskJob)
    assert job.wait(50.0)
    page.run()
    assert not page.exception
    text = shown(page)
    assert "1000 lives of the plan" in text
    assert "90 in 100" in text
    assert "To be sure in 80 in 100, keep" in text
    page.segmented_control(key="risk-sure").set_value("95 in 100").run()
    assert "To be sure in 95 in 100, keep" in shown(page)
    assert not page.exception


def test_a_study_can_be_stopped(planned):
    page, work = planned
    page.button(key="risk-go").click().run()
    job = work.benches["risk"]
    assert isinstance(job, RiskJob)
    job.stop()
    assert job.wait(50.0)
    page.run()
    assert not page.exception
    assert job.study is not None or "Stopped; nothing was kept." in shown(page)
