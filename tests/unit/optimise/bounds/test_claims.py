"""All bounds in one place: what they are asked, and when they claim nothing.

In the scene of :mod:`tests.builders` a zone takes 76 min of a day that holds 685.
"""

from __future__ import annotations

from typing import Any

import pytest

from planner.model.identifiers import Goal, ZoneId
from planner.optimise.bounds.claims import Claims
from planner.optimise.hand_rule import hand_rule
from planner.optimise.problem import Problem
from planner.optimise.score import Scored
from tests import builders as make
from tests.unit.optimise.scenes import DAY, problem, zones

TWO_PLACES = (make.position("P1"), make.position("P2", x_m=300.0))


def by_hand(of: Problem) -> Scored:
    return Scored(hand_rule(of, lambda: False)[0])


def bounds(of: Problem, **caps: float) -> dict[Goal, float]:
    claims, scored = Claims(of), by_hand(of)
    kept = {Goal(name): cap for name, cap in caps.items()}
    return {goal: claims.bound(goal, kept, scored) for goal in Goal}


def test_zones_that_no_plan_can_hold_are_not_counted():
    beyond = make.zone("Z2", x_m=500.0)
    waits = make.zone("Z3", after=(ZoneId("Z2"),))
    claims = Claims(problem(zones=(make.zone("Z1"), beyond, waits)))
    assert claims.possible == {0}
    scored = by_hand(claims.problem)
    assert claims.is_whole(scored)
    assert claims.volume_m3(scored) == pytest.approx(2.2)


def test_a_plan_of_all_that_fits_is_whole_though_the_flow_would_let_through_more():
    of = problem(zones=zones(9), crews=(make.crew(available_to_min=DAY),))
    claims, scored = Claims(of), by_hand(of)
    assert claims.volume_m3(scored) == pytest.approx(9 * 2.2)
    assert claims.is_whole(scored)


def test_a_plan_that_leaves_out_what_might_fit_is_not_whole():
    of = problem(zones=zones(10), crews=(make.crew(available_to_min=DAY),))
    claims, scored = Claims(of), by_hand(of)
    # nine zones are planned; 685 of 760 min hold at most 19.8 of 22 m³ and a little
    assert claims.volume_m3(scored) == pytest.approx(22.0 * 685 / 760, abs=1e-5)
    assert not claims.is_whole(scored)


def test_the_bound_on_the_finish_is_met_by_a_plan_in_a_row():
    assert bounds(problem(zones=zones(9)))[Goal.FINISH] == pytest.approx((380 + 9 * 76) / 60)


def test_nothing_is_claimed_of_a_plan_of_nothing():
    nothing = problem(zones=(make.zone(x_m=500.0),))
    assert set(bounds(nothing).values()) == {0.0}


def test_lateness_is_claimed_only_where_all_zones_are_planned():
    late = zones(10, due_min=400)
    all_of = problem(zones=late)
    assert bounds(all_of)[Goal.LATE] > 0.0
    some = problem(zones=late, crews=(make.crew(available_to_min=DAY),))
    assert bounds(some)[Goal.LATE] == 0.0


def test_relocations_and_set_ups_are_paid_for_zones_far_apart():
    far = (make.zone("Z1"), make.zone("Z2", x_m=300.0))
    of = problem(zones=far, positions=TWO_PLACES, prices=make.prices(relocation=50.0))
    found = bounds(of)
    assert found[Goal.RELOCATIONS] == 1.0
    assert found[Goal.COST] == pytest.approx(50.0)


def test_a_cap_on_the_finish_makes_nights_needed():
    # 18:00-23:00: until 22:00 an evening holds two zones (205 min), until 23:00 three (265 min);
    # five zones in two evenings take one run by night, in three evenings none
    shifts = (make.shift(start_tod=18 * 60, end_tod=23 * 60),)
    of = problem(zones=zones(5), shifts=shifts)
    assert bounds(of)[Goal.NIGHT_RUNS] == 0.0
    by_second_evening = bounds(of, finish=(DAY + 24 * 60) / 60)
    assert by_second_evening[Goal.NIGHT_RUNS] == 1.0
    by_third = bounds(of, finish=3 * 24.0)
    assert by_third[Goal.NIGHT_RUNS] == 0.0


def test_each_question_is_worked_out_once(monkeypatch: pytest.MonkeyPatch):
    of = problem(zones=zones(3))
    claims, scored = Claims(of), by_hand(of)
    first = claims.bound(Goal.FINISH, {}, scored)

    def never(*_: Any) -> float:
        raise AssertionError

    monkeypatch.setattr(claims, "_work_out", never)
    assert claims.bound(Goal.FINISH, {}, scored) == first
    with pytest.raises(AssertionError):
        claims.bound(Goal.FINISH, {Goal.COST: 1.0}, scored)


def test_a_cap_that_is_loose_changes_nothing():
    of = problem(zones=zones(12), prices=make.prices(day=100.0))
    plain = bounds(of)
    assert bounds(of, finish=1e9) == plain
    assert plain[Goal.COST] == pytest.approx(200.0)
