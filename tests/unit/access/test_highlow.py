"""Half a cosine between high and low waters."""

from math import cos, pi

import numpy as np
import pytest

from planner.access.highlow import HighLowLevel
from planner.model.water import Extreme

TABLE = (
    Extreme(minute=0.0, level_m=1.0, is_high=False),
    Extreme(minute=360.0, level_m=5.0, is_high=True),
    Extreme(minute=720.0, level_m=2.0, is_high=False),
)


def level(extremes=TABLE, **changes):
    fields = {"high_shift_min": 0.0, "low_shift_min": 0.0, "range_factor": 1.0, "datum_m": 0.0}
    return HighLowLevel(extremes, **(fields | changes))


def at(source, *minutes):
    return source.level_m(np.array(minutes, dtype=float)).tolist()


def test_the_table_is_met_at_its_times():
    assert at(level(), 0, 360, 720) == [1.0, 5.0, 2.0]


def test_half_way_in_time_the_level_is_half_way():
    assert at(level(), 180, 540) == pytest.approx([3.0, 3.5])


def test_a_third_of_the_way_up_a_quarter_of_the_rise_is_done():
    # (1 - cos 60°) / 2 = 1/4
    assert at(level(), 120) == pytest.approx([1.0 + 4.0 * (1 - cos(pi / 3)) / 2])
    assert at(level(), 120) == pytest.approx([2.0])


def test_outside_the_table_nothing_is_known():
    assert np.isnan(at(level(), -0.1, 720.1)).all()


def test_highs_and_lows_shift_each_by_its_own():
    source = level(high_shift_min=30.0, low_shift_min=-20.0)
    assert at(source, -20, 390, 700) == [1.0, 5.0, 2.0]


def test_the_factor_multiplies_heights_above_the_tables_zero():
    assert at(level(range_factor=0.8, datum_m=-1.0), 0, 360) == pytest.approx([-0.2, 3.0])


def test_the_level_passes_a_limit_where_the_cosine_says():
    found = level().curve(0.0, 720.0).below(2.0)
    assert found.starts.tolist() == [0.0, 720.0]
    assert found.ends.tolist() == pytest.approx([120.0, 720.0])


def test_a_hole_of_more_than_thirty_hours_is_closed():
    rows = (*TABLE, Extreme(minute=720.0 + 1801, level_m=4.0, is_high=True))
    assert np.isnan(at(level(rows), 1000)).all()
    assert level(rows).curve(0.0, 3000.0).end[-1] == 720.0


def test_shifts_that_put_a_high_behind_the_next_low_are_refused():
    with pytest.raises(ValueError, match="point 3 is not after point 2"):
        level(high_shift_min=360.0)


def test_no_velocity_limit_applies():
    assert not level().too_fast(np.array([0.0, 100.0])).any()


def test_an_empty_table_tells_nothing():
    assert np.isnan(at(level(()), 0, 100)).all()
    assert level(()).curve(0.0, 100.0).below(9.0).starts.size == 0
