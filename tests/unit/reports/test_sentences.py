"""The story of a plan and its key figures, against sums done by hand."""

from dataclasses import replace

import pytest

from planner.model.identifiers import Goal
from planner.plan.plan import Plan, Status
from planner.reports.key_figures import key_figures, said
from planner.reports.sentences import story
from tests import builders as make
from tests.unit.reports.plans import two_rigs, two_rigs_plan


def one_zone_plan():
    return Plan(runs=(make.run(),), spells=(make.spell(),))


def figure(name, plan, proof, **changes):
    found = key_figures(make.campaign(**changes), plan, proof)
    return next(figure for figure in found if figure.name == name)


def test_a_finish_that_meets_its_bound_is_proven():
    proof = make.proof(bound={Goal.FINISH: 7.6})  # the spell ends at 07:36
    finish = figure("Finish", one_zone_plan(), proof)
    assert finish.value == "Mon 2 Mar 07:36"
    assert finish.proven
    assert finish.verdict == "Proven: no plan does better."


def test_a_finish_above_its_bound_says_how_much_earlier_may_be_possible():
    finish = figure("Finish", one_zone_plan(), make.proof())
    assert not finish.proven
    assert finish.bound == "Mon 2 Mar 06:36"
    assert finish.verdict == "At most 1.0 h earlier is possible."


def test_a_goal_without_a_bound_says_so():
    finish = figure("Finish", one_zone_plan(), make.proof(bound={}))
    assert finish.verdict == "No bound is known."


def shown(goal, bound):
    campaign = replace(two_rigs(), goals=(goal,), may_worsen=())
    return key_figures(campaign, two_rigs_plan(), make.proof(bound={goal: bound}))[1]


@pytest.mark.parametrize(
    ("goal", "bound", "verdict"),
    [
        (Goal.RELOCATIONS, 0.0, "At most 1 fewer is possible."),
        (Goal.JOINTS, 0.25, "At most 0 fewer is possible."),
        (Goal.LATE, 0.0, "Proven: no plan does better."),
        (Goal.NIGHT_RUNS, 0.0, "Proven: no plan does better."),
    ],
)
def test_each_goal_has_words_of_its_own(goal, bound, verdict):
    assert shown(goal, bound).verdict == verdict


def test_a_cost_says_the_room_in_money_and_per_cent():
    # three civil days at 100, and 6.6 m3 x 1.03 / (1 - 0.5) x 10 = 135.96
    cost = shown(Goal.COST, 217.98)
    assert cost.value == "436"
    assert cost.verdict == "At most 218 (50.0 %) less is possible."


def test_late_days_above_the_bound_are_told():
    campaign = make.campaign(zones=(make.zone(due_min=0),), goals=(Goal.LATE,), may_worsen=())
    late = key_figures(campaign, one_zone_plan(), make.proof(bound={Goal.LATE: 0.0}))[1]
    assert (late.value, late.verdict) == ("0.3 days", "At most 0.3 days less is possible.")


def test_a_fraction_in_a_bound_of_a_count_is_rounded_up_where_it_is_said():
    assert said(make.clock(), Goal.RELOCATIONS, 1.2) == "2"
    assert said(make.clock(), Goal.RELOCATIONS, 2.0) == "2"


def test_volume_that_cannot_grow_is_proven():
    plan = Plan(unplanned=(make.unplanned("Z1"),), spells=())
    volume = figure("In place", plan, make.proof(planned_m3_bound=0.0))
    assert volume.proven
    assert volume.verdict == "1 zone left out; proven: no plan can hold more."


def test_volume_that_might_grow_says_by_how_much():
    plan = Plan(unplanned=(make.unplanned("Z1"),), spells=())
    volume = figure("In place", plan, make.proof(planned_m3_bound=2.2))
    assert volume.verdict == "1 zone left out; at most 2.2 m³ more can be."


def test_the_story_tells_volume_finish_rigs_due_dates_and_money():
    told = story(two_rigs(), two_rigs_plan(), make.proof())
    assert told[0] == "3 of 4 zones are planned: 6.6 m³ in place in 4 spells."
    assert told[1] == "Left out: north-Z4, together 2.2 m³; the table says why."
    assert told[2].startswith("Spraying ends on Wed 4 Mar 07:36, 11.7 days before")
    assert "no plan can end before Mon 2 Mar 06:36" in told[2]
    assert told[3] == (
        "Rig R1 (dry) sprays 4.4 m³ in 2.2 h of nozzle time and 3 runs, at P1 → P2."
    )
    assert told[5] == "Every planned zone with a due date is done in time."
    assert told[6].startswith("It costs ")


def test_a_plan_of_everything_says_all():
    told = story(make.campaign(), one_zone_plan(), make.proof(bound={Goal.FINISH: 7.6}))
    assert told[0] == "All 1 zone are planned: 2.2 m³ in place in 1 spell."
    assert told[1].endswith("; no plan can end earlier.")
    assert len(told) == 4  # no due date, no price


def test_a_proven_plan_is_called_best_and_a_stopped_one_is_not():
    best = make.proof(status=Status.OPTIMAL)
    assert story(make.campaign(), one_zone_plan(), best)[-1].startswith("Every goal meets")
    stopped = make.proof(stopped_early=True)
    assert "stopped early" in story(make.campaign(), one_zone_plan(), stopped)[-1]


def test_many_zones_left_out_are_not_all_named():
    plan = Plan(
        spells=(make.spell(),),
        runs=(make.run(),),
        unplanned=tuple(make.unplanned(f"Z{k}") for k in range(2, 12)),
    )
    zones = tuple(make.zone(f"Z{k}") for k in range(1, 12))
    told = story(make.campaign(zones=zones), plan, make.proof())
    assert told[1].startswith("Left out: Z2, Z3, Z4, Z5, Z6, Z7 and 4 more, together 22.0 m³")


def test_late_zones_are_told():
    campaign = make.campaign(zones=(make.zone(due_min=0),))
    told = story(campaign, one_zone_plan(), make.proof())
    assert "Zones with a due date are 0.3 days late in sum." in told  # 456 min of 1440


def test_an_empty_plan_says_that_nothing_can_be_planned():
    told = story(make.campaign(), Plan(unplanned=(make.unplanned("Z1"),)), make.proof())
    assert told[0] == "Nothing can be planned."
