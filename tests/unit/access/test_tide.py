"""The tide as a sum of waves, year by year."""

from datetime import UTC, datetime
from math import cos, radians

import numpy as np
import pytest

from planner.access.astronomy import longitudes, node_factors
from planner.access.constituents import argument_deg, node_factor
from planner.access.tide import TideLevel
from planner.model.water import Constituent

EPOCH = datetime(2026, 3, 2, tzinfo=UTC)
DAY = 1440.0


def tide(*waves, mean_m=0.0, epoch=EPOCH):
    rows = tuple(Constituent(name=n, amplitude_m=a, phase_deg=g) for n, a, g in waves)
    return TideLevel(rows, mean_m=mean_m, epoch_utc=epoch)


STRONG = tide(("M2", 1.4, 109.2), ("S2", 0.2, 146.2), ("N2", 0.3, 76.7), ("M4", 0.3, 29.0))


def test_a_sun_tide_is_high_when_its_lag_says():
    # S2 has no node factor and stands at 0° at midnight UTC; a lag of 60° is 2 h of 30 °/h
    source = tide(("S2", 0.5, 60.0), mean_m=0.3)
    assert source.level_m(np.array([120.0, 120.0 + 360.0])).tolist() == pytest.approx([0.8, -0.2])


def test_a_wave_has_its_node_factor_of_the_middle_of_the_year():
    at = datetime(2026, 7, 2, 12, tzinfo=UTC)
    node = node_factor("M2", node_factors(at))
    angle = argument_deg("M2", longitudes(at)) + node.u_deg - 40.0
    minute = (at - EPOCH).total_seconds() / 60
    level = tide(("M2", 2.0, 40.0)).level_m(np.array([minute]))
    assert level[0] == pytest.approx(node.f * 2.0 * cos(radians(angle)), abs=1e-6)


def test_at_new_year_the_level_steps_by_millimetres():
    source = tide(("M2", 2.0, 40.0), ("K1", 0.3, 0.0), epoch=datetime(2025, 12, 31, tzinfo=UTC))
    before, after = source.level_m(np.array([DAY - 1e-6, DAY]))
    assert 1e-5 < abs(after - before) < 0.02


def test_levels_across_several_years_are_those_of_each_year_alone():
    minutes = np.arange(-800 * DAY, 800 * DAY, 1000.0)
    together = STRONG.level_m(minutes)
    alone = [STRONG.level_m(np.array([minute]))[0] for minute in minutes[::50]]
    assert together[::50].tolist() == pytest.approx(alone, abs=1e-9)


def test_levels_keep_the_shape_of_the_minutes():
    assert STRONG.level_m(np.zeros((2, 3))).shape == (2, 3)
    assert STRONG.level_m(np.empty(0)).shape == (0,)
    assert not STRONG.too_fast(np.zeros(4)).any()


def test_the_curve_agrees_with_the_sum_at_its_turning_points():
    curve = STRONG.curve(0.0, 30 * DAY)
    assert np.abs(STRONG.level_m(curve.end) - curve.end_m).max() < 1e-7
    # between turning points it neither rises nor falls beyond its ends
    middle = STRONG.level_m((curve.start + curve.end) / 2)
    low, high = np.minimum(curve.start_m, curve.end_m), np.maximum(curve.start_m, curve.end_m)
    assert np.all((middle >= low) & (middle <= high))


def test_a_limit_is_passed_where_the_sum_has_it():
    for limit_m in (-1.2, 0.0, 0.7):
        found = STRONG.curve(0.0, 200 * DAY).below(limit_m)
        edges = np.concatenate((found.starts[1:], found.ends[:-1]))
        assert edges.size > 300
        assert np.abs(STRONG.level_m(edges) - limit_m).max() < 1e-6


def test_a_short_dip_under_the_limit_is_found():
    # the lowest low of the month, and a limit one micrometre above it: a dip of some seconds
    curve = STRONG.curve(0.0, 30 * DAY)
    lowest = float(curve.end_m.min())
    found = curve.below(lowest + 1e-6)
    assert found.starts.size == 1
    assert 0.0 < found.ends[0] - found.starts[0] < 1.0


def test_windows_run_through_new_year():
    source = tide(("S2", 1.0, 0.0), epoch=datetime(2025, 12, 31, tzinfo=UTC))
    # S2 is high at midnight; above 0 from 21:00 to 03:00
    found = source.curve(0.0, 2 * DAY).above(0.0)
    assert found.starts.tolist() == pytest.approx([0.0, 540.0, 1260.0, 1980.0, 2700.0])
    assert found.ends.tolist() == pytest.approx([180.0, 900.0, 1620.0, 2340.0, 2880.0])


def test_no_waves_are_still_water():
    still = tide(mean_m=0.4)
    assert still.level_m(np.array([0.0, 1e5])).tolist() == [0.4, 0.4]
    assert still.curve(0.0, DAY).below(0.4).ends.tolist() == [DAY]


def test_a_small_fast_wave_is_followed_in_short_steps():
    source = tide(("M12", 1.0, 0.0), ("M2", 0.01, 0.0))
    found = source.curve(0.0, 10 * DAY).below(0.5)
    edges = np.concatenate((found.starts[1:], found.ends[:-1]))
    assert edges.size > 200
    assert np.abs(source.level_m(edges) - 0.5).max() < 1e-5


def test_an_unknown_name_is_refused_at_once():
    with pytest.raises(ValueError, match="'M99' is not known"):
        tide(("M99", 1.0, 0.0))
