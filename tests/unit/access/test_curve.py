"""Stretches below and above a limit, on curves that can be drawn by hand."""

from itertools import pairwise

import numpy as np
import pytest

from planner.access.curve import Curve, Intervals, common, joined


def polyline(*points):
    """A curve straight between points (minute, level); None leaves a gap."""
    pairs = [(a, b) for a, b in pairwise(points) if a and b]
    (start, start_m), (end, end_m) = (
        np.array([pair[k] for pair in pairs], dtype=float).reshape(-1, 2).T for k in (0, 1)
    )

    def solve(pieces, level_m):
        share = (level_m - start_m[pieces]) / (end_m[pieces] - start_m[pieces])
        return start[pieces] + share * (end[pieces] - start[pieces])

    return Curve(start=start, end=end, start_m=start_m, end_m=end_m, solve=solve)


def pairs(found):
    return list(zip(found.starts.tolist(), found.ends.tolist(), strict=True))


TRIANGLE = polyline((0, 0.0), (10, 10.0), (20, 0.0))


def test_below_a_limit_lie_the_two_flanks():
    assert pairs(TRIANGLE.below(4.0)) == [(0.0, 4.0), (16.0, 20.0)]


def test_above_a_limit_lies_the_top():
    assert pairs(TRIANGLE.above(4.0)) == [(4.0, 16.0)]


def test_a_limit_at_the_top_is_kept_throughout():
    assert pairs(TRIANGLE.below(10.0)) == [(0.0, 20.0)]


def test_a_limit_under_everything_is_never_kept():
    assert pairs(TRIANGLE.below(-0.1)) == []


def test_a_level_that_only_touches_a_limit_from_above_gives_an_instant():
    valley = polyline((0, 5.0), (10, 1.0), (20, 5.0))
    assert pairs(valley.below(1.0)) == [(10.0, 10.0)]


def test_noise_of_binary_fractions_does_not_close_a_level_at_its_limit():
    flat = polyline((0, 1.1 + 0.1), (10, 1.1 + 0.1))
    assert 1.1 + 0.1 > 1.2
    assert pairs(flat.below(1.2)) == [(0.0, 10.0)]


def test_pieces_that_keep_the_limit_join_over_their_common_instant():
    stairs = polyline((0, 1.0), (10, 2.0), (20, 1.5), (30, 3.0))
    assert pairs(stairs.below(2.0)) == [(0.0, pytest.approx(20 + 10 / 3))]


def test_a_gap_is_neither_below_nor_above():
    broken = polyline((0, 1.0), (10, 1.0), None, (30, 1.0), (40, 1.0))
    assert pairs(broken.below(5.0)) == [(0.0, 10.0), (30.0, 40.0)]
    assert pairs(broken.above(0.0)) == [(0.0, 10.0), (30.0, 40.0)]


def test_what_two_sets_share_leaves_single_instants_out():
    a = Intervals(starts=np.array([0.0, 20.0]), ends=np.array([10.0, 30.0]))
    b = Intervals(starts=np.array([5.0, 10.0, 22.0]), ends=np.array([8.0, 20.0, 40.0]))
    assert pairs(common(a, b)) == [(5.0, 8.0), (22.0, 30.0)]


def test_nothing_shares_nothing():
    a = Intervals(starts=np.array([0.0]), ends=np.array([10.0]))
    none = joined(np.empty(0), np.empty(0))
    assert pairs(common(a, none)) == pairs(common(none, a)) == []


def test_stretches_need_as_many_ends_as_starts():
    with pytest.raises(ValueError, match="2 starts but 1 ends"):
        Intervals(starts=np.array([0.0, 1.0]), ends=np.array([2.0]))
