"""Cells: what is read, what is refused, and what the refusal says."""

from datetime import UTC, date, datetime, timedelta, timezone

import pytest

from planner.scenario.cell_error import CellError
from planner.scenario.dictionary import KEY_BY_NAME, TABLE_BY_NAME
from planner.scenario.values import oddity, parse


def at(text):
    """Return a local date-time."""
    return datetime.fromisoformat(text)


def column(name):
    table, _, rest = name.partition(".")
    return KEY_BY_NAME.get(name) or TABLE_BY_NAME[table].column(rest)


def refusal(name, text):
    with pytest.raises(CellError) as caught:
        parse(column(name), text)
    return caught.value


@pytest.mark.parametrize(
    ("name", "text", "value"),
    [
        ("zones.area_m2", "10", 10.0),
        ("zones.area_m2", "+1.50", 1.5),
        ("zones.area_m2", ".5", 0.5),
        ("zones.area_m2", "1E2", 100.0),
        ("zones.priority", "2.0", 2),
        ("zones.water_max_m", "never", "never"),
        ("zones.water_max_m", "-1.25", -1.25),
        ("zones.joint_allowed", "Yes", True),
        ("zones.joint_allowed", "no", False),
        ("zones.after", " Z1; Z2 ;", ("Z1", "Z2")),
        ("zones.due", "2027-04-30", date(2027, 4, 30)),
        ("zones.ready_from", "2027-04-30", date(2027, 4, 30)),
        ("zones.ready_from", "2027-04-30 7:05", at("2027-04-30T07:05:00")),
        ("zones.ready_from", "2027-04-30T07:05:30.25", at("2027-04-30T07:05:30.250000")),
        ("zones.ready_from", "2027-04-30T24:00", at("2027-05-01T00:00:00")),
        ("zones.ready_from", "2027-04-30T07:05Z", datetime(2027, 4, 30, 7, 5, tzinfo=UTC)),
        (
            "zones.ready_from",
            "2027-04-30T07:05 -0330",
            datetime(2027, 4, 30, 7, 5, tzinfo=timezone(-timedelta(hours=3, minutes=30))),
        ),
        ("zones.clock_from", "10:30", 10.5),
        ("zones.clock_from", "10.5", 10.5),
        ("shifts.start", "7:00", 420),
        ("shifts.end", "24:00", 0),
        ("shifts.end", "17:00:00", 1020),
        ("shifts.days", "mon;Sun", frozenset({0, 6})),
        ("campaign.may_worsen", "0.05;0", (0.05, 0.0)),
        ("rigs.process", "wet", "wet"),
        ("zones.zone", "-1", "-1"),
        ("closures.why", "- berth taken", "- berth taken"),
    ],
)
def test_a_cell_that_is_right_gives_its_value(name, text, value):
    found = parse(column(name), text)
    assert found == value
    assert type(found) is type(value)


def test_a_negative_zero_is_a_zero():
    assert str(parse(column("zones.z_m"), "-0")) == "0.0"


