"""Exact edges become whole minutes, inwards."""

import numpy as np

from planner.access.curve import Intervals
from planner.access.edges import long_enough, spans_of, whole_minutes


def stretch(start, end):
    return Intervals(starts=np.array([start]), ends=np.array([end]))


def inward(start, end, keeps=None):
    return list(spans_of(*whole_minutes(stretch(start, end), keeps)))


def test_edges_move_inwards():
    assert inward(10.2, 19.8) == [(11, 19)]


def test_whole_edges_stay():
    assert inward(10.0, 20.0) == [(10, 20)]


def test_noise_behind_the_sixth_decimal_is_none():
    assert inward(10.0000004, 19.9999996) == [(10, 20)]
    assert inward(10.000001, 19.999999) == [(11, 19)]


def test_less_than_a_whole_minute_is_nothing():
    assert inward(10.2, 10.9) == []


def test_lengths_are_compared_before_rounding():
    assert long_enough(stretch(10.5, 55.5), 45).starts.size == 1  # 44 whole minutes in it
    assert long_enough(stretch(10.5, 55.4), 45).starts.size == 0
    assert long_enough(stretch(0.1, 45.1 - 1e-9), 45).starts.size == 1


def test_a_whole_edge_at_which_the_limit_is_broken_is_left_out():
    def keeps(minutes, slack_m):  # noqa: ARG001  a step of the level has no slack
        return minutes < 20

    assert inward(10.0, 20.0, keeps) == [(10, 19)]
    assert inward(10.0, 20.5, keeps) == [(10, 20)]  # not asked: the edge lies inside


def test_a_limit_kept_half_a_decimal_before_a_whole_edge_is_kept_there():
    def keeps(minutes, slack_m):
        return 1e-2 * (minutes - 20) <= slack_m  # 1 cm a minute, over the limit just after 20

    assert inward(10.0, 20.0 + 4e-7, keeps) == [(10, 20)]
