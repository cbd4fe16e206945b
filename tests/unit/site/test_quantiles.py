"""Quantiles against closed forms and against SciPy."""

import math

import pytest
from scipy import stats

from planner.site.quantiles import beta_quantile, beta_share, t_quantile, t_share


def test_the_beta_of_one_and_one_is_the_uniform():
    assert beta_share(0.3, 1.0, 1.0) == pytest.approx(0.3)
    assert beta_quantile(0.9, 1.0, 1.0) == pytest.approx(0.9)


def test_the_t_of_one_degree_is_the_cauchy():
    assert t_share(1.0, 1.0) == pytest.approx(0.75)
    assert t_quantile(0.9, 1.0) == pytest.approx(math.tan(math.pi * 0.4))


@pytest.mark.parametrize("freedom", [1.0, 3.5, 6.0, 40.0, 400.0])
@pytest.mark.parametrize("share", [0.01, 0.1, 0.5, 0.9, 0.995])
def test_t_agrees_with_scipy(share, freedom):
    assert t_quantile(share, freedom) == pytest.approx(stats.t.ppf(share, freedom), abs=1e-6)


@pytest.mark.parametrize(("a", "b"), [(0.25, 4.75), (0.5, 0.5), (2.0, 7.0), (30.0, 2.0)])
@pytest.mark.parametrize("share", [0.1, 0.5, 0.9])
def test_beta_agrees_with_scipy(share, a, b):
    assert beta_quantile(share, a, b) == pytest.approx(stats.beta.ppf(share, a, b), abs=1e-9)


def test_beta_keeps_to_its_ends():
    assert beta_share(-0.1, 2.0, 2.0) == 0.0
    assert beta_share(1.1, 2.0, 2.0) == 1.0


@pytest.mark.parametrize("share", [0.0, 1.0])
def test_a_quantile_of_nothing_or_everything_is_refused(share):
    with pytest.raises(ValueError, match="inside"):
        t_quantile(share, 5.0)
