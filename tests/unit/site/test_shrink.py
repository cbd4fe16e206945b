"""Estimates: the plan while there is nothing, the measurements when there are many."""

import math

import numpy as np
import pytest
from scipy import integrate, stats

from planner.site.shrink import (
    LOSS_MEAN,
    LOSS_WORTH,
    RATE_PRIOR,
    RatioPrior,
    ratio_estimate,
    share_estimate,
)


def test_without_measurements_the_plan_stands_with_the_prior_interval():
    found = ratio_estimate([], RATE_PRIOR)
    assert (found.count, found.raw, found.middle) == (0, None, 1.0)
    # Student with 2 a0 = 6 degrees; scale sqrt(b0 / (a0 k0)) with b0 = (a0 - 1) 0.25²
    scale = math.sqrt(2 * 0.25**2 / (3 * 2))
    assert found.high == pytest.approx(math.exp(stats.t.ppf(0.9, 6) * scale))
    assert found.low == pytest.approx(1 / found.high)


def test_the_centre_is_the_mean_shrunk_by_what_the_plan_is_worth():
    values = [math.log(0.8)] * 6
    found = ratio_estimate(values, RATE_PRIOR)
    assert found.raw == pytest.approx(0.8)
    assert found.middle == pytest.approx(0.8 ** (6 / (6 + 2)))  # worth 2 beside 6


def test_many_measurements_leave_nothing_of_the_prior():
    values = np.random.default_rng(4).normal(math.log(0.9), 0.1, 4000)
    found = ratio_estimate(list(values), RATE_PRIOR)
    assert found.middle == pytest.approx(0.9, abs=0.005)
    assert found.high - found.low < 0.01
    assert found.scatter == pytest.approx(0.1, abs=0.01)


def test_the_posterior_is_that_of_numerical_integration():
    prior = RatioPrior(worth=2.0, scatter=0.25)
    values = [0.10, -0.25, -0.05, -0.31]
    found = ratio_estimate(values, prior)

    theta = np.linspace(-1.5, 1.5, 3001)[:, None]
    variance = np.geomspace(1e-4, 4.0, 800)[None, :]
    log_density = stats.norm.logpdf(theta, 0.0, np.sqrt(variance / prior.worth))
    log_density = log_density + stats.invgamma.logpdf(variance, 3.0, scale=2.0 * 0.25**2)
    for value in values:
        log_density = log_density + stats.norm.logpdf(value, theta, np.sqrt(variance))
    density = np.exp(log_density)
    of_theta = integrate.trapezoid(density, variance[0], axis=1)
    below = integrate.cumulative_trapezoid(of_theta, theta[:, 0], initial=0.0)
    share = np.interp([math.log(found.low), math.log(found.high)], theta[:, 0], below / below[-1])
    assert share == pytest.approx([0.1, 0.9], abs=0.001)


def test_the_interval_holds_as_often_as_it_says():
    """Draw truth from the prior and data from the truth: 80 % of the intervals hold it."""
    draw = np.random.default_rng(17)
    held = 0
    rounds = 600
    for _ in range(rounds):
        variance = stats.invgamma.rvs(3.0, scale=2 * 0.25**2, random_state=draw)
        theta = draw.normal(0.0, math.sqrt(variance / 2.0))
        values = draw.normal(theta, math.sqrt(variance), 5)
        found = ratio_estimate(list(values), RATE_PRIOR)
        held += found.low <= math.exp(theta) <= found.high
    assert held / rounds == pytest.approx(0.80, abs=0.05)


def test_lost_time_begins_at_the_prior_and_follows_the_shifts():
    assert share_estimate([]).middle == pytest.approx(LOSS_MEAN)
    found = share_estimate([0.3] * 5)
    assert found.raw == pytest.approx(0.3)
    assert found.middle == pytest.approx((LOSS_WORTH * LOSS_MEAN + 5 * 0.3) / (LOSS_WORTH + 5))
    assert found.low < found.middle < found.high


def test_the_share_is_the_beta_of_its_closed_form():
    found = share_estimate([0.0, 0.5], mean=0.5, worth=2.0)
    # alpha = 1 + 0.5, beta = 1 + 1.5
    assert found.middle == pytest.approx(1.5 / 4.0)
    assert found.high == pytest.approx(stats.beta.ppf(0.9, 1.5, 2.5))
    assert found.variance == pytest.approx(stats.beta.var(1.5, 2.5))
