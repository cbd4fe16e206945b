"""The pages of map, windows, plan and why: what they say, what they save, what they keep."""

from __future__ import annotations

from dataclasses import replace

import pytest

from planner.model.identifiers import Goal, ZoneId
from planner.optimise.engine import Settings
from planner.plan.plan import Unplanned
from planner.screens.kept_plans import keep, kept
from planner.screens.plan_order import CHOICES, share_of, weeks_of
from planner.screens.results import TABS
from planner.screens.state import Workspace, _shelf
from planner.workflow.planning import Planned, plan_scenario

pytestmark = [pytest.mark.screens, pytest.mark.solver]

PAGES = "planner/screens/pages"
PLANS: dict[str, Planned] = {}


def open_demo(page, name="silo-rings") -> Workspace:
    page.button(key=f"demo-{name}").click().run()
    assert not page.exception
    (work,) = _shelf().found.values()
    return work


def planned(page, name="silo-rings") -> Workspace:
    """A demo opened, with a quick plan; each demo is planned once for all tests."""
    work = open_demo(page, name)
    assert work.loaded is not None
    if name not in PLANS:
        quick = Settings(seed=1, workers=1, seconds=60.0, effort=0.002)
        PLANS[name] = plan_scenario(work.loaded, quick)
    keep(work, PLANS[name], work.loaded, choice="quick")
    return work


def go(page, name):
    page.switch_page(f"{PAGES}/{name}.py").run()
    assert not page.exception, page.exception
    return page


def table_with(page, column):
    """The first table on the page that has a column of that name."""
    return next(one.value for one in page.dataframe if column in one.value.columns)


def shown(page) -> str:
    kinds = (page.title, page.markdown, page.caption, page.info, page.warning, page.error)
    return "\n".join(str(item.value) for kind in kinds for item in kind)


@pytest.mark.parametrize("name", ["site_map", "windows", "plan", "why"])
def test_a_page_without_a_scenario_says_how_to_begin(page, name):
    go(page, name)
    assert "Open a scenario first" in page.info[0].value
    page.button(key="go-start").click().run()
    assert not page.exception


@pytest.mark.parametrize("name", ["silo-rings", "trunk-sewer", "quay-soffit"])
def test_the_map_is_drawn_from_every_side_and_says_which_it_is(page, name):
    open_demo(page, name)
    go(page, "site_map")
    for side in page.segmented_control(key="map-side").options:
        page.segmented_control(key="map-side").set_value(_side(side)).run()
        assert not page.exception, side
        if side == "Looking up":
            assert "left and right are swapped" in shown(page)


def _side(label):
    from planner.reports.figures.site_views import Side

    return next(side for side in Side if side.value.capitalize() == label)


def test_a_position_tells_what_each_rig_reaches_from_it(page):
    work = open_demo(page)
    go(page, "site_map")
    page.segmented_control(key="map-about").set_value("A position").run()
    page.selectbox(key="map-position").set_value("Mid-E").run()
    assert not page.exception
    assert "rig **DRY** reaches" in shown(page)
    rows = page.dataframe[0].value
    assert set(rows["Rig"]) == {"DRY"}  # Mid-E does not allow the wet process
    assert work.loaded is not None
    assert len(rows) <= len(work.loaded.campaign.zones)


def test_a_zone_tells_which_positions_reach_it_and_why_the_others_do_not(page):
    open_demo(page)
    go(page, "site_map")
    page.segmented_control(key="map-about").set_value("A zone").run()
    rows = page.dataframe[0].value
    assert list(rows["Reaches"]) == sorted(rows["Reaches"], reverse=True)
    wet = rows[(rows["Position"] == "Mid-E") & (rows["Rig"] == "WET")].iloc[0]
    assert wet["Why not"] == "the position does not allow the wet process"


def test_a_new_position_shows_its_reach_before_it_is_saved_and_is_saved(page):
    work = open_demo(page, "trunk-sewer")
    go(page, "site_map")
    page.segmented_control(key="map-about").set_value("A new position").run()
    page.text_input(key="new-x").set_value("60").run()
    page.text_input(key="new-y").set_value("0").run()
    assert not page.exception
    assert "would reach" in shown(page)
    assert work.loaded is not None
    before = len(work.loaded.campaign.positions)
    page.button(key="new-save").click().run()
    assert not page.exception
    assert work.loaded is not None
    assert len(work.loaded.campaign.positions) == before + 1
    placed = work.loaded.campaign.positions[-1]
    assert (placed.x_m, placed.y_m) == (60.0, 0.0)
    assert any(route.start == placed.position_id for route in work.loaded.campaign.routes)


def test_a_place_that_is_no_number_is_told_and_not_saved(page):
    open_demo(page)
    go(page, "site_map")
    page.segmented_control(key="map-about").set_value("A new position").run()
    page.text_input(key="new-x").set_value("twelve").run()
    assert not page.exception
    assert "plain numbers" in page.error[0].value
    assert not [button for button in page.button if button.key == "new-save"]


@pytest.mark.parametrize("name", ["silo-rings", "trunk-sewer", "quay-soffit"])
def test_windows_are_shown_as_water_days_lost_time_and_list(page, name):
    open_demo(page, name)
    go(page, "windows")
    for about in ("Hours by day", "Lost time", "List", "Water and windows"):
        page.segmented_control(key="windows-about").set_value(about).run()
        assert not page.exception, about
    page.segmented_control(key="windows-about").set_value("Hours by day").run()
    assert "the best day is" in shown(page)


