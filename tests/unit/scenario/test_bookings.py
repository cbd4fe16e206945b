"""Bookings of a calendar file (RFC 5545) become closures."""

from datetime import date

import pytest

from planner.core.clock import Clock
from planner.model.limits import ClosureKind, ClosureScope
from planner.scenario.bookings import Target, with_bookings, write_closures
from planner.scenario.calendar_file import read_bookings
from planner.scenario.findings import Findings
from planner.scenario.reader import campaign_of, read_scenario
from planner.scenario.tables import read_tables
from planner.scenario.workbook import write_workbook
from planner.scenario.writer import write_folder
from tests.unit.scenario.scenes import read, scene

# London from Monday 5 to Sunday 11 April 2027: UTC + 1 h
APRIL = Clock(time_zone="Europe/London", first_day=date(2027, 4, 5), last_day=date(2027, 4, 11))
BERTH = Target(scope="position", name="P1", kind="berth")
H, DAY = 60, 1440


def event(*lines, uid="1", what="Ferry"):
    return ["BEGIN:VEVENT", f"UID:{uid}", f"SUMMARY:{what}", *lines, "END:VEVENT"]


def calendar(path, *events):
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//harbour//EN"]
    for one in events:
        lines += one
    path.write_text("\r\n".join([*lines, "END:VCALENDAR", ""]), encoding="utf-8")
    return path


@pytest.fixture
def taken(tmp_path):
    """Read events: stretches in campaign minutes, as closures.csv has them, and problems."""

    def call(*events, clock=APRIL):
        findings = Findings()
        found = read_bookings(calendar(tmp_path / "b.ics", *events), clock, findings)
        tables, _ = with_bookings(scene(), found, target=BERTH, clock=clock, anew=False)
        closures = campaign_of(tables)[0].closures
        return [(c.from_min, c.to_min) for c in closures], findings.problems()

    return call


def test_times_in_utc_of_the_site_and_of_a_named_zone_are_the_same_minute(taken):
    # 06:00 to 08:00 in London is 05:00 to 07:00 in UTC and 07:00 to 09:00 in Amsterdam
    utc = event("DTSTART:20270406T050000Z", "DTEND:20270406T070000Z")
    local = event("DTSTART:20270407T060000", "DTEND:20270407T080000", uid="2")
    zoned = event(
        "DTSTART;TZID=Europe/Amsterdam:20270408T070000",
        "DTEND;TZID=Europe/Amsterdam:20270408T090000",
        uid="3",
    )
    stretches, problems = taken(utc, local, zoned)
    assert stretches == [(k * DAY + 6 * H, k * DAY + 8 * H) for k in (1, 2, 3)]
    assert problems == []


def test_whole_days_end_with_their_last_day(taken):
    # a calendar's end is the day after: 6 and 7 April
    two = event("DTSTART;VALUE=DATE:20270406", "DTEND;VALUE=DATE:20270408")
    one = event("DTSTART;VALUE=DATE:20270409", uid="2")
    assert taken(two, one)[0] == [(DAY, 3 * DAY), (4 * DAY, 5 * DAY)]


def test_a_booking_without_an_end_in_sight_is_cut_to_the_years_that_tables_know(taken):
    (found,), problems = taken(event("DTSTART;VALUE=DATE:20270406", "DTEND;VALUE=DATE:99991231"))
    assert found[0] == DAY
    assert found[1] > 170 * 365 * DAY
    assert problems == []


def test_a_duration_stands_for_an_end(taken):
    assert taken(event("DTSTART:20270406T060000", "DURATION:PT90M"))[0] == [
        (DAY + 6 * H, DAY + 7 * H + 30)
    ]


def test_only_what_touches_the_campaign_is_taken(taken):
    before = event("DTSTART:20270404T100000", "DTEND:20270405T000000")
    into = event("DTSTART:20270404T220000", "DTEND:20270405T020000", uid="2")
    after = event("DTSTART:20270412T000000", "DTEND:20270412T020000", uid="3")
    assert taken(before, into, after)[0] == [(-2 * H, 2 * H)]


def test_cancelled_events_and_those_that_take_no_time_are_left_out(taken):
    times = ("DTSTART:20270406T060000", "DTEND:20270406T080000")
    cancelled = event(*times, "STATUS:CANCELLED")
    free = event(*times, "TRANSP:TRANSPARENT", uid="2")
    assert taken(cancelled, free)[0] == []


