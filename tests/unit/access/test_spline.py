"""Cubics through levels and slopes: every turn, also two within one step."""

import numpy as np
import pytest

from planner.access.spline import Grid, spline_curve


def grid(start, step, levels, slopes_per_minute):
    return Grid(
        start_min=start,
        step_min=step,
        level_m=np.array(levels, dtype=float),
        slope_m=np.array(slopes_per_minute, dtype=float) * step,
    )


def test_a_rise_without_turn_is_one_piece():
    curve = spline_curve([grid(0.0, 10.0, [0.0, 10.0, 20.0], [1.0, 1.0, 1.0])])
    assert (curve.start.tolist(), curve.end.tolist()) == ([0.0], [20.0])
    assert (curve.start_m.tolist(), curve.end_m.tolist()) == ([0.0], [20.0])


def test_a_parabola_turns_at_its_top():
    # y = t (20 - t) / 10 on [0, 20] in one step: slope 2 and -2, top 10 at t = 10
    curve = spline_curve([grid(0.0, 20.0, [0.0, 0.0], [2.0, -2.0])])
    assert curve.end.tolist() == pytest.approx([10.0, 20.0])
    assert curve.end_m.tolist() == pytest.approx([10.0, 0.0])


def test_two_turns_within_one_step_are_both_found():
    # y = x³ - x on [-1, 1]: both ends rise at slope 2, between them it turns at x = ±1/√3
    curve = spline_curve([grid(-1.0, 2.0, [0.0, 0.0], [2.0, 2.0])])
    turn = 1 / np.sqrt(3)
    assert curve.end.tolist() == pytest.approx([-turn, turn, 1.0])
    assert curve.end_m[:2].tolist() == pytest.approx([2 / 3 * turn, -2 / 3 * turn])


def test_a_passing_is_found_in_the_cell_that_holds_it():
    # y = t² / 100 in three steps of 10
    times = np.array([0.0, 10.0, 20.0, 30.0])
    curve = spline_curve([grid(0.0, 10.0, times**2 / 100, times / 50)])
    found = curve.below(4.84)
    assert found.ends.tolist() == pytest.approx([22.0])


def test_grids_that_follow_each_other_share_their_instant_even_where_the_level_steps():
    first = grid(0.0, 10.0, [0.0, 1.0], [0.1, 0.1])
    second = grid(10.0, 10.0, [1.2, 2.2], [0.1, 0.1])
    curve = spline_curve([first, second])
    assert curve.end[0] == curve.start[1] == 10.0
    # below 1.1: all of the first, nothing of the second
    assert curve.below(1.1).ends.tolist() == [10.0]
    # below 1.5: through the step into the second
    assert curve.below(1.5).ends.tolist() == pytest.approx([13.0])
    assert curve.below(1.5).starts.tolist() == [0.0]


def test_still_water_keeps_its_limit_throughout():
    curve = spline_curve([grid(0.0, 10.0, [1.0, 1.0, 1.0], [0.0, 0.0, 0.0])])
    assert curve.below(1.0).starts.tolist() == [0.0]
    assert curve.below(1.0).ends.tolist() == [20.0]
    assert curve.below(0.9).starts.size == 0
