"""Courses of the residual, and what they leave of windows."""

import numpy as np
import pytest

from planner.risk.surge import edges, residual_courses
from tests.unit.risk.test_replay import gauge

TIMES = np.array([0.0, 10.0, 20.0, 30.0, 40.0])


def one(beyond):
    opened, closed = edges(np.array([beyond]), TIMES, start=0.0, end=38.0)
    return float(opened[0]), float(closed[0])


def test_a_window_that_holds_is_left_as_planned():
    assert one([-1.0, -1.0, -1.0, -1.0, -1.0]) == (0.0, 38.0)


def test_a_window_opens_and_closes_where_the_water_passes_the_limit():
    # 1 m too high at 0, 1 m below at 10: passes at 5; from -1 at 20 to 3 at 30: passes at 22.5
    assert one([1.0, -1.0, -1.0, 3.0, 1.0]) == (5.0, 22.0)


def test_who_had_to_leave_does_not_come_back_in_the_same_window():
    assert one([-1.0, 1.0, -1.0, -1.0, -1.0]) == (0.0, 5.0)


def test_a_window_that_never_opens_takes_nobody():
    assert one([1.0, 1.0, 1.0, 1.0, 1.0]) == (np.inf, -np.inf)


def test_courses_have_the_quantiles_and_the_persistence_of_their_model():
    model = gauge()
    months = np.full(24 * 20, 1)
    found = residual_courses(model, months, 4000, np.random.default_rng(6))
    assert np.quantile(found, (0.05, 0.5, 0.95)) == pytest.approx(
        [np.interp(p, (0.0, 0.5, 1.0), (-0.4, 0.0, 0.6)) for p in (0.05, 0.5, 0.95)], abs=0.01
    )
    for lag in (1, 6, 24):
        right = 0.3 * np.exp(-lag / 3.0) + 0.7 * np.exp(-lag / 24.0)
        # the quantiles are nearly even, so ranks keep 6/pi asin(r/2) of the scores' correlation
        right = 6.0 / np.pi * np.arcsin(right / 2.0)
        first, later = found[:, 100], found[:, 100 + lag]
        ranks = [np.argsort(np.argsort(values)).astype(float) for values in (first, later)]
        assert np.corrcoef(ranks[0], ranks[1])[0, 1] == pytest.approx(right, abs=0.05)


def test_the_sampler_is_that_of_the_water_room():
    model = gauge()
    months = np.full(24 * 400, 7)
    ours = residual_courses(model, months, 20, np.random.default_rng(1))
    theirs = [model.sample(months, np.random.default_rng(k)) for k in range(20)]
    for share in (0.01, 0.5, 0.99):
        assert np.quantile(ours, share) == pytest.approx(np.quantile(theirs, share), abs=0.02)