def test_an_event_that_comes_back_is_written_out_but_for_what_was_taken_out_or_moved(taken):
    daily = event(
        "DTSTART;TZID=Europe/London:20270401T060000",
        "DTEND;TZID=Europe/London:20270401T080000",
        "RRULE:FREQ=DAILY;UNTIL=20270409T050000Z",  # 06:00 in London: the 9th is the last
        "EXDATE;TZID=Europe/London:20270406T060000",
    )
    moved = event(
        "RECURRENCE-ID;TZID=Europe/London:20270407T060000",
        "DTSTART;TZID=Europe/London:20270407T100000",
        "DTEND;TZID=Europe/London:20270407T110000",
    )
    given_up = event(
        "RECURRENCE-ID;TZID=Europe/London:20270408T060000",
        "DTSTART;TZID=Europe/London:20270408T060000",
        "DTEND;TZID=Europe/London:20270408T080000",
        "STATUS:CANCELLED",
    )
    # 5 April as planned, 6 out, 7 moved to 10:00, 8 given up, 9 as planned
    assert taken(daily, moved, given_up)[0] == [
        (6 * H, 8 * H),
        (2 * DAY + 10 * H, 2 * DAY + 11 * H),
        (4 * DAY + 6 * H, 4 * DAY + 8 * H),
    ]


def test_what_comes_back_keeps_to_the_wall_clock_over_a_clock_change(taken):
    # weekly from 22 March; the clock is put forward on the 28th; Monday 5 April is the third
    weekly = event(
        "DTSTART;TZID=Europe/London:20270322T060000",
        "DTEND;TZID=Europe/London:20270322T080000",
        "RRULE:FREQ=WEEKLY;COUNT=3",
        "RDATE;TZID=Europe/London:20270407T120000",
    )
    assert taken(weekly)[0] == [(6 * H, 8 * H), (2 * DAY + 12 * H, 2 * DAY + 14 * H)]


def test_a_rule_may_end_with_a_day_or_a_local_time(taken):
    start = ("DTSTART:20270405T060000", "DTEND:20270405T070000")
    for until in ("20270406", "20270406T060000"):
        found, _ = taken(event(*start, f"RRULE:FREQ=DAILY;UNTIL={until}"))
        assert found == [(k * DAY + 6 * H, k * DAY + 7 * H) for k in (0, 1)]


def test_a_rule_that_never_fits_leaves_the_first_event(taken):
    never = event("DTSTART;VALUE=DATE:20270405", "RRULE:FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30")
    assert taken(never)[0] == [(0, DAY)]


def test_an_event_every_hour_for_years_is_too_much(taken):
    years = Clock(time_zone="UTC", first_day=date(2027, 1, 1), last_day=date(2029, 12, 31))
    hours = ",".join(str(hour) for hour in range(24))
    hourly = event("DTSTART:20270101T000000", "DURATION:PT10M", f"RRULE:FREQ=DAILY;BYHOUR={hours}")
    stretches, problems = taken(hourly, clock=years)
    assert stretches == []
    assert [problem.code for problem in problems] == ["too-many-events"]


def test_an_endless_rule_that_began_years_ago_is_cut_to_the_campaign(taken):
    tides = event("DTSTART;VALUE=DATE:20010101", "RRULE:FREQ=WEEKLY;BYDAY=TU")
    assert taken(tides)[0] == [(DAY, 2 * DAY)]


@pytest.mark.parametrize(
    ("lines", "code", "column"),
    [
        (["DTSTART:20270406T080000", "DTEND:20270406T060000"], "ends-before-start", "DTEND"),
        (["DTSTART:20270406T080000"], "ends-before-start", "DTEND"),
        (["DTSTART:2027"], "broken-event", ""),
        (["DTEND:20270406T080000"], "broken-event", ""),
        (
            ["DTSTART;TZID=Atlantis:20270406T060000", "DTEND;TZID=Atlantis:20270406T070000"],
            "unknown-zone",
            "DTSTART",
        ),
        (["DTSTART;VALUE=DATE:20270405", "RRULE:FREQ=HOURLY"], "broken-rule", "RRULE"),
        (["DTSTART;VALUE=DATE:20270405", "RRULE:COUNT=3"], "broken-rule", "RRULE"),
        (
            ["DTSTART;VALUE=DATE:20270405", "DTEND;VALUE=DATE:29990405", "RRULE:FREQ=DAILY"],
            "broken-rule",
            "RRULE",
        ),
        (
            ["DTSTART;VALUE=DATE:20270405", "RRULE:FREQ=DAILY;INTERVAL=0"],
            "broken-rule",
            "RRULE",
        ),
        (
            ["DTSTART;VALUE=DATE:20270405", "RRULE:FREQ=DAILY;BYHOUR=25"],
            "broken-rule",
            "RRULE",
        ),
    ],
)
def test_what_cannot_be_read_is_told_with_its_line(taken, lines, code, column):
    stretches, problems = taken(event(*lines))
    assert stretches == []
    assert [(p.file, p.row, p.code, p.column) for p in problems] == [("b.ics", 4, code, column)]


