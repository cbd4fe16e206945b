"""Depth of flow by the hourly pattern, over weekends, months, clock changes and full bore."""

from datetime import date
from typing import Any

import numpy as np
import pytest

from planner.access.manning import Pipe
from planner.access.sewer import SewerLevel
from planner.model.water import FlowPattern, SewerSection
from tests.builders import clock

H = 60
DAY = 24 * H
PIPE = Pipe(diameter_m=0.9, slope=0.002, manning_n=0.013)
FLAT = (1.0,) * 24


def section(**changes):
    fields: dict[str, Any] = {
        "section": "A",
        "diameter_m": 0.9,
        "slope": 0.002,
        "manning_n": 0.013,
        "mean_flow_m3_s": 0.1,
    }
    return SewerSection(**(fields | changes))


def sewer(*patterns, calendar=None, **changes):
    rows = patterns or (FlowPattern(weekday=FLAT, weekend=FLAT),)
    return SewerLevel(section(**changes), patterns=rows, clock=calendar or clock())


def hourly(**multipliers):
    """24 ones, but for hours named h0 to h23."""
    return tuple(multipliers.get(f"h{hour}", 1.0) for hour in range(24))


def flows(source, *minutes):
    """Flow as a share of the mean, back from the depth."""
    depths = source.level_m(np.array(minutes, dtype=float))
    return [PIPE.flow_m3_s(float(depth)) / 0.1 for depth in depths]


def test_a_flat_pattern_is_the_depth_of_the_mean_flow():
    depth = sewer().level_m(np.array([0.0, 777.7]))
    assert depth.tolist() == pytest.approx([float(PIPE.depth_m(np.array([0.1]))[0])] * 2)


def test_multipliers_hold_at_half_past_and_run_straight_between():
    source = sewer(FlowPattern(weekday=hourly(h3=0.2, h4=0.6), weekend=FLAT))
    # 02:30 is 1, 03:30 is 0.2, 04:30 is 0.6
    assert flows(source, 150, 210, 240, 270) == pytest.approx([1.0, 0.2, 0.4, 0.6])
    assert flows(source, 180) == pytest.approx([0.6])


def test_midnight_between_friday_and_saturday_joins_both_columns():
    source = sewer(FlowPattern(weekday=FLAT, weekend=(2.0,) * 24))
    # Friday 23:30 has 1, Saturday 00:30 has 2: at midnight half way
    saturday = 5 * DAY
    assert flows(source, saturday - 30, saturday, saturday + 30) == pytest.approx([1.0, 1.5, 2.0])
    monday = 7 * DAY
    assert flows(source, monday - 30, monday, monday + 30) == pytest.approx([2.0, 1.5, 1.0])


def test_the_most_particular_pattern_counts():
    rows = (
        FlowPattern(weekday=(1.0,) * 24, weekend=FLAT),
        FlowPattern(weekday=(1.1,) * 24, weekend=FLAT, month=3),
        FlowPattern(weekday=(1.2,) * 24, weekend=FLAT, section="A"),
        FlowPattern(weekday=(1.3,) * 24, weekend=FLAT, section="A", month=3),
        FlowPattern(weekday=(9.0,) * 24, weekend=FLAT, section="B", month=3),
    )
    for count, multiplier in ((4, 1.3), (3, 1.2), (2, 1.1), (1, 1.0)):
        assert flows(sewer(*rows[:count]), 600) == pytest.approx([multiplier])


def test_a_month_begins_at_its_own_midnight():
    calendar = clock(first_day=date(2026, 3, 30), last_day=date(2026, 4, 2))
    rows = (
        FlowPattern(weekday=FLAT, weekend=FLAT),
        FlowPattern(weekday=(2.0,) * 24, weekend=FLAT, month=4),
    )
    april = 2 * DAY
    assert flows(sewer(*rows, calendar=calendar), april - 30, april, april + 30) == pytest.approx(
        [1.0, 1.5, 2.0]
    )


