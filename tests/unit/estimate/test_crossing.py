"""Break-even: by algebra where costs are straight lines, between planned points otherwise."""

import pytest

from planner.estimate.crossing import Point, break_even, crossings


def test_two_straight_lines_meet_where_the_algebra_says():
    # 1000 + 900 V = 16000 + 600 V, so V = 15000 / 300 = 50.
    assert break_even(fixed_one=1000, unit_one=900, fixed_other=16000, unit_other=600) == 50.0


@pytest.mark.parametrize(("unit_one", "fixed_one"), [(600.0, 1000.0), (900.0, 20000.0)])
def test_lines_that_run_side_by_side_or_meet_below_nothing_have_no_break_even(unit_one, fixed_one):
    assert (
        break_even(fixed_one=fixed_one, unit_one=unit_one, fixed_other=16000, unit_other=600)
        is None
    )


@pytest.mark.parametrize("values", [(10, 40, 60), (0, 49, 51, 90), (10, 100), (50, 80), (20, 50)])
def test_between_points_on_straight_lines_the_crossing_is_exact(values):
    points = [Point(at=v, one=1000 + 900 * v, other=16000 + 600 * v) for v in values]
    (found,) = crossings(points)
    assert found.at == pytest.approx(50.0)
    assert found.low <= 50.0 <= found.high


def test_points_at_which_one_staging_does_not_do_the_whole_job_are_not_joined():
    points = [
        Point(at=0.0, one=1.0, other=5.0),
        Point(at=1.0, one=None, other=5.0),
        Point(at=2.0, one=9.0, other=5.0),
    ]
    assert crossings(points) == []


def test_the_cheaper_one_may_change_more_than_once():
    points = [Point(at=float(k), one=one, other=2.0) for k, one in enumerate((1.0, 3.0, 1.0))]
    assert [crossing.at for crossing in crossings(points)] == [0.5, 1.5]


def test_equal_curves_have_no_crossing():
    assert crossings([Point(at=1.0, one=2.0, other=2.0), Point(at=2.0, one=3.0, other=3.0)]) == []
