"""Civil time and campaign minutes, across the changes of the clock."""

from datetime import UTC, date, datetime, timedelta, timezone
from zoneinfo import ZoneInfoNotFoundError

import pytest

from planner.core.clock import Clock

HOUR = 60
DAY = 24 * HOUR


def local(text: str) -> datetime:
    """A time without an offset, as it stands in a file."""
    return datetime.fromisoformat(text)


def spring() -> Clock:
    """London over 29 March 2026, when 01:00 becomes 02:00: that day has 23 hours."""
    return Clock(
        time_zone="Europe/London", first_day=date(2026, 3, 28), last_day=date(2026, 3, 30)
    )


def autumn() -> Clock:
    """London over 25 October 2026, when 02:00 becomes 01:00: that day has 25 hours."""
    return Clock(
        time_zone="Europe/London", first_day=date(2026, 10, 24), last_day=date(2026, 10, 26)
    )


def test_minute_nought_is_midnight_of_the_first_day():
    assert spring().minute(local("2026-03-28")) == 0
    assert spring().epoch_utc == datetime(2026, 3, 28, tzinfo=UTC)
    assert spring().local(0).isoformat() == "2026-03-28T00:00:00+00:00"


def test_a_day_is_as_long_as_the_clock_makes_it():
    assert spring().day_lengths() == [DAY, DAY - HOUR, DAY]
    assert autumn().day_lengths() == [DAY, DAY + HOUR, DAY]
    assert spring().horizon_min == 3 * DAY - HOUR
    assert spring().days == 3


def test_a_local_time_that_occurs_twice_is_the_first():
    # 01:30 on 25 October: 25.5 h after 00:00 on the 24th, again an hour later
    assert autumn().minute(local("2026-10-25T01:30")) == DAY + 90
    assert autumn().text(DAY + 90) == "2026-10-25T01:30:00+01:00"
    assert autumn().text(DAY + 150) == "2026-10-25T01:30:00+00:00"


def test_a_local_time_that_does_not_occur_is_read_with_the_offset_before_the_change():
    # 01:30 on 29 March is not there; with the winter offset it is 90 minutes after midnight
    assert spring().minute(local("2026-03-29T01:30")) == DAY + 90
    assert spring().text(DAY + 90) == "2026-03-29T02:30:00+01:00"


def test_a_time_with_an_offset_is_taken_at_its_word():
    tokyo = timezone(timedelta(hours=9))
    assert spring().minute(datetime(2026, 3, 28, 9, 30, tzinfo=tokyo)) == 30


def test_seconds_are_cut_off_towards_the_past_and_kept_where_asked():
    moment = local("2026-03-27T23:59:30")  # half a minute before minute 0
    assert spring().minute(moment) == -1
    assert spring().exact_minute(moment) == -0.5


def test_days_are_found_inside_and_outside_of_the_campaign():
    clock = spring()
    assert clock.day(DAY - 1) == date(2026, 3, 28)
    assert clock.day(2 * DAY - HOUR) == date(2026, 3, 30)  # the short day is over
    assert clock.day(2 * DAY - HOUR - 1) == date(2026, 3, 29)
    assert clock.day(-1) == date(2026, 3, 27)
    assert clock.day(clock.horizon_min) == date(2026, 3, 31)
    assert [clock.day_index(minute) for minute in (-1, 0, DAY)] == [-1, 0, 1]


def test_a_day_ends_where_the_next_one_starts():
    clock = spring()
    assert clock.day_start(date(2026, 3, 29)) == DAY
    assert clock.day_end(date(2026, 3, 29)) == 2 * DAY - HOUR


def test_the_calendar_lists_first_and_last_day():
    assert spring().calendar() == [date(2026, 3, day) for day in (28, 29, 30)]


def test_a_daily_stretch_may_end_on_the_next_day_and_equal_times_mean_a_whole_day():
    clock = spring()
    first = date(2026, 3, 28)
    assert clock.daily(first, start_tod=6 * HOUR, end_tod=14 * HOUR) == (360, 840)
    # over the night of the change the shift is an hour shorter
    assert clock.daily(first, start_tod=22 * HOUR, end_tod=6 * HOUR) == (1320, DAY + 5 * HOUR)
    assert clock.daily(first, start_tod=6 * HOUR, end_tod=6 * HOUR) == (360, DAY + 5 * HOUR)


def test_a_time_of_day_of_24_hours_is_the_next_midnight():
    clock = spring()
    assert clock.daily(date(2026, 3, 28), start_tod=6 * HOUR, end_tod=24 * HOUR) == (360, DAY)
    # the second day has 23 hours
    end = clock.daily(date(2026, 3, 29), start_tod=6 * HOUR, end_tod=24 * HOUR)[1]
    assert end == 2 * DAY - HOUR


def test_a_last_day_before_the_first_is_refused():
    with pytest.raises(ValueError, match="2026-03-01 lies before the first day 2026-03-02"):
        Clock(time_zone="UTC", first_day=date(2026, 3, 2), last_day=date(2026, 3, 1))


def test_an_unknown_time_zone_is_refused():
    with pytest.raises(ZoneInfoNotFoundError):
        Clock(time_zone="Mars/Olympus", first_day=date(2026, 3, 2), last_day=date(2026, 3, 2))
