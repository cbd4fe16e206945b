"""A series of levels, straight between its points."""

import numpy as np
import pytest

from planner.access.series import SeriesLevel
from planner.model.water import LevelPoint


def series(*points, datum_m=0.0):
    rows = tuple(LevelPoint(minute=float(m), level_m=level) for m, level in points)
    return SeriesLevel(rows, datum_m=datum_m)


def at(source, *minutes):
    return source.level_m(np.array(minutes, dtype=float)).tolist()


def test_between_points_the_level_is_linear_above_the_datum():
    assert at(series((0, 1.0), (100, 2.0), datum_m=-0.5), 0, 25, 100) == [0.5, 0.75, 1.5]


def test_a_gap_of_three_hours_is_bridged():
    assert at(series((0, 1.0), (180, 2.0)), 90) == [1.5]


def test_a_gap_of_more_than_three_hours_is_closed_between_its_ends():
    source = series((0, 1.0), (60, 1.0), (241, 2.0), (300, 2.0))
    assert np.isnan(at(source, 61, 150, 240)).all()
    assert at(source, 60, 241) == [1.0, 2.0]
    found = source.curve(0.0, 300.0).below(9.0)
    assert (found.starts.tolist(), found.ends.tolist()) == ([0.0, 241.0], [60.0, 300.0])


def test_outside_the_series_nothing_is_known():
    assert np.isnan(at(series((0, 1.0), (60, 1.0)), -1, 61)).all()


def test_a_single_point_tells_its_own_instant_only():
    assert at(series((10, 1.0)), 10) == [1.0]
    assert np.isnan(at(series((10, 1.0)), 9, 11)).all()


def test_the_level_passes_a_limit_where_the_line_does():
    found = series((0, 0.0), (90, 3.0), (180, 0.0)).curve(0.0, 180.0).below(1.0)
    assert (found.starts.tolist(), found.ends.tolist()) == ([0.0, 150.0], [30.0, 180.0])


def test_points_out_of_order_are_refused():
    with pytest.raises(ValueError, match="point 3 is not after point 2"):
        series((0, 1.0), (60, 1.0), (60, 2.0))
