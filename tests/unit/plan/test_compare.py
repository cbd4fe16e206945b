"""Differences between two plans, in words."""

from planner.plan.compare import differences
from planner.plan.plan import Plan
from tests.builders import campaign, position, prices, relocation, run, spell, zone

SCENE = campaign(
    zones=(zone("Z1"), zone("Z2")),
    positions=(position("P1"), position("P2")),
    prices=prices(relocation=12.5),
)


def test_equal_plans_differ_in_nothing():
    plan = Plan(spells=(spell(),))
    assert differences(SCENE, plan, plan) == ()


def test_a_later_finish_is_told_with_both_times():
    later = Plan(spells=(spell(end_min=521),))
    assert differences(SCENE, Plan(spells=(spell(),)), later) == (
        "Finish: 1 h 05 min later, 2026-03-02 08:41 instead of 2026-03-02 07:36.",
        "Zone Z1: is done 1 h 05 min later.",
    )


def test_zones_that_come_and_go_are_named():
    before, after = Plan(spells=(spell(),)), Plan(spells=(spell(zone="Z2"),))
    assert differences(SCENE, before, after) == (
        "Zone Z1 is not planned any more.",
        "Zone Z2 is planned now.",
    )


def test_a_zone_that_moves_to_another_rig_crew_and_position_says_so():
    after = Plan(spells=(spell(rig="R2", crew="C2", position="P2", start_min=360),))
    (found,) = differences(SCENE, Plan(spells=(spell(),)), after)
    assert found == (
        "Zone Z1: rig R2 instead of R1; crew C2 instead of C1; position P2 instead of P1; "
        "starts 0 h 30 min earlier."
    )


def test_figures_are_told_before_and_after():
    before = Plan(spells=(spell(),))
    after = Plan(
        spells=(spell(volume_m3=1.0), spell(volume_m3=0.7)),
        runs=(run(start_min=300),),
        relocations=(relocation(),),
    )
    assert differences(SCENE, before, after) == (
        "Planned volume in m³: 2.2 before, 1.7 after.",
        "Relocations: 0 before, 1 after.",
        "Cost: 0 before, 12.5 after.",
        "Night runs: 0 before, 1 after.",
        "Joints: 0 before, 1 after.",
        "Zone Z1: 2 spells instead of 1.",
    )


def test_a_plan_of_nothing_is_told():
    some = Plan(spells=(spell(),))
    assert differences(SCENE, Plan(), some)[0] == "Nothing was planned before."
    assert differences(SCENE, some, Plan())[0] == "Nothing is planned any more."


def test_rows_that_change_no_figure_and_no_zone_are_told_too():
    assert differences(SCENE, Plan(), Plan(runs=(run(),))) == (
        "Only relocations, break-outs, runs or the order of rows differ.",
    )
