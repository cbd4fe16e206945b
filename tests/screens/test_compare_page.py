"""The page on cost: an estimate to take away, stagings set up and planned, a break-even."""

from io import BytesIO

import openpyxl
import pytest

from planner.screens.state import _shelf
from planner.workflow.demos import demos
from planner.workflow.estimating import Files, priced_plan
from planner.workflow.variants import variant_paths

pytestmark = pytest.mark.screens

PAGE = "planner/screens/pages/compare.py"
WAIT_S = 50.0


def only_workspace():
    (work,) = _shelf().found.values()
    return work


@pytest.fixture
def cost(page, tmp_path):
    """The page with the small scene of four zones opened from a folder that has variants."""
    from planner.scenario.writer import write_folder
    from tests.unit.scenario.scenes import scene

    folder = tmp_path / "small"
    write_folder(scene({"prices.crew_shift.A": "300", "prices.day": "100"}), folder)
    (folder / "variants").mkdir()
    (folder / "variants" / "slow.toml").write_text(
        'name = "Slow rig"\n[change.rigs.R1]\nrate_m3_h = 1\n', encoding="utf-8"
    )
    page.segmented_control(key="kind").set_value("A folder").run()
    page.text_input(key="path").input(str(folder)).run()
    page.button(key="open-path").click().run()
    yield page.switch_page(PAGE).run()
    for work in _shelf().found.values():
        for job in work.sweeps.values():
            job.stop()
            assert job.wait(WAIT_S)


def shown(page) -> str:
    kinds = (page.title, page.markdown, page.caption, page.error, page.info, page.warning)
    return "\n".join(str(item.value) for kind in kinds for item in kind)


def finish(page, name):
    """Wait for a comparison to end, and draw the page again."""
    job = only_workspace().sweeps[name]
    assert job.wait(WAIT_S)
    return page.run()


def test_without_a_scenario_the_page_leads_to_one(page):
    page.switch_page(PAGE).run()
    assert not page.exception
    assert "Open a scenario" in page.info[0].value


def test_the_scenarios_own_variants_stand_ready(cost):
    assert not cost.exception
    assert cost.text_input(key="card-1-name").value == "Slow rig"
    assert "rate_m3_h = 1" in cost.text_area(key="card-1-text").value


def test_stagings_are_planned_in_the_background_and_laid_side_by_side(cost):
    cost.number_input(key="cost-effort").set_value(0.1).run()
    cost.button(key="start-compare").click().run()
    finish(cost, "compare")
    assert not cost.exception
    assert "As it stands costs" in shown(cost)
    frame = next(item.value for item in cost.dataframe if "Windows used" in item.value)
    assert frame["Staging"].tolist() == ["As it stands", "Slow rig"]
    assert frame["Zones left out"].tolist() == [0, 0]
    assert not cost.warning
    cost.number_input(key="cost-seeds").set_value(2).run()
    assert "earlier figures" in cost.warning[0].value


def test_a_change_that_does_not_fit_is_told_and_nothing_is_planned(cost):
    cost.text_area(key="card-1-text").set_value("[change.rigs.R9]\nrate_m3_h = 1").run()
    assert not cost.exception
    assert "do not fit" in cost.error[0].value
    assert cost.button(key="start-compare").disabled


def test_a_break_even_is_looked_for_over_the_volume(cost):
    cost.segmented_control(key="cost-view").set_value("Break-even").run()
    cost.checkbox(key="with-base-True").set_value(True).run()
    cost.number_input(key="cost-effort").set_value(0.1).run()
    cost.multiselect(key="be-values-volume").set_value([0.5, 1.0]).run()
    cost.button(key="start-curve-volume").click().run()
    finish(cost, "curve-volume")
    assert not cost.exception
    frame = next(item.value for item in cost.dataframe if "Value (x)" in item.value)
    assert frame["Value (x)"].tolist() == [0.5, 1.0, 0.5, 1.0]


def test_a_plan_has_its_estimate_with_files_to_take_away(cost):
    work = only_workspace()
    from planner.optimise.engine import Settings
    from planner.workflow.planning import plan_scenario

    work.keep_plan(plan_scenario(work.loaded, Settings(workers=1, effort=0.05)), work.loaded)
    cost.segmented_control(key="cost-view").set_value("Estimate of the plan").run()
    assert not cost.exception
    assert "Total 400" in shown(cost)  # one day and one crew-shift
    files = Files(
        work.loaded,
        work.planned.plan,
        priced_plan(work.loaded, work.planned.plan),
        version="1",
    )
    assert files.pdf().startswith(b"%PDF")
    assert openpyxl.load_workbook(BytesIO(files.xlsx())).sheetnames == [
        "Bill",
        "Paid hours",
        "Notes",
    ]


def test_the_variants_of_a_demo_stand_ready_too(page):
    page.button(key="demo-slope-face").click().run()
    page.switch_page(PAGE).run()
    assert not page.exception
    names = [item.value for item in page.text_input if str(item.key).endswith("-name")]
    assert len(names) == len(variant_paths(demos()["slope-face"]))
