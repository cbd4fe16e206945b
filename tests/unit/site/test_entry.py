"""Entries of the journal and what holds of them after corrections."""

from datetime import UTC, datetime, timedelta, timezone

import pytest

from planner.model.identifiers import ZoneId
from planner.site.entry import Entry, Stored, body_of, current, entry_of

NINE = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)


def stored(number, corrects=None, withdrawn=False, **says):
    return Stored(
        number=number,
        recorded_at=NINE,
        by="Ann",
        corrects=corrects,
        withdrawn=withdrawn,
        entry=Entry(**says),
    )


def test_an_entry_comes_back_from_plain_values_as_it_was():
    east = timezone(timedelta(hours=2))
    entry = Entry(
        zone=ZoneId("Z1"),
        layer=2,
        placed_m3=0.7,
        start=datetime(2026, 3, 2, 11, 5, tzinfo=east),
        stop=datetime(2026, 3, 2, 12, 5, tzinfo=east),
        note="é; '=1+1",
    )
    assert entry_of(body_of(entry)) == entry


def test_words_of_a_newer_version_are_passed_over():
    assert entry_of({"placed_m3": 1.0, "colour": "grey"}) == Entry(placed_m3=1.0)


def test_a_time_without_offset_is_refused():
    with pytest.raises(ValueError, match="no UTC offset"):
        Entry(stop=datetime(2026, 3, 2, 9, 0))  # noqa: DTZ001


def test_minutes_leave_out_what_was_lost():
    entry = Entry(start=NINE, stop=NINE + timedelta(minutes=70), lost_min=10.0)
    assert entry.minutes == 60.0


def test_bags_times_litres_went_through_the_nozzle():
    assert Entry(bags=100.0, bag_l=12.0).nozzle_m3 == pytest.approx(1.2)
    assert Entry(bags=100.0).nozzle_m3 is None


def test_a_correction_takes_the_place_of_what_it_corrects():
    rows = [stored(1, note="a"), stored(2, note="b"), stored(3, corrects=1, note="c")]
    assert [row.entry.note for row in current(rows)] == ["c", "b"]


def test_of_two_corrections_the_one_written_last_counts():
    rows = [
        stored(1, note="a"),
        stored(2, corrects=1, note="b"),
        stored(3, corrects=1, note="c"),
        stored(4, corrects=2, note="d"),
    ]
    assert [row.entry.note for row in current(rows)] == ["d"]


def test_what_was_withdrawn_is_gone_until_it_is_corrected_again():
    rows = [stored(1, note="a"), stored(2, corrects=1, withdrawn=True)]
    assert current(rows) == ()
    assert [row.number for row in current([*rows, stored(3, corrects=2, note="e")])] == [3]
