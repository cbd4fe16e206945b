"""Air temperature by hours; campaign from Monday 2 March 2026."""

import numpy as np
import pytest

from planner.access.air import Air
from planner.model.conditions import AirTemperature, MonthNormal, Reading
from tests.builders import clock

DAY = 24 * 60
MARCH = MonthNormal(month=3, low_c=4.0, high_c=12.0)


def air(*readings, normals=(MARCH,)):
    series = tuple(Reading(minute=minute, value=value) for minute, value in readings)
    return Air(AirTemperature(min_c=None, max_c=None, series=series, normals=normals), clock())


def test_normals_are_coldest_at_six_and_warmest_at_three():
    found = air().celsius(np.array([360.0, 900.0, 630.0]))
    assert found == pytest.approx([4.0, 12.0, 8.0])  # 10:30 lies half way


def test_a_series_counts_before_normals_where_it_knows():
    found = air((300, 20.0), (420, 22.0)).celsius(np.array([360.0, 900.0]))
    assert found == pytest.approx([21.0, 12.0])


def test_hours_end_with_what_is_left_over():
    steps = air((0, 0.0), (120, 12.0), (240, 24.0)).hourly(0, 2.5)
    assert [hours for hours, _ in steps] == [1.0, 1.0, 0.5]
    assert [celsius for _, celsius in steps] == pytest.approx([3.0, 9.0, 13.5])


def test_what_is_not_known_is_none():
    assert Air(None, clock()).hourly(0, 2.0) is None
    assert air(normals=()).hourly(0, 2.0) is None
    assert air(normals=(MARCH,)).hourly(40 * DAY, 48.0) is None  # April has no normals


def test_curing_may_go_on_after_the_campaign():
    april = MonthNormal(month=4, low_c=6.0, high_c=14.0)
    steps = air(normals=(MARCH, april)).hourly(13 * DAY, 28 * 24.0)
    assert len(steps) == 28 * 24
    assert 7.0 < sum(celsius for _, celsius in steps) / len(steps) < 11.0
