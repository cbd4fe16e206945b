"""The course of the search on the page of the plan."""

from dataclasses import replace

import pytest

from planner.optimise.engine import Settings
from planner.screens.kept_plans import keep
from planner.screens.state import _shelf
from planner.workflow.planning import plan_scenario

pytestmark = [pytest.mark.screens, pytest.mark.solver]
PLAN = "planner/screens/pages/plan.py"
TITLE = "How the search went"


def test_the_plan_page_shows_how_the_search_went_where_it_was_kept(page) -> None:
    page.button(key="demo-silo-rings").click().run()
    (work,) = _shelf().found.values()
    assert work.loaded is not None
    found = plan_scenario(work.loaded, Settings(workers=1, seconds=60.0, effort=0.002))
    keep(work, found, work.loaded, choice="quick")
    page.switch_page(PLAN).run()
    assert not page.exception, page.exception
    assert TITLE in [one.label for one in page.expander]
    keep(work, replace(found, search=()), work.loaded, choice="quick")
    page.run()
    assert not page.exception, page.exception
    assert TITLE not in [one.label for one in page.expander]
