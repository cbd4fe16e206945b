"""Days from the first to the last of some turns, and days without work between them."""

from __future__ import annotations

from itertools import combinations

import pytest

from planner.optimise.bounds.stretches import least_days, least_idle, lines_below


def test_two_turns_on_neighbouring_days_take_two_days():
    assert least_days([(0, 0), (1, 1), (5, 5)]) == [0, 1, 2, 6]


def test_turns_over_midnight_may_touch_the_day_that_suits():
    # work of the first may lie on day 1 only, so may that of the second
    assert least_days([(0, 1), (1, 2), (2, 3)]) == [0, 1, 1, 2]


def test_days_that_no_work_can_touch_are_idle_between():
    assert least_idle([(0, 0), (1, 1), (4, 4)], {0, 1, 4}) == [0, 0, 0, 2]
    assert least_idle([(0, 0), (1, 1), (4, 4)], {0, 1, 2, 4}) == [0, 0, 0, 1]
    assert least_idle([], ()) == [0]


@pytest.mark.parametrize("rows", [[(0, 0), (2, 3), (3, 3), (7, 8)], [(1, 4), (2, 2), (9, 9)]])
def test_no_choice_of_turns_takes_fewer_days(rows: list[tuple[int, int]]):
    for n, least in enumerate(least_days(rows)[1:], start=1):
        for chosen in combinations(rows, n):
            earliest, latest = min(b for _, b in chosen), max(a for a, _ in chosen)
            assert least <= max(1, latest - earliest + 1)


def test_lines_lie_below_the_values_and_touch_their_hull():
    values = [0, 1, 1, 2, 6]
    lines = lines_below(values)
    for n, value in enumerate(values):
        assert max(slope * n + constant for slope, constant in lines) <= value + 1e-12
    # from (0, 0) to (2, 1), on to (3, 2), on to (4, 6)
    assert lines == [(0.5, 0.0), (1.0, -1.0), (4.0, -10.0)]
