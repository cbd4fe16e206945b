"""How two plans compare: volume by priority, caps, then goals in order."""

from __future__ import annotations

import pytest

from planner.model.identifiers import Goal
from planner.optimise.board import Piece
from planner.optimise.replay import replay
from planner.optimise.score import Order, Scored, allowed
from tests import builders as make
from tests.unit.optimise.scenes import piece, problem, run, script

GOALS = (Goal.FINISH, Goal.RELOCATIONS, Goal.COST)
ROW = (make.zone("Z1", priority=2), make.zone("Z2", priority=1), make.zone("Z3", priority=2))


def plan_of(*pieces: Piece) -> Scored:
    """A plan of three zones, of which the second comes first."""
    of = problem(zones=ROW, prices=make.prices(day=100.0))
    return Scored(replay(of, script(run(*pieces)) if pieces else script()))


def test_volumes_are_summed_by_priority_the_first_first():
    assert plan_of(piece(390, zone=0), piece(466, zone=1)).volumes == (2.2, 2.2)
    assert plan_of(piece(390, zone=0), piece(466, zone=2)).volumes == (0.0, 4.4)
    assert plan_of().volumes == (0.0, 0.0)


def test_more_of_the_first_priority_beats_any_amount_of_the_second():
    order = Order(GOALS, {})
    first = plan_of(piece(390, zone=1))
    second = plan_of(piece(390, zone=0), piece(466, zone=2))
    assert order.key(first) < order.key(second)


def test_of_two_plans_with_the_same_volume_the_earlier_finish_wins():
    order = Order(GOALS, {})
    early, late = plan_of(piece(390, zone=1)), plan_of(piece(400, zone=1))
    assert early.value(Goal.FINISH) == 7.6  # 456 / 60
    assert order.key(early) < order.key(late)


def test_a_plan_beyond_a_cap_loses_to_one_within_it_whatever_else_it_does():
    order = Order(GOALS, {Goal.FINISH: 7.6})
    inside, outside = plan_of(piece(390, zone=1)), plan_of(piece(391, zone=1))
    assert order.key(inside) < order.key(outside)


def test_within_the_cap_the_next_goal_decides_and_the_capped_one_only_last():
    order = Order(GOALS, {Goal.FINISH: 10.0})
    early, late = plan_of(piece(390, zone=1)), plan_of(piece(400, zone=1))
    # neither relocates, both cost a day; then the earlier is better
    assert order.key(early)[2:] == (0.0, 0.0, 100.0, 7.6)
    assert order.key(early) < order.key(late)


@pytest.mark.parametrize(
    ("goal", "best", "fraction", "most"),
    [
        (Goal.FINISH, 100.0, 0.05, 105.0),
        (Goal.COST, 200.0, 0.0, 200.0),
        (Goal.RELOCATIONS, 7.0, 0.20, 8.0),  # 8.4
        (Goal.NIGHT_RUNS, 10.0, 0.10, 11.0),  # 11.000000000000002 in binary fractions
        (Goal.JOINTS, 0.0, 0.5, 0.0),
        (Goal.LATE, 1.5, 0.10, 1.65),
    ],
)
def test_a_goal_may_be_worsened_by_its_fraction_counts_rounded_down(goal, best, fraction, most):
    assert allowed(goal, best, fraction) == pytest.approx(most)