@pytest.mark.parametrize(
    ("name", "text", "code", "says"),
    [
        ("zones.depth_mm", "40 mm", "not-a-number", "write the number alone"),
        ("zones.depth_mm", "1,5", "not-a-number", "write 1.5, with a point"),
        ("zones.depth_mm", "1,234", "not-a-number", "1.234 for a decimal, or 1234 for thousands"),
        ("zones.depth_mm", "1,234.5", "not-a-number", "write 1234.5, without thousands"),
        ("zones.depth_mm", "1.234,5", "not-a-number", "write 1234.5"),
        ("zones.depth_mm", "1 234", "not-a-number", "write 1234, without separators"),
        ("zones.depth_mm", "1_234", "not-a-number", "write 1234, without separators"),
        ("mixes.rebound", "30%", "not-a-number", "as a fraction: 0.3"),
        ("mixes.rebound", "30", "out-of-range", "write 30 % as 0.30"),
        ("mixes.rebound", "1", "out-of-range", "must be below 1"),
        ("zones.depth_mm", "0.04", "out-of-range", "write 0.04 m or 4 cm as 40"),
        ("zones.depth_mm", "-40", "out-of-range", "-40 mm is below 1; write a plain number in mm"),
        ("zones.area_m2", "0", "out-of-range", "must be above 0"),
        ("zones.area_m2", "1e300", "out-of-range", "is above 1e+06"),
        ("zones.area_m2", "1e999", "not-a-number", "too large"),
        ("zones.area_m2", "9" * 70, "not-a-number", "too many digits"),
        ("zones.area_m2", "nan", "not-a-number", "leave the cell empty"),
        ("zones.area_m2", "inf", "not-a-number", "leave the cell empty"),
        ("zones.area_m2", "#DIV/0!", "not-a-number", "mend the formula"),
        ("zones.area_m2", "12-Mar", "not-a-number", "looks like a date"),
        ("zones.area_m2", "\u22125", "not-a-number", "write the minus sign as a hyphen: -5"),
        ("zones.area_m2", "\u0663", "not-a-number", "plain number"),
        ("zones.water_max_m", "none", "not-a-number", "write never"),
        ("zones.priority", "1.5", "not-whole", "whole number"),
        ("zones.orientation", "soffit", "unknown-word", 'did you mean "overhead"?'),
        ("zones.orientation", "verticle", "unknown-word", 'did you mean "vertical"?'),
        ("zones.joint_allowed", "true", "not-yes-no", "write yes or no"),
        ("zones.due", "30/04/2027", "not-a-date", "did you mean 2027-04-30?"),
        ("zones.due", "03/04/2027", "not-a-date", "2027-04-03 or 2027-03-04"),
        ("zones.due", "20270430", "not-a-date", "did you mean 2027-04-30?"),
        ("zones.due", "2027-04-31", "not-a-date", "no day 2027-04-31"),
        ("zones.due", "0027-04-30", "not-a-date", "1900 to 2199"),
        ("zones.due", "2027-04-30T12:00", "not-a-date", "write the date alone: 2027-04-30"),
        ("zones.ready_from", "2027-04-30T25:00", "not-a-date-time", "no such time"),
        ("zones.ready_from", "2027-04-30T10:00+25:00", "not-a-date-time", "offset from UTC"),
        ("zones.ready_from", "tomorrow", "not-a-date-time", "YYYY-MM-DDTHH:MM"),
        ("shifts.start", "7", "not-a-time", "HH:MM"),
        ("shifts.start", "24:00", "not-a-time", "00:00 of the next day"),
        ("shifts.end", "25:00", "not-a-time", "no time 25:00"),
        ("shifts.days", "Mon-Fri", "unknown-word", "write each day"),
        ("shifts.days", "Monday", "unknown-word", 'did you mean "Mon"?'),
        ("shifts.days", ";", "empty-list", "is empty"),
        ("zones.clock_from", "13", "out-of-range", "above 12"),
        ("zones.clock_from", "13:00", "out-of-range", "above 12"),
        ("zones.clock_from", "10:75", "not-a-time", "H:MM"),
        ("zones.after", "Z1;Z1", "duplicate-item", "stands twice"),
        ("zones.zone", "Z1;Z2", "bad-identifier", "one name"),
        ("zones.zone", "Z" * 201, "bad-identifier", "201 characters"),
        ("zones.zone", "=1+1", "formula", "begins like a formula"),
        ("zones.zone", "+cmd|' /C calc'!A0", "formula", "begins like a formula"),
        ("closures.why", "@sum(A1)", "formula", "begins like a formula"),
        ("closures.why", "-cmd(1)", "formula", "begins like a formula"),
        ("campaign.goal", "finish,cost", "wrong-list-separator", "finish;cost"),
        ("campaign.goal", "finish;finish", "duplicate-item", "stands twice"),
        ("campaign.goal", "makespan", "unknown-word", "not one of finish"),
    ],
)
def test_a_cell_that_is_wrong_says_what_would_be_right(name, text, code, says):
    error = refusal(name, text)
    assert error.code == code
    assert says in str(error)
    assert "\n" not in str(error)


@pytest.mark.parametrize(
    ("name", "text", "says"),
    [
        ("zones.depth_mm", "4", "4 mm is unusually small; depths are millimetres"),
        ("zones.water_max_m", "1200", "unusually large; levels are metres"),
        ("rigs.rate_m3_h", "100", "write 100 litres a minute as 6"),
        ("campaign.may_worsen", "0;5", "write 5 % as 0.05"),
        ("sewer.slope", "0.5", "1 in 200 as 0.005"),
        ("rules.get_in_min", "600", "minutes, not seconds"),
    ],
)
def test_a_number_that_is_possible_but_odd_is_remarked_on(name, text, says):
    assert says in (oddity(column(name), parse(column(name), text)) or "")


@pytest.mark.parametrize(
    ("name", "text"),
    [("zones.depth_mm", "40"), ("zones.joint_allowed", "yes"), ("water.allowance_m", "0")],
)
def test_an_ordinary_value_draws_no_remark(name, text):
    assert oddity(column(name), parse(column(name), text)) is None


@pytest.mark.parametrize(
    ("text", "right"),
    [("4 cm", "in mm: 40"), ("2,5 in", "in mm: 63.5"), ("0.04 m", "in mm: 40"), ("40 mm", "40")],
)
def test_a_number_with_another_unit_is_told_in_ours(text, right):
    with pytest.raises(CellError) as refused:
        parse(TABLE_BY_NAME["zones"].column("depth_mm"), text)
    assert str(refused.value).endswith(right)
