"""What a plan is judged by; the arithmetic stands beside it."""

from datetime import date

import pytest

from planner.model.identifiers import Goal, Process
from planner.plan import measures
from planner.plan.plan import Plan, RunKind
from tests.builders import campaign, clock, done, mix, relocation, rig, run, spell, unplanned, zone

DAY = 24 * 60


def test_the_finish_is_the_end_of_the_last_spell_and_not_of_the_last_run():
    plan = Plan(spells=(spell(end_min=456), spell("2", end_min=450)), runs=(run(end_min=471),))
    assert measures.finish_min(plan) == 456
    assert measures.value(campaign(), plan, Goal.FINISH) == 7.6  # 456 / 60 h


def test_an_empty_plan_has_no_finish_and_every_value_is_nought():
    assert measures.finish_min(Plan()) is None
    assert [measures.value(campaign(), Plan(), goal) for goal in Goal] == [0.0] * 6


def test_the_planned_volume_is_the_sum_of_the_spells_without_the_noise_of_fractions():
    plan = Plan(spells=tuple(spell(volume_m3=0.1) for _ in range(3)))
    assert measures.planned_m3(plan) == 0.3


def test_the_unplanned_volume_is_that_of_the_zones_left_out():
    zones = (zone("Z1"), zone("Z2"), zone("Z3", volume_m3=1.5))
    plan = Plan(unplanned=(unplanned("Z2"), unplanned("Z3")))
    assert measures.unplanned_m3(campaign(zones=zones), plan) == pytest.approx(2.2 + 1.5)


def test_what_is_done_of_a_zone_left_out_is_not_unplanned():
    plan = Plan(unplanned=(unplanned("Z1"),))
    scene = campaign(done=(done(done_m3=0.5), done(done_m3=0.3), done("Z2", done_m3=9.0)))
    assert measures.unplanned_m3(scene, plan) == pytest.approx(2.2 - 0.8)


def test_what_is_really_left_of_a_zone_left_out_counts_with_the_mix_that_leaves_most():
    plan = Plan(unplanned=(unplanned("Z1"),))
    # one layer: 0.4 left; two layers of 1.1: 0.4 + 1.1 left; the wet one is not the one begun
    mixes = (
        mix("thick", layer_max_mm=100.0),
        mix("thin", layer_max_mm=50.0),
        mix("wet", process=Process.WET, layer_max_mm=10.0),
    )
    row = done(left_m3=0.4, rig_id="R1")
    assert measures.unplanned_m3(campaign(mixes=mixes, done=(row,)), plan) == pytest.approx(1.5)
    only = campaign(mixes=mixes, done=(row,), zones=(zone(mixes=("thick",)),))
    assert measures.unplanned_m3(only, plan) == pytest.approx(0.4)


def test_relocations_are_counted():
    assert measures.relocations(Plan(relocations=(relocation(), relocation()))) == 2


def test_part_days_late_count_as_parts_and_early_zones_take_nothing_off():
    zones = (zone("Z1", due_min=DAY), zone("Z2", due_min=DAY), zone("Z3"))
    plan = Plan(
        spells=(
            spell(zone="Z1", end_min=DAY + 360),
            spell(zone="Z1", layer=2, end_min=DAY + 720),  # the last layer: half a day late
            spell(zone="Z2", end_min=DAY - 600),
            spell(zone="Z3", end_min=9 * DAY),
        )
    )
    assert measures.late_days(campaign(zones=zones), plan) == 0.5


def test_a_zone_done_at_the_very_end_of_its_day_or_not_planned_is_not_late():
    scene = campaign(zones=(zone("Z1", due_min=DAY), zone("Z2", due_min=DAY)))
    assert measures.late_days(scene, Plan(spells=(spell(end_min=DAY),))) == 0.0
    assert measures.late_days(scene, Plan(spells=(spell(end_min=DAY + 1),))) == 1 / DAY


@pytest.mark.parametrize(
    ("start_h", "end_h", "touches"),
    [
        (6, 22, 0),  # exactly the day
        (5, 6, 1),
        (21, 22, 0),
        (20, 23, 1),
        (23, 29, 1),
        (25, 26, 1),
        (30, 31, 0),
        (5, 46, 1),
        (46, 47, 1),
    ],
)
def test_a_run_that_touches_22_to_06_is_a_night_run(start_h, end_h, touches):
    plan = Plan(runs=(run(start_min=start_h * 60, end_min=end_h * 60),))
    assert measures.night_runs(campaign(), plan) == touches


def test_a_minute_of_the_night_is_enough_and_the_edges_are_half_open():
    for start_min, end_min, touches in ((359, 400, 1), (360, 400, 0), (1200, 1321, 1)):
        plan = Plan(runs=(run(start_min=start_min, end_min=end_min),))
        assert measures.night_runs(campaign(), plan) == touches


def test_panels_at_night_are_night_runs_too():
    panel = run("p", kind=RunKind.PANEL, start_min=1380, end_min=1440)
    assert measures.night_runs(campaign(), Plan(runs=(run(), panel))) == 1


def test_the_night_follows_the_sites_own_clock_across_a_clock_change():
    # clocks go forward at 01:00 on 29 March 2026: 06:00 summer time is 5 h after midnight
    scene = campaign(clock=clock(first_day=date(2026, 3, 29), last_day=date(2026, 4, 2)))
    at_5_h = Plan(runs=(run(start_min=5 * 60, end_min=6 * 60),))
    assert measures.night_runs(scene, at_5_h) == 0
    assert measures.night_runs(scene, Plan(runs=(run(start_min=4 * 60, end_min=5 * 60),))) == 1


def test_joints_are_the_pieces_beyond_one_per_layer():
    layers = (("Z1", 1), ("Z1", 1), ("Z1", 1), ("Z1", 2), ("Z2", 1), ("Z2", 1))
    plan = Plan(spells=tuple(spell(zone=name, layer=layer) for name, layer in layers))
    assert measures.joints(plan) == 2 + 0 + 1


def test_every_goal_has_its_own_measure():
    scene = campaign(zones=(zone(due_min=0),), rigs=(rig(),))
    plan = Plan(
        spells=(spell(end_min=390), spell(end_min=720)),
        runs=(run(start_min=300),),
        relocations=(relocation(),) * 3,
    )
    values = {goal: measures.value(scene, plan, goal) for goal in Goal if goal is not Goal.COST}
    assert values == {
        Goal.FINISH: 12.0,
        Goal.RELOCATIONS: 3.0,
        Goal.LATE: 0.5,
        Goal.NIGHT_RUNS: 1.0,
        Goal.JOINTS: 1.0,
    }


def test_the_gap_is_the_distance_to_the_bound_as_a_share_of_the_value():
    assert measures.gap(8.0, 6.0) == 0.25
    assert measures.gap(0.0, 0.0) == 0.0
    assert measures.gap(0.0, 1.0) == pytest.approx(1e9)
