"""Closures: dates, daily hours, nights, part days and clock changes."""

from datetime import date

from planner.access.closures import SITE, Closures, closure_spans
from planner.model.limits import ClosureScope
from tests.builders import clock, closure

H = 60
DAY = 24 * H
HORIZON = 14 * DAY


def spans(calendar=None, **changes):
    calendar = calendar or clock()
    row = closure(**({"to_min": HORIZON} | changes))
    return list(closure_spans(row, calendar, start=0, end=calendar.horizon_min))


def test_without_hours_the_whole_stretch_is_shut():
    assert spans(from_min=DAY + 5, to_min=3 * DAY) == [(DAY + 5, 3 * DAY)]


def test_a_stretch_is_cut_to_the_campaign():
    assert spans(from_min=-5 * DAY, to_min=2 * DAY) == [(0, 2 * DAY)]
    assert spans(from_min=13 * DAY, to_min=99 * DAY) == [(13 * DAY, HORIZON)]
    assert spans(from_min=20 * DAY, to_min=21 * DAY) == []


def test_daily_hours_shut_each_day():
    found = spans(to_min=3 * DAY, start_tod=8 * H, end_tod=10 * H)
    assert found == [(day * DAY + 8 * H, day * DAY + 10 * H) for day in range(3)]


def test_days_without_hours_shut_those_days_whole():
    # 2 March 2026 is a Monday
    assert spans(weekdays=frozenset({5, 6})) == [(5 * DAY, 7 * DAY), (12 * DAY, 14 * DAY)]


def test_a_night_belongs_to_the_day_on_which_it_starts():
    found = spans(weekdays=frozenset({4}), start_tod=20 * H, end_tod=6 * H)
    assert found == [(4 * DAY + 20 * H, 5 * DAY + 6 * H), (11 * DAY + 20 * H, 12 * DAY + 6 * H)]


def test_a_night_curfew_also_holds_in_the_first_small_hours_of_its_stretch():
    found = spans(from_min=DAY, to_min=2 * DAY, start_tod=22 * H, end_tod=6 * H)
    assert found == [(DAY, DAY + 6 * H), (DAY + 22 * H, 2 * DAY)]


def test_hours_are_cut_where_the_stretch_begins_and_ends_within_them():
    found = spans(from_min=9 * H, to_min=DAY + 9 * H, start_tod=8 * H, end_tod=10 * H)
    assert found == [(9 * H, 10 * H), (DAY + 8 * H, DAY + 9 * H)]


def test_equal_hours_shut_the_whole_day_round():
    assert spans(to_min=2 * DAY, start_tod=6 * H, end_tod=6 * H) == [(0, 2 * DAY)]


def test_daily_hours_keep_to_the_civil_clock_over_a_change():
    # London, Saturday 28 to Monday 30 March 2026: Sunday has 23 hours
    calendar = clock(first_day=date(2026, 3, 28), last_day=date(2026, 3, 30))
    found = spans(calendar, start_tod=8 * H, end_tod=10 * H)
    assert found == [
        (8 * H, 10 * H),
        (DAY + 7 * H, DAY + 9 * H),
        (DAY + 23 * H + 8 * H, DAY + 23 * H + 10 * H),
    ]


def test_hours_across_the_change_lose_or_gain_it():
    # Auckland: on Sunday 5 April 2026 the clock goes back from 03:00 to 02:00
    calendar = clock(
        time_zone="Pacific/Auckland", first_day=date(2026, 4, 5), last_day=date(2026, 4, 5)
    )
    assert spans(calendar, start_tod=1 * H, end_tod=4 * H) == [(H, 5 * H)]


def test_targets_are_shut_each_by_its_own_rows():
    book = Closures(
        [
            closure(why="holiday"),
            closure(ClosureScope.ZONE, "Z1", from_min=2 * DAY, to_min=3 * DAY),
            closure(ClosureScope.ZONE, "Z2", from_min=4 * DAY, to_min=5 * DAY),
            closure(ClosureScope.ZONE, "Z3", from_min=30 * DAY, to_min=31 * DAY),
        ],
        clock(),
    )
    first = (ClosureScope.ZONE, "Z1")
    assert list(book.shut([SITE, first])) == [(0, DAY), (2 * DAY, 3 * DAY)]
    assert [row.why for row in book.rows(SITE)] == ["holiday"]
    # a closure outside the campaign is none
    assert book.known([SITE, first, (ClosureScope.ZONE, "Z3")]) == (SITE, first)