def test_a_file_that_is_no_calendar_or_has_no_events_is_told(taken, tmp_path):
    assert taken()[1][0].code == "no-events"
    findings = Findings()
    (tmp_path / "x.ics").write_text("date,ship\n2027-04-06,Ferry\n", encoding="utf-8")
    read_bookings(tmp_path / "x.ics", APRIL, findings)
    assert findings.problems()[0].code == "not-a-calendar"


def test_rows_say_scope_kind_and_reason_and_other_columns_stay(tmp_path):
    row = {"scope": "site", "from": "2027-04-05", "note": "kept"}
    old = scene(closures=[row])
    times = ("DTSTART:20270406T060000", "DTEND:20270406T080000")
    path = calendar(tmp_path / "b.ics", event(*times, what="=SUM(A1)\\, big ferry"))
    found = read_bookings(path, APRIL, Findings())
    tables, fresh = with_bookings(old, found, target=BERTH, clock=APRIL, anew=False)
    assert fresh == 1
    table = tables.tables["closures"]
    assert table.columns == ("scope", "from", "note", "id", "to", "kind", "why")
    assert table.rows[0] == ("site", "2027-04-05", "kept", "", "", "", "")
    closure = read(tables).closures[1]
    assert (closure.scope, closure.target) == (ClosureScope.POSITION, "P1")
    assert (closure.kind, closure.why) == (ClosureKind.BERTH, "SUM(A1), big ferry")


def test_a_second_import_adds_nothing_and_anew_drops_what_was_given_up(tmp_path):
    a = event("DTSTART:20270406T060000", "DTEND:20270406T080000")
    b = event("DTSTART:20270407T060000", "DTEND:20270407T080000", uid="2")
    both = read_bookings(calendar(tmp_path / "b.ics", a, b), APRIL, Findings())
    one = read_bookings(calendar(tmp_path / "b.ics", b), APRIL, Findings())
    start = scene(
        closures=[{"scope": "position", "id": "P1", "from": "2027-04-05", "why": "mine"}]
    )
    first, count = with_bookings(start, both, target=BERTH, clock=APRIL, anew=False)
    again, none = with_bookings(first, both, target=BERTH, clock=APRIL, anew=True)
    assert (count, none) == (2, 2)
    assert again.tables["closures"] == first.tables["closures"]
    same, none = with_bookings(first, both, target=BERTH, clock=APRIL, anew=False)
    assert (same.tables["closures"], none) == (first.tables["closures"], 0)
    later, _ = with_bookings(first, one, target=BERTH, clock=APRIL, anew=True)
    assert [c.why for c in read(later).closures] == ["mine", "Ferry"]


@pytest.mark.parametrize("form", ["folder", "book.xlsx"])
def test_closures_are_written_back_into_folder_and_workbook(tmp_path, form):
    path = tmp_path / form
    (write_workbook if path.suffix else write_folder)(scene(), path)
    if not path.suffix:
        toml = path / "campaign.toml"
        toml.write_text("# kept\n" + toml.read_text(encoding="utf-8"), encoding="utf-8")
    found = read_bookings(
        calendar(tmp_path / "b.ics", event("DTSTART;VALUE=DATE:20270406")), APRIL, Findings()
    )
    tables, _ = with_bookings(read_tables(path), found, target=BERTH, clock=APRIL, anew=False)
    write_closures(tables, path)
    closures = read_scenario(path)[0].closures
    assert [(c.from_min, c.to_min) for c in closures] == [(DAY, 2 * DAY)]
    if not path.suffix:
        assert (path / "campaign.toml").read_text(encoding="utf-8").startswith("# kept\n")