@pytest.mark.parametrize("name", ["silo-rings", "quay-soffit"])
def test_every_tab_of_a_plan_is_drawn(page, name):
    planned(page, name)
    go(page, "plan")
    told = shown(page)
    assert "zones are planned" in told
    assert "A plan is a proposal" in told
    for tab in TABS:
        page.segmented_control(key="tab").set_value(tab).run()
        assert not page.exception, tab


def test_leafing_through_the_tides_changes_the_table(page):
    planned(page, "quay-soffit")
    go(page, "plan")
    first = table_with(page, "Turn")["Turn"].iloc[0]
    page.button(key="strip-page-on").click().run()
    assert not page.exception
    assert table_with(page, "Turn")["Turn"].iloc[0] != first
    page.button(key="strip-page-back").click().run()
    assert table_with(page, "Turn")["Turn"].iloc[0] == first


def test_a_choice_in_plain_words_puts_its_goal_first(page):
    open_demo(page)
    go(page, "plan")
    page.segmented_control(key="choice").set_value("Fewest relocations").run()
    assert "then relocations, then finish, then cost" in shown(page)
    assert CHOICES["Lowest cost"][0] is Goal.COST


def test_a_share_that_is_no_number_stops_the_order(page):
    open_demo(page)
    go(page, "plan")
    page.text_input(key="worsen-As the scenario says-finish").set_value("some").run()
    assert not page.exception
    assert "is no percentage" in page.error[0].value
    assert page.button(key="plan").disabled


def test_percentages_are_read_as_they_are_meant():
    assert share_of("2.5 %") == pytest.approx(0.025)
    assert share_of("2,5") == pytest.approx(0.025)
    assert share_of("-1") is None
    assert share_of("nan") is None


def test_a_zone_is_locked_saved_and_set_free_again(page):
    work = planned(page)
    go(page, "plan")
    page.selectbox(key="lock-zone").set_value("R03N")
    page.multiselect(key="lock-rigs").set_value(["WET"])
    assert work.loaded is not None
    week = weeks_of(work.loaded.campaign)[1][0]
    page.selectbox(key="lock-week").set_value(week)
    lock = next(button for button in page.button if button.label == "Lock")
    lock.click().run()
    assert not page.exception
    assert work.loaded is not None
    (made,) = work.loaded.campaign.locks
    assert (made.zone_id, made.rigs) == ("R03N", ("WET",))
    assert made.from_min == 7 * 24 * 60  # from Monday 13 September
    assert work.plan_is_old
    assert "changed after this plan was made" in shown(page)
    page.button(key="unlock-R03N").click().run()
    assert not page.exception
    assert work.loaded is not None
    assert not work.loaded.campaign.locks


def test_a_lock_that_ties_nothing_is_told(page):
    open_demo(page)
    go(page, "plan")
    next(button for button in page.button if button.label == "Lock").click().run()
    assert "Choose a rig, a position or a week" in page.error[0].value


def test_a_zone_that_is_left_out_is_told_with_its_reason(page):
    work = planned(page)
    assert work.planned is not None
    assert work.loaded is not None
    left = Unplanned(zone=ZoneId("TS"), reason="No position reaches it.")
    plan = replace(work.planned.plan, unplanned=(left,))
    keep(work, replace(work.planned, plan=plan), work.loaded, choice="less")
    go(page, "plan")
    assert page.expander[2].label == "Left out (1), and why"
    row = table_with(page, "What stands in the way").iloc[0]
    assert tuple(row) == ("TS", "No position reaches it.")


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("site.geojson", b"{", "no JSON"),
        ("site.geojson", b"\xff\xfe", "not UTF-8"),
        ("site.json", b'{"type": "Point", "coordinates": [0, 0]}', "no line and no area"),
        ("site.png", b"x" * 5_000_001, "larger than 5 MB"),
    ],
)
def test_a_drawing_that_cannot_be_used_is_told(page, name, content, words):
    open_demo(page, "quay-soffit")
    go(page, "site_map")
    page.file_uploader(key="map-behind").set_value((name, content, "application/json")).run()
    assert not page.exception
    assert words in page.error[0].value


def test_two_plans_are_compared_and_the_other_can_be_shown(page):
    work = planned(page)
    first = work.planned
    assert work.loaded is not None
    other = plan_scenario(work.loaded, Settings(seed=2, workers=1, seconds=60.0, effort=0.002))
    keep(work, other, work.loaded, choice="second")
    assert [one.name.split(" · ")[1] for one in kept(work).plans] == ["quick", "second"]
    go(page, "plan")
    page.segmented_control(key="tab").set_value("Another plan").run()
    assert not page.exception
    frame = table_with(page, "Figure")
    assert list(frame["Figure"])[:3] == ["In place (m³)", "Zones left out", "Finish"]
    page.button(key="show-other").click().run()
    assert not page.exception
    assert work.planned is first


def test_why_answers_for_a_spell_a_gap_and_a_zone(page):
    planned(page)
    go(page, "why")
    assert "Everything else staying where it is" in shown(page)
    page.segmented_control(key="about").set_value("A gap of a rig").run()
    assert not page.exception
    causes, pieces = page.dataframe[0].value, page.dataframe[1].value
    assert causes["Minutes"].sum() == pieces["Minutes"].sum()
    assert f"{causes['Minutes'].sum()} min without a run" in shown(page)
    page.segmented_control(key="about").set_value("A zone").run()
    assert not page.exception


def test_why_without_a_plan_leads_to_the_plan(page):
    open_demo(page)
    go(page, "why")
    assert "Make a plan first" in page.info[0].value
    page.button(key="go-plan").click().run()
    assert not page.exception
