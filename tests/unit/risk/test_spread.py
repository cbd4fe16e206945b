"""Amounts given by three values: their quantiles, means and ties."""

import numpy as np
import pytest
from scipy import stats

from planner.risk.spread import Shape, Three, drawn, share_below, tied

THREE = Three(low=2.0, mode=3.0, high=8.0)
SCORES = np.linspace(-3.5, 3.5, 41)


def test_a_triangle_has_the_quantiles_that_scipy_gives():
    right = stats.triang.ppf(stats.norm.cdf(SCORES), c=1 / 6, loc=2.0, scale=6.0)
    assert drawn(SCORES, THREE, Shape.TRIANGLE) == pytest.approx(right, abs=2e-3)


def test_pert_has_the_quantiles_of_its_beta_distribution():
    # shapes 1 + 4 (3 - 2) / 6 and 1 + 4 (8 - 3) / 6
    right = stats.beta.ppf(stats.norm.cdf(SCORES), 1 + 4 / 6, 1 + 20 / 6, loc=2.0, scale=6.0)
    assert drawn(SCORES, THREE, Shape.PERT) == pytest.approx(right, abs=5e-3)


def test_equal_values_are_certain():
    sure = Three(low=1.2, mode=1.2, high=1.2)
    assert drawn(SCORES, sure, Shape.PERT).tolist() == [1.2] * SCORES.size


def test_values_that_do_not_rise_are_refused():
    with pytest.raises(ValueError, match="rising order"):
        Three(low=1.0, mode=0.9, high=2.0)


@pytest.mark.parametrize("correlation", [0.0, 0.3, 1.0])
def test_scores_are_tied_as_much_as_asked_for(correlation):
    rng = np.random.default_rng(2)
    shared = rng.standard_normal(40_000)
    one, other = (tied(shared, rng.standard_normal(40_000), correlation) for _ in range(2))
    assert np.corrcoef(one, other)[0, 1] == pytest.approx(correlation, abs=0.02)
    assert one.std() == pytest.approx(1.0, abs=0.02)


def test_the_share_below_is_that_of_the_normal_distribution():
    assert share_below(SCORES) == pytest.approx(stats.norm.cdf(SCORES), abs=1e-5)
