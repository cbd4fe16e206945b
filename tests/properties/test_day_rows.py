"""Days as rows, for any stretch of any calendar: nothing is lost and nothing is drawn twice."""

from datetime import date, datetime, timedelta

import pytest
from hypothesis import event, given
from hypothesis import strategies as st

from planner.core.clock import Clock
from planner.reports.day_rows import NOON_TOD, DayRows

pytestmark = pytest.mark.property

ZONES = ("Europe/London", "America/Chicago", "Australia/Lord_Howe", "Asia/Kolkata", "UTC")
FIRST_DAYS = st.dates(min_value=date(2026, 1, 1), max_value=date(2027, 12, 1))


@st.composite
def stretches(draw):
    first = draw(FIRST_DAYS)
    days = draw(st.integers(min_value=1, max_value=12))
    clock = Clock(
        time_zone=draw(st.sampled_from(ZONES)),
        first_day=first,
        last_day=first + timedelta(days=days - 1),
    )
    rows = DayRows(clock, start_tod=draw(st.sampled_from((0, NOON_TOD))))
    start = draw(st.integers(min_value=0, max_value=clock.horizon_min - 1))
    end = draw(st.integers(min_value=start + 1, max_value=clock.horizon_min))
    return rows, start, end


@given(stretches())
def test_pieces_last_as_long_as_the_stretch(scene):
    rows, start, end = scene
    event(f"clock changes: {len(set(rows.clock.day_lengths())) > 1}")
    pieces = rows.pieces(start, end)
    event(f"several pieces: {len(pieces) > 1}")
    assert sum(piece.end_h - piece.start_h for piece in pieces) * 60 == pytest.approx(end - start)


@given(stretches())
def test_every_piece_lies_on_its_row(scene):
    rows, start, end = scene
    for piece in rows.pieces(start, end):
        assert 0 <= piece.row < len(rows)
        assert 0.0 <= piece.start_h < piece.end_h <= 24.0


@given(stretches())
def test_a_minute_stands_at_its_wall_clock_time(scene):
    rows, start, _ = scene
    row, hours = rows.hour(start)
    tod = timedelta(minutes=rows.start_tod)
    shown = datetime.combine(rows.days[row], datetime.min.time()) + tod + timedelta(hours=hours)
    assert shown == rows.clock.local(start).replace(tzinfo=None)
