"""Sets of minutes: what stays, what joins, what is found."""

import pytest

from planner.core.spans import Spans


def test_spans_that_touch_or_overlap_become_one_and_empty_ones_vanish():
    assert list(Spans([(8, 9), (0, 3), (3, 4), (2, 5), (6, 6), (7, 6)])) == [(0, 5), (8, 9)]


def test_a_span_holds_its_first_minute_and_not_its_end():
    spans = Spans([(2, 5)])
    assert [minute in spans for minute in (1, 2, 4, 5)] == [False, True, True, False]
    assert spans.around(5) is None
    assert spans.around(4) == (2, 5)


def test_equal_sets_are_equal_and_hash_alike_however_they_were_written():
    one, other = Spans([(0, 2), (2, 4)]), Spans.whole(0, 4)
    assert one == other
    assert hash(one) == hash(other)
    assert len({one, other}) == 1
    assert one != Spans.whole(0, 5)
    assert one != "[(0, 4)]"


def test_nothing_is_false_and_has_no_spans():
    assert not Spans()
    assert not Spans.whole(3, 3)
    assert len(Spans([(0, 1), (2, 3)])) == 2


def test_a_set_reads_as_its_spans():
    assert repr(Spans([(5, 9), (0, 3)])) == "Spans([(0, 3), (5, 9)])"


def test_shrinking_drops_what_would_be_empty_and_growing_joins_neighbours():
    spans = Spans([(0, 10), (20, 25)])
    assert list(spans.shrink(first=2, last=3)) == [(2, 7)]  # 25 - 20 = 2 + 3: nothing is left
    assert list(spans.grow(before=4, after=6)) == [(-4, 31)]  # 10 + 6 = 20 - 4: they touch
    assert list(spans.grow(before=3, after=6)) == [(-3, 16), (17, 31)]


def test_shrinking_by_less_than_nothing_lengthens():
    assert list(Spans([(0, 4), (6, 9)]).shrink(first=-1, last=-1)) == [(-1, 10)]


def test_only_spans_as_long_as_asked_stay():
    assert list(Spans([(0, 4), (10, 15), (20, 26)]).at_least(5)) == [(10, 15), (20, 26)]


def test_a_stretch_is_covered_only_by_one_span_without_a_gap():
    spans = Spans([(0, 4), (5, 9)])
    assert spans.covers(5, 9)
    assert not spans.covers(3, 6)
    assert not spans.covers(8, 10)
    assert not spans.covers(-1, 2)
    assert spans.covers(4, 4)  # an empty stretch asks for nothing


def test_a_stretch_that_only_meets_a_span_at_its_edge_does_not_touch_it():
    spans = Spans([(10, 20)])
    assert not spans.touches(0, 10)
    assert not spans.touches(20, 30)
    assert spans.touches(19, 20)
    assert not spans.touches(15, 15)


def test_the_first_fit_is_the_earliest_start_from_a_minute_on():
    spans = Spans([(0, 5), (10, 20)])
    assert spans.first_fit(2, 3) == 2
    assert spans.first_fit(3, 3) == 10
    assert spans.first_fit(12, 8) == 12
    assert spans.first_fit(13, 8) is None


def test_the_last_fit_is_the_latest_start_that_ends_by_a_minute():
    spans = Spans([(0, 5), (10, 20)])
    assert spans.last_fit(30, 10) == 10
    assert spans.last_fit(15, 4) == 11
    assert spans.last_fit(12, 4) == 1
    assert spans.last_fit(3, 4) is None


@pytest.mark.parametrize(
    ("minute", "before"), [(-5, 0), (0, 0), (3, 3), (5, 5), (8, 5), (12, 7), (99, 15)]
)
def test_the_minutes_before_a_minute_are_counted(minute, before):
    assert Spans([(0, 5), (10, 20)]).minutes_before(minute) == before


def test_the_nth_minute_is_where_so_many_minutes_have_gone_by():
    spans = Spans([(2, 5), (10, 20)])
    assert spans.nth_minute(0) == 2
    assert spans.nth_minute(3) == 5
    assert spans.nth_minute(4) == 11
    assert spans.nth_minute(13) == 20
    assert spans.nth_minute(14) is None
    assert Spans().nth_minute(0) is None
    assert Spans().nth_minute(1) is None
