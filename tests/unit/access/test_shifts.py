"""Occurrences of shifts, also over midnight, clock changes and the campaign's ends."""

from datetime import date

import pytest

from planner.access.shifts import shift_spans
from tests.builders import clock, shift

H = 60
DAY = 24 * H


def test_a_day_shift_occurs_once_a_day():
    spans = shift_spans(shift(), clock())
    assert len(spans) == 14
    assert spans[:2] == ((6 * H, 18 * H), (DAY + 6 * H, DAY + 18 * H))


def test_only_its_weekdays_start_it():
    monday_and_friday = shift(weekdays=frozenset({0, 4}))
    assert [start // DAY for start, _ in shift_spans(monday_and_friday, clock())] == [0, 4, 7, 11]


def test_a_night_shift_is_cut_at_the_first_and_last_midnight():
    spans = shift_spans(shift(start_tod=22 * H, end_tod=6 * H), clock())
    assert spans[0] == (0, 6 * H)  # began on the Sunday before
    assert spans[1] == (22 * H, DAY + 6 * H)
    assert spans[-1] == (13 * DAY + 22 * H, 14 * DAY)
    assert len(spans) == 15


def test_a_night_shift_of_monday_does_not_begin_on_the_sunday_before():
    spans = shift_spans(shift(weekdays=frozenset({0}), start_tod=22 * H, end_tod=6 * H), clock())
    assert spans == ((22 * H, DAY + 6 * H), (7 * DAY + 22 * H, 8 * DAY + 6 * H))


def test_equal_times_last_a_whole_day_and_stay_separate():
    spans = shift_spans(shift(start_tod=7 * H, end_tod=7 * H), clock())
    assert spans[:3] == ((0, 7 * H), (7 * H, DAY + 7 * H), (DAY + 7 * H, 2 * DAY + 7 * H))


@pytest.mark.parametrize(
    ("time_zone", "day", "minutes"),
    [
        ("Europe/London", date(2026, 3, 28), 7 * H),  # clocks go forward at 01:00
        ("Europe/London", date(2026, 10, 24), 9 * H),  # and back at 02:00
        ("Pacific/Auckland", date(2026, 9, 26), 7 * H),  # southern spring
        ("Pacific/Auckland", date(2026, 4, 4), 9 * H),
        ("Australia/Lord_Howe", date(2026, 10, 3), 7 * H + 30),  # half an hour
        ("Asia/Kolkata", date(2026, 3, 28), 8 * H),
    ],
)
def test_a_night_shift_over_a_clock_change_is_as_long_as_the_night(time_zone, day, minutes):
    calendar = clock(time_zone=time_zone, first_day=day, last_day=date(day.year, 12, 31))
    night = shift(weekdays=frozenset({day.weekday()}), start_tod=22 * H, end_tod=6 * H)
    start, end = shift_spans(night, calendar)[0]
    assert start == 22 * H
    assert end - start == minutes


def test_a_shift_within_the_hour_that_does_not_occur_is_left_out():
    calendar = clock(first_day=date(2026, 3, 29), last_day=date(2026, 3, 29))
    # 01:30 is read as 02:30 summer time, behind 02:15
    assert shift_spans(shift(start_tod=90, end_tod=135), calendar) == ()
