"""A circular pipe: depth for flow and back, and depths at which limits are reached."""

import numpy as np
import pytest

from planner.access.manning import FASTEST_DEPTH, FULL_DEPTH, Pipe

PIPE = Pipe(diameter_m=1.2, slope=0.0025, manning_n=0.013)


def cap(velocity=None, product=None):
    return PIPE.depth_cap_m(velocity_max_m_s=velocity, depth_velocity_max_m2_s=product)


@pytest.mark.parametrize("share", [1e-9, 1e-4, 0.01, 0.1, 0.3, 0.5, 0.9, 0.999, 1.0])
def test_depth_and_flow_are_each_others_inverse(share):
    flow = share * PIPE.full_flow_m3_s
    depth_m = float(PIPE.depth_m(np.array([flow]))[0])
    assert 0 < depth_m <= FULL_DEPTH * PIPE.diameter_m + 1e-12
    assert PIPE.flow_m3_s(depth_m) == pytest.approx(flow, rel=1e-9)


def test_half_full_carries_half_at_the_full_velocity():
    assert PIPE.flow_m3_s(0.6) == pytest.approx(PIPE.full_flow_m3_s / 2)
    assert PIPE.velocity_m_s(0.6) == pytest.approx(PIPE.velocity_m_s(1.2))


def test_an_empty_pipe_stands_still():
    assert PIPE.depth_m(np.array([0.0])).tolist() == [0.0]
    assert PIPE.velocity_m_s(0.0) == PIPE.flow_m3_s(0.0) == PIPE.flow_m3_s(-1.0) == 0.0


def test_more_than_full_has_no_depth_and_unknown_flow_none_either():
    found = PIPE.depth_m(np.array([PIPE.full_flow_m3_s * 1.001, np.nan]))
    assert found[0] == np.inf
    assert np.isnan(found[1])


def test_full_velocity_by_hand():
    # R = 1.2 / 4 = 0.3; 0.3^(2/3) = 0.44814; sqrt 0.0025 = 0.05; 0.44814 x 0.05 / 0.013 = 1.7236
    assert PIPE.velocity_m_s(1.2) == pytest.approx(1.7236, abs=1e-4)


def test_a_velocity_limit_caps_the_depth_at_which_it_is_reached():
    depth_m = cap(velocity=1.0)
    assert depth_m is not None
    assert PIPE.velocity_m_s(depth_m) == pytest.approx(1.0)
    assert depth_m < FASTEST_DEPTH * PIPE.diameter_m


def test_a_velocity_that_is_never_reached_caps_nothing():
    assert cap(velocity=2.0) is None  # at most 1.14 x 1.7236 = 1.965


def test_depth_times_velocity_caps_the_depth_at_which_it_is_reached():
    depth_m = cap(product=0.25)
    assert depth_m is not None
    assert depth_m * PIPE.velocity_m_s(depth_m) == pytest.approx(0.25)


def test_the_stricter_of_two_limits_counts():
    assert cap(velocity=1.0, product=0.1) == cap(product=0.1)
    assert cap(velocity=0.3, product=5.0) == cap(velocity=0.3)


def test_no_limit_no_cap():
    assert cap() is None
