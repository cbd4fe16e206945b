"""Calendars of crews, read back by the library and by hand."""

from datetime import UTC, datetime

from icalendar import Calendar

from planner.access.windows import Access
from planner.model.campaign import Campaign
from planner.reports.crew_calendar import crew_calendar, uid
from planner.site.duties import Duty, duties
from tests.unit.reports.plans import two_rigs, two_rigs_plan


def scene() -> tuple[Campaign, list[Duty]]:
    campaign = two_rigs()
    found = duties(campaign, two_rigs_plan(), Access(campaign))
    return campaign, [duty for duty in found if duty.crew == "C1"]


def unfolded(data: bytes) -> list[str]:
    """Content lines, folded ones joined (RFC 5545, 3.1), read without the library."""
    return data.decode().replace("\r\n ", "").split("\r\n")


def blocks(data: bytes) -> list[dict[str, str]]:
    found: list[dict[str, str]] = []
    for line in unfolded(data):
        if line == "BEGIN:VEVENT":
            found.append({})
        elif found and ":" in line:
            name, _, value = line.partition(":")
            found[-1].setdefault(name.partition(";")[0], value)
    return found


def test_every_shift_is_an_event_in_utc():
    campaign, mine = scene()
    data = crew_calendar(campaign, mine)
    events = list(Calendar.from_ical(data).walk("VEVENT"))
    assert [event.decoded("dtstart") for event in events] == [
        datetime(2026, 3, 2, 6, 0, tzinfo=UTC),
        datetime(2026, 3, 3, 6, 0, tzinfo=UTC),
    ]
    by_hand = blocks(data)
    assert [row["DTSTART"] for row in by_hand] == ["20260302T060000Z", "20260303T060000Z"]
    assert [row["DTEND"] for row in by_hand] == ["20260302T180000Z", "20260303T180000Z"]
    assert by_hand[0]["LOCATION"] == "P1"


def test_lines_are_folded_at_75_octets():
    campaign, mine = scene()
    assert max(len(line) for line in crew_calendar(campaign, mine).split(b"\r\n")) <= 75


def test_a_new_plan_changes_events_and_cancels_those_that_fall_away():
    campaign, mine = scene()
    first = blocks(crew_calendar(campaign, mine, sequence=1))
    second = blocks(crew_calendar(campaign, mine[:1], sequence=2, before=mine))
    assert [row["UID"] for row in first] == [row["UID"] for row in second]
    assert [row["SEQUENCE"] for row in second] == ["2", "2"]
    assert [row["STATUS"] for row in second] == ["CONFIRMED", "CANCELLED"]


def test_identifiers_differ_by_campaign_crew_and_day_alone():
    campaign, (first, second) = scene()
    assert uid(campaign, first) != uid(campaign, second)
    other = two_rigs()
    assert uid(other, first) == uid(campaign, first)


def test_the_same_plan_gives_the_same_file():
    campaign, mine = scene()
    assert crew_calendar(campaign, mine) == crew_calendar(campaign, mine)


def test_text_with_commas_and_line_breaks_comes_back_whole():
    campaign, mine = scene()
    (event, _) = Calendar.from_ical(crew_calendar(campaign, mine)).walk("VEVENT")
    lines = str(event["description"]).split("\n")
    assert lines[0] == campaign.name
    assert "06:30 Z1 layer 1, 2.20 m³" in lines
