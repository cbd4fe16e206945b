"""The residual keeps its spread, its skew and its persistence."""

import numpy as np
import pytest

from planner.access.residual import LAGS_H, PROBABILITIES, fit_residual, hourly

YEAR_H = 24 * 365
MONTHS = (np.arange(YEAR_H) // 730) % 12 + 1  # 730 h to a month


def course(seed, *, keeps=0.9):
    """A first-order autoregressive series of unit spread."""
    rng = np.random.default_rng(seed)
    found = np.empty(YEAR_H)
    at = 0.0
    for k in range(YEAR_H):
        at = keeps * at + rng.normal(0.0, np.sqrt(1 - keeps * keeps))
        found[k] = at
    return found


def test_spread_mean_and_quantiles_are_those_of_the_hours():
    values = 0.2 * course(1) + 0.05
    model = fit_residual(values, MONTHS)
    winter = np.isin(MONTHS, (10, 11, 12, 1, 2, 3))
    assert model.hours == YEAR_H
    assert model.mean_m == pytest.approx(values.mean())
    assert model.spread_m == pytest.approx(values.std())
    median = PROBABILITIES.index(0.5)
    assert model.quantiles_m[0][median] == pytest.approx(np.median(values[winter]))
    assert model.quantiles_m[1][median] == pytest.approx(np.median(values[~winter]))
    assert model.persistence[0] == pytest.approx(0.9, abs=0.02)
    assert model.persistence[LAGS_H.index(6)] == pytest.approx(0.9**6, abs=0.05)


def test_a_drawn_course_has_the_quantiles_and_persistence_of_what_was_fitted():
    values = 0.1 * np.exp(0.6 * course(2))  # skewed
    model = fit_residual(values, MONTHS)
    drawn = model.sample(MONTHS, np.random.default_rng(5))
    again = fit_residual(drawn, MONTHS)
    assert again.spread_m == pytest.approx(model.spread_m, rel=0.15)
    assert again.persistence[0] == pytest.approx(model.persistence[0], abs=0.04)
    for probability in (0.05, 0.5, 0.95):
        k = PROBABILITIES.index(probability)
        assert again.quantiles_m[0][k] == pytest.approx(model.quantiles_m[0][k], rel=0.2)
    assert drawn.max() <= max(row[-1] for row in model.quantiles_m)


def test_the_same_seed_draws_the_same_course():
    model = fit_residual(course(4), MONTHS)
    one, other = (model.sample(MONTHS, np.random.default_rng(7)) for _ in range(2))
    assert one.tolist() == other.tolist()


def test_a_half_year_with_few_hours_uses_all_of_them():
    values = course(6)[:2000]
    model = fit_residual(values, np.full(2000, 7))
    assert model.quantiles_m[0] == model.quantiles_m[1]


def test_hours_that_are_not_known_are_left_out_and_two_weeks_are_needed():
    values = course(8)
    values[::3] = np.nan
    assert fit_residual(values, MONTHS).hours == YEAR_H - len(values[::3])
    with pytest.raises(ValueError, match="336 are needed"):
        fit_residual(values[:400], MONTHS[:400])


def test_a_series_is_read_off_at_whole_hours_and_not_over_gaps():
    minutes = np.array([30.0, 60.0, 150.0, 300.0, 330.0])
    hours, values = hourly(minutes, np.array([0.0, 1.0, 4.0, 0.0, 1.0]))
    assert hours.tolist() == [60.0, 120.0, 180.0, 240.0, 300.0]
    assert values[[0, 1, 4]].tolist() == pytest.approx([1.0, 3.0, 0.0])
    assert np.isnan(values[[2, 3]]).all()
