"""Polishing: neighbourhoods drawn, solved, replayed, and only the better ones kept."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import numpy as np
import pytest

from planner.model.identifiers import Goal
from planner.optimise.freeing import free
from planner.optimise.hand_rule import hand_rule
from planner.optimise.polish import Polish, Trial, places_for
from planner.optimise.problem import Problem
from planner.optimise.replay import replay
from planner.optimise.score import Order, Scored
from planner.optimise.watch import Budget, Settings, Watch
from tests import builders as make
from tests.unit.optimise.scenes import (
    DAY,
    broken_rules,
    move,
    piece,
    problem,
    run,
    script,
    whole,
    zones,
)

pytestmark = pytest.mark.solver

GOALS = (Goal.FINISH, Goal.RELOCATIONS, Goal.COST)


def awkward() -> Problem:
    """Spells and changes of 100 min a shift; in table order four days, best three."""
    lengths = (50, 40, 30, 60, 20, 70, 30)
    row = tuple(
        make.zone(f"Z{number}", volume_m3=(length - 10) / 30)
        for number, length in enumerate(lengths, start=1)
    )
    return problem(zones=row, shifts=(make.shift(end_tod=495),))


def polish(of: Problem, start: Scored, **changes: Any) -> Polish:
    """A polish for an earlier finish."""
    fields: dict[str, Any] = {
        "problem": of,
        "order": Order(GOALS, {}),
        "goal": Goal.FINISH,
        "banned": frozenset(z for z in range(len(of.zones)) if not start.board.is_done(z)),
        "rng": np.random.default_rng(1),
        "watch": Watch(Settings(workers=1)),
        "budget": Budget(0.5),
    }
    return Polish(**(fields | changes))


def polished(of: Problem, start: Scored, **changes: Any) -> list[Scored]:
    """Every better plan, the start first and the answer last."""
    seen = [start]
    found = polish(of, start, **changes).run(start, enough=lambda _: False, on_better=seen.append)
    return [*seen, found]


def by_hand(of: Problem) -> Scored:
    """The plan of the hand rule."""
    return Scored(hand_rule(of)[0])


def days(scored: Scored) -> int:
    """How many days have a run."""
    return len({one.start // DAY for one in scored.board.runs})


def test_a_better_packing_is_found_and_is_valid():
    of = awkward()
    seen = polished(of, by_hand(of))
    assert (days(seen[0]), days(seen[-1])) == (4, 3)
    assert broken_rules(of, whole(seen[-1].board)) == []


def test_each_plan_told_is_better_than_the_one_before():
    of = awkward()
    order = Order(GOALS, {})
    keys = [order.key(scored) for scored in polished(of, by_hand(of))]
    assert len(keys) > 2
    assert all(other < one for one, other in pairwise(keys[:-1]))
    assert keys[-1] == keys[-2]


@pytest.mark.parametrize("workers", [1, 2])
def test_the_same_seed_and_workers_give_the_same_plans(workers):
    of = awkward()
    one, other = (
        polished(of, by_hand(of), watch=Watch(Settings(workers=workers)), budget=Budget(0.3))
        for _ in range(2)
    )
    assert [scored.plan for scored in one] == [scored.plan for scored in other]


def test_no_budget_no_round_and_a_stop_ends_it():
    of = awkward()
    start = by_hand(of)
    assert polished(of, start, budget=Budget(0.0)) == [start, start]
    stopped = Watch(Settings(stop=lambda: True))
    assert polished(of, start, watch=stopped, budget=Budget(1e9)) == [start, start]


def test_a_plan_that_is_enough_ends_it():
    of = awkward()
    start = by_hand(of)
    found = polish(of, start, budget=Budget(1e9)).run(
        start, enough=lambda scored: days(scored) == 3, on_better=lambda _: None
    )
    assert days(found) == 3


def test_an_empty_plan_is_left_as_it_is():
    of = problem(zones=(make.zone("Z1", x_m=900.0),))
    start = by_hand(of)
    assert polished(of, start, budget=Budget(0.05))[-1] is start


def test_a_goal_before_is_not_given_up_for_the_one_sought():
    of = to_and_fro()
    start = to_and_fro_plan(of)
    capped = Order((Goal.FINISH, Goal.RELOCATIONS), {Goal.FINISH: start.value(Goal.FINISH)})
    seen = polished(of, start, order=capped, goal=Goal.RELOCATIONS)
    assert seen[-1].value(Goal.FINISH) <= start.value(Goal.FINISH)
    assert (start.value(Goal.RELOCATIONS), seen[-1].value(Goal.RELOCATIONS)) == (2.0, 1.0)


def to_and_fro() -> Problem:
    """Two zones at the first position, one at the second."""
    return problem(
        zones=(make.zone("Z1"), make.zone("Z2", x_m=310.0), make.zone("Z3")),
        positions=(make.position("P1"), make.position("P2", x_m=300.0)),
        goals=(Goal.FINISH, Goal.RELOCATIONS),
    )


def to_and_fro_plan(of: Problem) -> Scored:
    """First, second and first position again, a day each."""
    return Scored(
        replay(
            of,
            script(
                run(piece(390)),
                run(piece(DAY + 390, zone=1, position=1)),
                run(piece(2 * DAY + 390, zone=2)),
                moves=[move(480, 540), move(DAY + 600, DAY + 660, origin=1, target=0)],
            ),
        )
    )


@pytest.mark.parametrize(
    ("goal", "before", "after"),
    [(Goal.COST, 3000.0, 1000.0), (Goal.LATE, 1.325, 0.0), (Goal.NIGHT_RUNS, 1.0, 0.0)],
)
def test_every_goal_has_an_aim_of_its_own(goal, before, after):
    row = zones(2, due_min=DAY)
    of = problem(
        zones=row,
        prices=make.prices(day=1000.0),
        shifts=(make.shift(start_tod=4 * 60, end_tod=20 * 60),),
    )
    # the first run from 04:00 touches the night; the second is on the third day:
    # 2 x 1440 + 402 + 66 = 3348 min, 1908 after the end of the first day
    start = Scored(replay(of, script(run(piece(270)), run(piece(2 * DAY + 402, zone=1)))))
    assert start.value(goal) == pytest.approx(before)
    order = Order((goal, *GOALS), {})
    seen = polished(of, start, goal=goal, order=order)
    assert seen[-1].value(goal) == pytest.approx(after)


def test_a_trace_hears_of_every_neighbourhood():
    of = awkward()
    heard: list[Trial] = []
    polished(of, by_hand(of), trace=heard.append, budget=Budget(0.2))
    assert heard
    assert {trial.outcome for trial in heard} <= {"OPTIMAL", "FEASIBLE", "UNKNOWN"}
    assert all(trial.atoms > 0 and trial.slots > 0 for trial in heard)


def test_freed_rigs_keep_the_positions_they_use_and_get_some_more():
    of = to_and_fro()
    board = to_and_fro_plan(of).board
    near = free(board, frozenset(), (0,), DAY, 2 * DAY)
    assert near is not None
    rng = np.random.default_rng(1)
    assert places_for(near, 0, rng) == {0: [0, 1]}  # it works at 1 and is wanted at 0 after
    first = free(board, frozenset(), (0,), 0, 475)
    assert first is not None
    assert places_for(first, 0, rng) == {0: [0]}
    wider = problem(
        zones=of.zones,
        positions=(*of.campaign.positions, make.position("P3", x_m=5.0)),
    )
    again = free(to_and_fro_plan(wider).board, frozenset(), (0,), 0, 475)
    assert again is not None
    assert places_for(again, 1, rng) == {0: [0, 2]}


def test_rounds_spend_the_budget():
    of = awkward()
    budget = Budget(0.1)
    polished(of, by_hand(of), budget=budget)
    assert budget.is_spent
