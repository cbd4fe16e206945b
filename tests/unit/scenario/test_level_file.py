"""Files of levels that stand alone."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest

from planner.core.problems import InputRefusedError
from planner.scenario.level_file import read_extremes, read_series

LONDON = ZoneInfo("Europe/London")


def written(tmp_path, *lines, name="gauge.csv"):
    path = tmp_path / name
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def refused(path, read=read_series):
    with pytest.raises(InputRefusedError) as caught:
        read(path)
    return [problem.line() for problem in caught.value.problems]


def test_times_without_an_offset_are_those_of_the_zone(tmp_path):
    path = written(tmp_path, "time,level_m", "2026-07-01T01:00,1.5", "2026-07-01T02:00Z,1.7")
    record, problems = read_series(path, zone=LONDON)
    assert problems == []
    assert record.times_utc == (
        datetime(2026, 7, 1, 0, tzinfo=UTC),
        datetime(2026, 7, 1, 2, tzinfo=UTC),
    )
    assert record.levels_m == (1.5, 1.7)
    assert read_series(path)[0].times_utc[0] == datetime(2026, 7, 1, 1, tzinfo=UTC)


def test_gaps_order_and_twins_are_told_and_nothing_is_dropped_silently(tmp_path):
    path = written(
        tmp_path,
        "time,level_m",
        "2026-07-01T02:00,1.7",
        "2026-07-01T01:00,1.5",
        "2026-07-01T03:00,",
        "2026-07-01T01:00,1.5",
    )
    record, problems = read_series(path)
    assert record.levels_m == (1.5, 1.7)
    assert [(p.row, p.column, p.code) for p in problems] == [
        (None, "level_m", "odd-gap"),
        (3, "time", "not-in-order"),
        (5, "time", "duplicate"),
    ]


@pytest.mark.parametrize(
    ("lines", "says"),
    [
        (("time,level_m", "2026-07-01,1", "2026-07-01,2"), "3:time: the same time as row 2"),
        (("time,level_m", "2026-07-01,1", "2026-07-02,22"), "no tide has a range above 17 m"),
        (("time,level_ft", "2026-07-01,1"), "1:level_ft: levels must be in metres"),
        (("time,level_m", "2026-07-01,x"), "2:level_m:"),
        (("time,level_m", "never,1"), "2:time:"),
        (("time,level_m",), "the file has no levels"),
        (("level_m", "1"), "1:time: the column is missing"),
        (("time;level_m", "2026-07-01;1"), "save the table with commas"),
    ],
)
def test_what_cannot_be_used_is_refused_with_its_place(tmp_path, lines, says):
    said = refused(written(tmp_path, *lines))
    assert any(says in line for line in said), said
    assert all(line.startswith("gauge.csv:") for line in said)


def test_high_and_low_waters_keep_their_kind_in_time_order(tmp_path):
    path = written(
        tmp_path, "time,level_m,kind", "2026-07-01T08:00Z,0.4,low", "2026-07-01T02:00Z,3.1,high"
    )
    table, _ = read_extremes(path)
    assert table.levels_m == (3.1, 0.4)
    assert table.is_high == (True, False)


def test_a_kind_that_is_neither_is_refused(tmp_path):
    path = written(tmp_path, "time,level_m,kind", "2026-07-01T08:00Z,0.4,ebb")
    assert any(":2:kind:" in line for line in refused(path, read_extremes))
