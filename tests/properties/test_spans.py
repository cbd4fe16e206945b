"""Sets of minutes against plain Python sets of whole numbers, minute by minute."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.core.spans import Spans

pytestmark = pytest.mark.property

LOW, HIGH = -5, 45
minutes = st.integers(LOW, HIGH)
pairs = st.lists(st.tuples(minutes, minutes), max_size=8)
some = pairs.map(Spans)
lengths = st.integers(1, 15)


def plain(spans: Spans) -> set[int]:
    """The minutes one by one."""
    return {minute for start, end in spans for minute in range(start, end)}


def stretches(wanted: set[int]) -> list[tuple[int, int]]:
    """Maximal runs of neighbouring whole numbers, half-open."""
    starts = sorted(minute for minute in wanted if minute - 1 not in wanted)
    ends = sorted(minute + 1 for minute in wanted if minute + 1 not in wanted)
    return list(zip(starts, ends, strict=True))


@given(pairs)
def test_a_set_holds_the_minutes_of_its_pairs_in_sorted_spans_that_never_touch(drawn):
    spans = Spans(drawn)
    assert plain(spans) == {minute for start, end in drawn for minute in range(start, end)}
    assert all(start < end for start, end in spans)
    assert all(one[1] < other[0] for one, other in pairwise(spans))
    assert spans.minutes() == len(plain(spans))


@given(some, some)
def test_union_intersection_and_difference_are_those_of_sets(one, other):
    assert list(one | other) == stretches(plain(one) | plain(other))
    assert list(one & other) == stretches(plain(one) & plain(other))
    assert list(one - other) == stretches(plain(one) - plain(other))


@given(some, minutes, minutes)
def test_clip_and_complement_share_out_a_stretch(spans, start, end):
    inside = set(range(start, end))
    assert list(spans.clip(start, end)) == stretches(plain(spans) & inside)
    assert list(spans.complement(start, end)) == stretches(inside - plain(spans))


@given(some, minutes)
def test_a_minute_is_in_the_set_when_a_span_lies_around_it(spans, minute):
    around = next(((a, b) for a, b in stretches(plain(spans)) if a <= minute < b), None)
    assert (minute in spans) == (minute in plain(spans))
    assert spans.around(minute) == around


@given(some, minutes, minutes)
def test_covers_asks_for_every_minute_and_touches_for_any(spans, start, end):
    asked = set(range(start, end))
    assert spans.covers(start, end) == (asked <= plain(spans))
    assert spans.touches(start, end) == bool(asked & plain(spans))


@given(some, st.integers(-6, 12), st.integers(-6, 12))
def test_shrink_moves_both_ends_of_each_span_inward(spans, first, last):
    moved = {minute for start, end in spans for minute in range(start + first, end - last)}
    assert list(spans.shrink(first=first, last=last)) == stretches(moved)


@given(some, st.integers(0, 12), st.integers(0, 12))
def test_grow_moves_both_ends_of_each_span_outward(spans, before, after):
    moved = {minute for start, end in spans for minute in range(start - before, end + after)}
    assert list(spans.grow(before=before, after=after)) == stretches(moved)


@given(some, lengths)
def test_spans_of_a_length_are_those_that_a_shrink_by_less_leaves(spans, length):
    kept = [(a, b) for a, b in stretches(plain(spans)) if b - a >= length]
    assert list(spans.at_least(length)) == kept


@given(some, minutes, lengths)
def test_the_first_fit_is_the_least_start_whose_every_minute_is_there(spans, after, length):
    starts = [s for s in range(after, HIGH) if set(range(s, s + length)) <= plain(spans)]
    assert spans.first_fit(after, length) == min(starts, default=None)


@given(some, minutes, lengths)
def test_the_last_fit_is_the_greatest_start_that_ends_in_time(spans, before, length):
    starts = [
        s for s in range(LOW, before - length + 1) if set(range(s, s + length)) <= plain(spans)
    ]
    assert spans.last_fit(before, length) == max(starts, default=None)


@given(some, st.integers(LOW - 3, HIGH + 3))
def test_the_minutes_before_a_minute_are_those_below_it(spans, minute):
    assert spans.minutes_before(minute) == sum(one < minute for one in plain(spans))


@given(some, st.integers(0, 60))
def test_the_nth_minute_is_the_least_with_so_many_before_it(spans, count):
    held = sorted(plain(spans))
    wanted: int | None
    if count == 0:
        wanted = held[0] if held else None
    else:
        wanted = held[count - 1] + 1 if count <= len(held) else None
    assert spans.nth_minute(count) == wanted


@given(some, some)
def test_equal_minutes_are_equal_sets(one, other):
    assert (one == other) == (plain(one) == plain(other))
    if one == other:
        assert hash(one) == hash(other)
