"""Exact solves: repeatable, and ended when asked."""

from __future__ import annotations

import signal
from itertools import combinations, pairwise

import pytest
from ortools.sat.python import cp_model

from planner.optimise.solving import Limits, solve

pytestmark = pytest.mark.solver


def easy() -> tuple[cp_model.CpModel, cp_model.IntVar]:
    """At most 7, and the more the better."""
    model = cp_model.CpModel()
    number = model.new_int_var(0, 10, "")
    model.add(2 * number <= 15)
    model.maximize(number)
    return model, number


def hard() -> cp_model.CpModel:
    """The shortest ruler with 15 marks, all distances different: days of work to prove."""
    model = cp_model.CpModel()
    marks = [model.new_int_var(0, 400, "") for _ in range(15)]
    for one, other in pairwise(marks):
        model.add(other > one)
    distances = []
    for one, other in combinations(marks, 2):
        distance = model.new_int_var(1, 400, "")
        model.add(distance == other - one)
        distances.append(distance)
    model.add_all_different(distances)
    model.minimize(marks[-1])
    return model


def test_a_small_model_is_solved():
    model, number = easy()
    solver, status = solve(model, Limits(deterministic_s=1.0, seconds=10.0))
    assert status == cp_model.OPTIMAL
    assert solver.value(number) == 7


def test_several_workers_interleave_and_find_the_same():
    model, number = easy()
    limits = Limits(deterministic_s=1.0, seconds=10.0, workers=2)
    solver, status = solve(model, limits, ("max_lp", "reduced_costs"))
    assert status == cp_model.OPTIMAL
    assert solver.value(number) == 7
    assert solver.parameters.interleave_search


def test_deterministic_time_ends_a_solve():
    solver, status = solve(hard(), Limits(deterministic_s=0.05, seconds=50.0))
    assert status in (cp_model.UNKNOWN, cp_model.FEASIBLE)
    assert solver.response_proto.deterministic_time < 1.0


def test_the_stop_flag_ends_a_solve():
    limits = Limits(deterministic_s=1e6, seconds=50.0, stop=lambda: True)
    _, status = solve(hard(), limits)
    assert status in (cp_model.UNKNOWN, cp_model.FEASIBLE)


def test_the_systems_handler_of_signals_stays_as_it_is():
    before = signal.getsignal(signal.SIGINT)
    solve(easy()[0], Limits(deterministic_s=1.0, seconds=10.0))
    assert signal.getsignal(signal.SIGINT) is before
