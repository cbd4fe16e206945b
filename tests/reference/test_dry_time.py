"""Dry time at a level under a single sinusoid, by its closed form.

Dry time = T (1 - acos(z / a) / pi), T the tidal period and z the level above the mean; a soffit
457 mm above mean tide (a published pier repair) and ranges of 1.5, 3 and 8.5 m.
"""

from datetime import UTC, datetime
from math import acos, pi

import numpy as np
import pytest

from planner.access.astronomy import node_factors
from planner.access.highlow import HighLowLevel
from planner.access.tide import TideLevel
from planner.model.water import Constituent, Extreme

pytestmark = pytest.mark.reference

PERIOD_H = 12.4206


def dry_h(curve, level_m):
    """Hours below a level in each of the middle tides."""
    found = curve.below(level_m)
    return (found.ends - found.starts)[2:-2] / 60


def sinusoid(half_range_m):
    """A table of high and low waters of one sinusoid."""
    half = PERIOD_H * 60 / 2
    rows = tuple(
        Extreme(minute=k * half, level_m=half_range_m * (-1) ** k, is_high=k % 2 == 0)
        for k in range(20)
    )
    source = HighLowLevel(
        rows, high_shift_min=0.0, low_shift_min=0.0, range_factor=1.0, datum_m=0.0
    )
    return source.curve(0.0, 19 * half)


@pytest.mark.parametrize(
    ("level_m", "range_m", "hours"),
    [
        (0.0, 2.0, 6.210),
        (0.5, 2.0, 8.280),
        (-0.5, 2.0, 4.140),
        (0.457, 1.5, 8.80),
        (0.457, 3.0, 7.43),
        (0.457, 8.5, 6.64),
    ],
)
def test_half_cosines_give_the_dry_time_of_the_sinusoid(level_m, range_m, hours):
    found = dry_h(sinusoid(range_m / 2), level_m)
    assert found.size >= 5
    assert found == pytest.approx(hours, abs=0.006)
    assert found == pytest.approx(PERIOD_H * (1 - acos(level_m / (range_m / 2)) / pi), abs=1e-9)


def test_under_the_lowest_water_nothing_is_dry_and_over_the_highest_all():
    assert sinusoid(1.0).below(-1.01).starts.size == 0
    assert sinusoid(1.0).below(1.0).starts.size == 1


@pytest.mark.parametrize("share", [-0.8, -0.5, 0.0, 0.3, 0.9])
def test_a_lone_moon_tide_has_the_same_dry_time(share):
    epoch = datetime(2026, 3, 1, tzinfo=UTC)
    factor = node_factors(datetime(2026, 7, 2, 12, tzinfo=UTC))["m2"].f
    wave = Constituent(name="M2", amplitude_m=1.0, phase_deg=123.0)
    tide = TideLevel((wave,), mean_m=0.0, epoch_utc=epoch)
    found = dry_h(tide.curve(0.0, 60 * 1440.0), share * factor)
    period_h = 360 / 28.9841042
    assert found.size > 100
    assert np.abs(found - period_h * (1 - acos(share) / pi)).max() < 1e-5
