"""Measuring a set of minutes in many stretches at once."""

from __future__ import annotations

import numpy as np

from planner.core.spans import Spans
from planner.optimise.bounds.ruler import Ruler


def hulls(pairs: list[tuple[int, int]], *stretches: tuple[int, int]) -> list[tuple[int, int]]:
    low, high = (np.array(side, dtype=np.int64) for side in zip(*stretches, strict=True))
    first, last = Ruler(Spans(pairs)).hull(low, high)
    return list(zip(first.tolist(), last.tolist(), strict=True))


def test_the_hull_goes_from_the_first_minute_to_the_last_one():
    assert hulls([(10, 20), (30, 40)], (0, 100)) == [(10, 40)]


def test_a_stretch_cuts_what_reaches_beyond_it():
    assert hulls([(10, 20), (30, 40)], (15, 35), (12, 18)) == [(15, 35), (12, 18)]


def test_a_stretch_that_ends_between_two_spans_ends_with_the_first():
    assert hulls([(10, 20), (30, 40)], (0, 25), (22, 100)) == [(10, 20), (30, 40)]


def test_where_nothing_lies_in_a_stretch_both_ends_are_its_start():
    empty = [(0, 10), (20, 30), (40, 90)]
    assert hulls([(10, 20), (30, 40)], *empty) == [(0, 0), (20, 20), (40, 40)]
    assert hulls([], (5, 9)) == [(5, 5)]


def test_every_hull_is_that_of_plain_counting():
    spans = [(3, 5), (8, 9), (12, 20)]
    minutes = {m for a, b in spans for m in range(a, b)}
    stretches = [(a, b) for a in range(24) for b in range(a + 1, 25)]
    for (low, high), found in zip(stretches, hulls(spans, *stretches), strict=True):
        inside = sorted(m for m in minutes if low <= m < high)
        assert found == ((inside[0], inside[-1] + 1) if inside else (low, low))
