"""Days as rows: what lies on which row, at which hour, also where the clock is changed."""

from datetime import date

import pytest

from planner.plan.plan import Plan
from planner.reports.day_rows import NOON_TOD, DayRows, Piece, rows_for
from tests import builders as make

DAY = 1440


def test_a_stretch_within_a_day_is_one_piece():
    rows = DayRows(make.clock())
    assert rows.pieces(DAY + 390, DAY + 456) == [Piece(row=1, start_h=6.5, end_h=7.6)]


def test_a_stretch_over_midnight_is_cut_there():
    rows = DayRows(make.clock())
    assert rows.pieces(1380, 1500) == [
        Piece(row=0, start_h=23.0, end_h=24.0),
        Piece(row=1, start_h=0.0, end_h=1.0),
    ]


def test_rows_from_noon_keep_a_night_whole():
    rows = DayRows(make.clock(), start_tod=NOON_TOD)
    assert rows.days[0] == date(2026, 3, 1)
    assert rows.pieces(1380, 1500) == [Piece(row=1, start_h=11.0, end_h=13.0)]
    assert rows.name(1) == "Mon to Tue 3 Mar"
    assert rows.hour_label(11.0) == "23:00"


def test_nothing_is_drawn_in_the_hour_that_the_clock_leaps():
    clock = make.clock(first_day=date(2026, 3, 28), last_day=date(2026, 3, 30))
    rows = DayRows(clock)
    # Sunday 29 March: 00:30 to 03:30 by the wall clock lasts two hours
    assert rows.pieces(DAY + 30, DAY + 150) == [
        Piece(row=1, start_h=0.5, end_h=1.0),
        Piece(row=1, start_h=2.0, end_h=3.5),
    ]
    assert rows.row_span(1) == (DAY, DAY + 23 * 60)


def test_the_hour_that_comes_twice_is_drawn_twice():
    clock = make.clock(first_day=date(2026, 10, 24), last_day=date(2026, 10, 26))
    rows = DayRows(clock)
    # Sunday 25 October: 01:30 comes at 90 min and again at 150 min after midnight
    assert rows.pieces(DAY + 90, DAY + 180) == [
        Piece(row=1, start_h=1.5, end_h=2.0),
        Piece(row=1, start_h=1.0, end_h=2.0),
    ]


def test_an_empty_stretch_has_no_piece():
    assert DayRows(make.clock()).pieces(100, 100) == []


def test_the_row_and_hour_of_a_minute_are_those_of_the_wall_clock():
    assert DayRows(make.clock()).hour(DAY + 90) == (1, 1.5)


@pytest.mark.parametrize(
    ("start_min", "start_tod"),
    [(6 * 60, 0), (22 * 60, NOON_TOD)],
)
def test_rows_begin_at_noon_where_the_work_is_by_night(start_min, start_tod):
    plan = Plan(runs=(make.run(start_min=start_min, end_min=start_min + 480),))
    assert rows_for(make.clock(), plan).start_tod == start_tod
