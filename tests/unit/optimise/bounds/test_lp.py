"""Programmes whose bounds are proven from dual values."""

from __future__ import annotations

import numpy as np
import pytest

from planner.optimise.bounds.lp import Model, Solver


def knapsack() -> Model:
    """Most of 5 a + 4 b + 3 c with 2 a + 3 b + c <= 5, all at most 1: a, c and 2/3 b."""
    model = Model()
    a, b, c = (model.column(1.0, -worth, whole=True) for worth in (5.0, 4.0, 3.0))
    model.row({a: 2.0, b: 3.0, c: 1.0}, high=5.0)
    return model


def linear(model: Model) -> Model:
    model.whole = [False] * len(model.whole)
    return model


def test_a_linear_programme_is_bounded_by_its_value():
    found = linear(knapsack()).proven(nodes=10, seconds=5.0)
    assert found == pytest.approx(-(5 + 3 + 4 * 2 / 3))


def test_whole_numbers_raise_the_bound():
    # a and b: 9, the most of whole ones
    assert knapsack().proven(nodes=1000, seconds=5.0) == pytest.approx(-9.0, rel=1e-6)


def test_any_dual_values_give_a_bound():
    model = linear(knapsack())
    best = model.solve(Solver.GLOP)
    assert best.value is not None
    assert model.safe_bound(best.duals) == pytest.approx(best.value)
    rng = np.random.default_rng(3)
    for y in rng.normal(size=50).tolist():
        assert model.safe_bound((y,)) <= best.value + 1e-12


def test_a_dual_value_on_a_side_without_limit_counts_for_nothing():
    model = linear(knapsack())
    assert model.safe_bound((1.0,)) == model.safe_bound((0.0,)) == pytest.approx(-12.0)


def test_a_programme_without_a_solution_proves_nothing_false():
    model = Model()
    x = model.column(1.0, 1.0)
    model.row({x: 1.0}, low=2.0)
    assert model.solve(Solver.GLOP).value is None
