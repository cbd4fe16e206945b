"""Windows as a calendar file that other programs read."""

from datetime import UTC, date, datetime

from icalendar import Calendar, Event

from planner.model.identifiers import ZoneId
from planner.model.limits import ClosureScope
from planner.reports.window_calendar import window_calendar
from tests.builders import campaign, clock, closure, zone

DAY = 1440


def events(data):
    return [event for event in Calendar.from_ical(data).walk("VEVENT") if isinstance(event, Event)]


def scene(**changes):
    """Summer time: local is UTC + 1 h; open on the second day only."""
    summer = clock(first_day=date(2026, 6, 1), last_day=date(2026, 6, 3))
    closures = (
        closure(from_min=0, to_min=DAY),
        closure(from_min=2 * DAY, to_min=3 * DAY),
    )
    return campaign(**({"clock": summer, "closures": closures} | changes))


def test_zones_that_share_a_window_share_an_event_in_utc():
    names = [f"Zone{k}, wall" for k in range(1, 7)]
    found = events(window_calendar(scene(zones=tuple(zone(name) for name in names))))
    assert len(found) == 1
    (event,) = found
    assert event["DTSTART"].dt == datetime(2026, 6, 1, 23, tzinfo=UTC)
    assert event["DTEND"].dt == datetime(2026, 6, 2, 23, tzinfo=UTC)
    assert str(event["SUMMARY"]).endswith("Zone4, wall and 2 more")
    assert all(name in str(event["DESCRIPTION"]) for name in names)
    assert "people on site decide" in str(event["DESCRIPTION"])


def test_the_file_keeps_to_the_letter_of_the_format():
    data = window_calendar(scene(zones=tuple(zone(f"Zone {k} of the wall") for k in range(9))))
    lines = data.split(b"\r\n")
    assert lines[0] == b"BEGIN:VCALENDAR"
    assert lines[-2:] == [b"END:VCALENDAR", b""]
    assert max(len(line) for line in lines) <= 75  # octets, RFC 5545 section 3.1
    assert b"\n" not in data.replace(b"\r\n", b"")
    for name in (b"PRODID:", b"VERSION:2.0", b"UID:", b"DTSTAMP:"):
        assert any(line.startswith(name) for line in lines)


def test_the_same_scenario_gives_the_same_file_and_each_event_its_own_name():
    two = scene(zones=(zone(), zone("Z2")), closures=())
    assert window_calendar(two) == window_calendar(two)
    apart = scene(
        zones=(zone(), zone("Z2")),
        closures=(closure(ClosureScope.ZONE, "Z2", from_min=0, to_min=DAY),),
    )
    names = [str(event["UID"]) for event in events(window_calendar(apart))]
    assert len(set(names)) == len(names) == 2


def test_one_zone_alone_can_be_asked_for():
    both = scene(zones=(zone(), zone("Z2")))
    (event,) = events(window_calendar(both, ZoneId("Z2")))
    assert str(event["SUMMARY"]) == "Window Z2"