def test_without_a_pattern_the_depth_is_not_known():
    source = sewer(FlowPattern(weekday=FLAT, weekend=FLAT, section="B"))
    assert np.isnan(source.level_m(np.array([0.0, 600.0]))).all()
    assert source.curve(0.0, DAY).below(9.0).starts.size == 0


def test_the_hour_that_does_not_occur_has_no_centre():
    # London, Sunday 29 March 2026: 01:00 to 02:00 does not occur
    calendar = clock(first_day=date(2026, 3, 29), last_day=date(2026, 3, 29))
    source = sewer(
        FlowPattern(weekday=FLAT, weekend=hourly(h0=0.5, h1=9.0, h2=0.7)), calendar=calendar
    )
    # 00:30 is minute 30, 02:30 is minute 90: straight from 0.5 to 0.7
    assert flows(source, 30, 60, 90) == pytest.approx([0.5, 0.6, 0.7])


def test_the_hour_that_occurs_twice_has_two_centres():
    # London, Sunday 25 October 2026: 01:00 to 02:00 occurs twice
    calendar = clock(first_day=date(2026, 10, 25), last_day=date(2026, 10, 25))
    source = sewer(
        FlowPattern(weekday=FLAT, weekend=hourly(h0=0.5, h1=0.9, h2=0.7)), calendar=calendar
    )
    assert flows(source, 30, 90, 120, 150, 210) == pytest.approx([0.5, 0.9, 0.9, 0.9, 0.7])


def test_half_past_the_local_hour_counts_where_zones_are_off_by_half_an_hour():
    source = sewer(
        FlowPattern(weekday=hourly(h3=0.2), weekend=FLAT),
        calendar=clock(time_zone="Asia/Kolkata"),
    )
    assert flows(source, 210) == pytest.approx([0.2])  # 03:30 in India, 22:00 UTC


def test_flow_above_full_bore_is_closed():
    full = PIPE.full_flow_m3_s / 0.1
    source = sewer(FlowPattern(weekday=hourly(h8=2 * full), weekend=FLAT))
    depths = source.level_m(np.array([8 * H + 30.0, 12 * H]))
    assert depths[0] == np.inf
    assert depths[1] < 0.9
    found = source.curve(0.0, DAY).below(np.inf)
    # full bore is passed where the line from 1 at 07:30 to 2 x full at 08:30 meets full
    up = 450 + 60 * (full - 1) / (2 * full - 1)
    assert found.ends[0] == pytest.approx(up)
    assert found.starts[1] == pytest.approx(510 + (510 - up))


def test_depth_limits_are_met_where_the_flow_line_meets_their_flow():
    source = sewer(FlowPattern(weekday=hourly(h3=0.2), weekend=FLAT))
    limit_m = float(PIPE.depth_m(np.array([0.06]))[0])  # 0.6 of the mean: half way down
    found = source.curve(0.0, DAY).below(limit_m)
    assert found.starts.tolist() == pytest.approx([180.0])
    assert found.ends.tolist() == pytest.approx([240.0])


def test_a_velocity_limit_closes_the_time_above_it():
    speed = PIPE.velocity_m_s(float(PIPE.depth_m(np.array([0.06]))[0]))
    source = sewer(FlowPattern(weekday=hourly(h3=0.2), weekend=FLAT), velocity_max_m_s=speed)
    assert source.too_fast(np.array([150.0, 179.0, 181.0, 210.0, 241.0])).tolist() == [
        True,
        True,
        False,
        False,
        True,
    ]


def test_without_velocity_limits_nothing_is_too_fast():
    assert sewer().cap_m is None
    assert not sewer().too_fast(np.array([0.0, 100.0])).any()


def test_levels_are_known_long_before_and_after_the_campaign():
    minutes = np.array([-400.0 * DAY, 900.0 * DAY])
    assert np.isfinite(sewer().level_m(minutes)).all()
    assert sewer().level_m(np.empty(0)).size == 0
