"""Bookings out of a calendar file (RFC 5545): what is taken, from when to when.

Cancelled events, and those marked as not taking time, are left out.  Events that come back are
written out one by one; moved or cancelled ones among them are heeded.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta, tzinfo
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING

from planner.core.clock import Clock
from planner.scenario.dates import YEAR_MAX, YEAR_MIN
from planner.scenario.findings import Findings
from planner.scenario.grid import shorten

if TYPE_CHECKING:
    from icalendar import Event

BYTES_MAX = 20_000_000
"""Most bytes of a calendar file."""
OCCURRENCES_MAX = 20_000
"""Most times that one event may come back during the campaign."""

_OFTEN = ("YEARLY", "MONTHLY", "WEEKLY", "DAILY")
_YEAR = timedelta(days=366)

Moment = date | datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Booking:
    """One stretch that is taken.

    Attributes
    ----------
    start, end
        Days (the end not included), or times: with a zone, or local ones of the site.
    what
        The event's summary.
    row
        Line of the file on which the event begins.
    """

    start: Moment
    end: Moment
    what: str
    row: int


@dataclass(frozen=True, slots=True, kw_only=True)
class _Series:
    """An event as written, with what says when it comes back."""

    uid: str
    first: Booking
    event: Event
    replaces: Moment | None
    is_free: bool


def read_bookings(path: Path, clock: Clock, findings: Findings) -> list[Booking]:
    """Return the bookings that touch the campaign's days, in time order.

    Parameters
    ----------
    path
        Calendar file.
    clock
        The campaign's calendar.
    findings
        Gets what is wrong with the file.

    Raises
    ------
    OSError
        If the file cannot be read.
    """
    data = path.read_bytes()
    if len(data) > BYTES_MAX:
        findings.error("too-large", f"more than {BYTES_MAX} bytes", file=path.name)
        return []
    events = _events(data, path.name, findings)
    series = [
        found
        for event, row in events
        if (found := _series(event, row, path.name, findings)) is not None
    ]
    moved = {
        (one.uid, _instant(one.replaces, clock)) for one in series if one.replaces is not None
    }
    bookings = [
        booking
        for one in series
        if not one.is_free
        for booking in _occurrences(one, clock, path.name, findings)
        if one.replaces is not None or (one.uid, _instant(booking.start, clock)) not in moved
    ]
    horizon = clock.horizon_min
    here = [
        booking
        for booking in bookings
        if _instant(booking.start, clock) < horizon and _instant(booking.end, clock) > 0
    ]
    return sorted(here, key=lambda booking: (_instant(booking.start, clock), booking.row))


def _instant(moment: Moment, clock: Clock) -> float:
    if isinstance(moment, datetime):
        return clock.exact_minute(moment)
    return float(clock.day_start(moment))


def _events(data: bytes, file: str, findings: Findings) -> list[tuple[Event, int]]:
    """Return the events of a file, each with the line on which it begins."""
    from icalendar import Calendar, Event  # noqa: PLC0415 - slow to import, and seldom wanted

    try:
        calendars = Calendar.from_ical(data, multiple=True)
    except ValueError as problem:
        findings.error(
            "not-a-calendar",
            f"this is not a calendar file: {problem}; export the bookings as iCalendar (.ics)",
            file=file,
        )
        return []
    events = [
        event
        for calendar in calendars
        for event in calendar.walk("VEVENT")
        if isinstance(event, Event)
    ]
    lines = [
        number
        for number, line in enumerate(data.splitlines(), start=1)
        if line.strip().upper() == b"BEGIN:VEVENT"
    ]
    if not events:
        findings.error(
            "no-events", "the calendar holds no events; export one with bookings", file=file
        )
    return list(zip(events, lines, strict=False))


def _series(event: Event, row: int, file: str, findings: Findings) -> _Series | None:
    """Return an event as a booking with its rules; what is wrong goes to the findings."""
    what = " ".join(str(event.get("SUMMARY", "")).split())
    broken = [f"{name}: {text}" for name, text in event.errors]
    start = None if broken else _stamp(event, "DTSTART")
    if start is None:
        said = "; ".join(broken) or "it has no DTSTART"
        findings.error(
            "broken-event", f"the event {shorten(what)} cannot be read: {said}", file=file, row=row
        )
        return None
    column = _unknown_zone(event)
    if column:
        findings.error(
            "unknown-zone",
            f"the time zone of {shorten(what)} is not known; export the calendar with its time"
            " zones, or in UTC",
            file=file,
            row=row,
            column=column,
        )
        return None
    end = _stamp(event, "DTEND") or _after(start, event)
    if not _is_later(end, start):
        findings.error(
            "ends-before-start",
            f"{shorten(what)} ends ({end}) no later than it begins ({start}); mend the event",
            file=file,
            row=row,
            column="DTEND",
        )
        return None
    status = str(event.get("STATUS", "")).upper()
    is_free = status == "CANCELLED" or str(event.get("TRANSP", "")).upper() == "TRANSPARENT"
    return _Series(
        uid=str(event.get("UID", f"line {row}")),
        first=Booking(start=start, end=end, what=what, row=row),
        event=event,
        replaces=_stamp(event, "RECURRENCE-ID"),
        is_free=is_free,
    )


def _stamp(event: Event, name: str) -> Moment | None:
    found = getattr(event.get(name), "dt", None)
    return found if isinstance(found, date) else None


def _unknown_zone(event: Event) -> str:
    """Return the first property that names a zone which nobody knows; empty: none."""
    for name in ("DTSTART", "DTEND", "RECURRENCE-ID"):
        found = _stamp(event, name)
        is_local = isinstance(found, datetime) and found.tzinfo is None
        if is_local and "TZID" in event[name].params:
            return name
    return ""


def _after(start: Moment, event: Event) -> Moment:
    """Return the end of an event that gives a duration, or nothing: then a day, or no time."""
    duration = getattr(event.get("DURATION"), "dt", None)
    if isinstance(duration, timedelta):
        return _later(start, duration)
    return start if isinstance(start, datetime) else start + timedelta(days=1)


def _is_later(end: Moment, start: Moment) -> bool:
    if isinstance(end, datetime) and isinstance(start, datetime):
        return (end.tzinfo is None) == (start.tzinfo is None) and end > start
    return not isinstance(end, datetime) and not isinstance(start, datetime) and end > start


def _length(booking: Booking) -> timedelta:
    """Return how long a booking lasts, in real time or in whole days."""
    if isinstance(booking.end, datetime) and isinstance(booking.start, datetime):
        if booking.end.tzinfo is None:
            return booking.end - booking.start
        return booking.end.astimezone(UTC) - booking.start.astimezone(UTC)
    return timedelta(days=booking.end.toordinal() - booking.start.toordinal())


def _later(start: Moment, length: timedelta) -> Moment:
    """Return a moment some real time, or some whole days, later."""
    if isinstance(start, datetime) and start.tzinfo is not None:
        return (start.astimezone(UTC) + length).astimezone(start.tzinfo)
    return start + length


def _occurrences(one: _Series, clock: Clock, file: str, findings: Findings) -> Iterator[Booking]:
    """Yield every time that an event comes during the campaign, and the first."""
    if "RRULE" not in one.event and "RDATE" not in one.event:
        yield one.first
        return
    try:
        starts = _starts(one, clock)
    except ValueError as problem:
        findings.error(
            "broken-rule",
            f"how often {shorten(one.first.what)} comes back cannot be read: {problem}",
            file=file,
            row=one.first.row,
            column="RRULE",
        )
        return
    if len(starts) > OCCURRENCES_MAX:
        findings.error(
            "too-many-events",
            f"{shorten(one.first.what)} comes back more than {OCCURRENCES_MAX} times during the"
            " campaign; write it as a closure with daily hours",
            file=file,
            row=one.first.row,
            column="RRULE",
        )
        return
    length = _length(one.first)
    for start in starts:
        yield replace(one.first, start=start, end=_later(start, length))


def _starts(one: _Series, clock: Clock) -> list[Moment]:
    """Return when an event begins that touches the campaign, by the wall clock of its zone."""
    if _length(one.first) > _YEAR:
        msg = "it lasts longer than a year"
        raise ValueError(msg)
    first = one.first.start
    zone = first.tzinfo if isinstance(first, datetime) else None
    margin = timedelta(days=2) + _length(one.first)
    low = max(clock.first_day - margin, date(YEAR_MIN, 1, 2))
    high = min(clock.last_day + timedelta(days=2), date(YEAR_MAX, 12, 30))
    starts = {_wall(first, zone)}
    starts.update(_wall(moment, zone) for moment in _moments(one.event.get("RDATE")))
    for rule in _listed(one.event.get("RRULE")):
        starts.update(_by_rule(rule, _wall(first, zone), zone=zone, until=_wall(high, None)))
    starts -= {_wall(moment, zone) for moment in _moments(one.event.get("EXDATE"))}
    return [
        start.replace(tzinfo=zone) if isinstance(first, datetime) else start.date()
        for start in sorted(starts)
        if _wall(low, None) <= start <= _wall(high, None)
    ]


def _by_rule(
    rule: object, first: datetime, *, zone: tzinfo | None, until: datetime
) -> Iterator[datetime]:
    """Yield when a rule says that an event begins, as wall times, until some day.

    Raises
    ------
    ValueError
        If it cannot be read, or counts hours or less.
    """
    from dateutil.rrule import rrulestr  # noqa: PLC0415 - seldom wanted
    from icalendar import vRecur  # noqa: PLC0415 - seldom wanted

    if not isinstance(rule, vRecur):
        return
    written = rule.to_ical()  # type: ignore[no-untyped-call] # the library leaves it bare
    parts = dict(part.partition("=")[::2] for part in written.decode().upper().split(";"))
    if parts.get("FREQ") not in _OFTEN:
        msg = f"FREQ must be one of {', '.join(_OFTEN)}"
        raise ValueError(msg)
    if int(parts.get("INTERVAL", 1)) < 1:
        msg = "INTERVAL must be 1 or more"
        raise ValueError(msg)
    count = int(parts.pop("COUNT", OCCURRENCES_MAX * OCCURRENCES_MAX))
    last = _until(parts["UNTIL"], zone) if "UNTIL" in parts else until
    parts["UNTIL"] = f"{min(last, until):%Y%m%dT%H%M%S}"
    text = ";".join(f"{name}={value}" for name, value in parts.items())
    try:
        yield from islice(rrulestr(text, dtstart=first), count)
    except TypeError as fault:  # what the library says of hours and minutes that do not exist
        msg = f"{written.decode()} fits no time"
        raise ValueError(msg) from fault


def _until(text: str, zone: tzinfo | None) -> datetime:
    """Return the end of a rule, a day or a time, by the wall clock of a zone."""
    if len(text) == len("20270409"):
        return datetime.strptime(text, "%Y%m%d").replace(hour=23, minute=59)  # noqa: DTZ007
    if not text.endswith("Z"):
        return datetime.strptime(text, "%Y%m%dT%H%M%S")  # noqa: DTZ007 - a wall clock
    return _wall(datetime.strptime(text, "%Y%m%dT%H%M%SZ").replace(tzinfo=UTC), zone)


def _wall(moment: Moment, zone: tzinfo | None) -> datetime:
    """Return a moment by the wall clock of a zone, without it."""
    if not isinstance(moment, datetime):
        return datetime(moment.year, moment.month, moment.day)  # noqa: DTZ001 - a wall clock
    if moment.tzinfo is not None and zone is not None:
        moment = moment.astimezone(zone)
    return moment.replace(tzinfo=None)


def _listed(value: object) -> Sequence[object]:
    if value is None:
        return ()
    return value if isinstance(value, list) else (value,)


def _moments(value: object) -> Iterator[Moment]:
    for group in _listed(value):
        for item in getattr(group, "dts", ()):
            moment = getattr(item, "dt", None)
            if isinstance(moment, tuple):  # a period: when it begins
                moment = moment[0]
            if isinstance(moment, date):
                yield moment
