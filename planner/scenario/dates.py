"""Cells that hold dates and times."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta, timezone

from planner.core.clock import MINUTES_PER_DAY
from planner.scenario.cell_error import CellError
from planner.scenario.dictionary import Column
from planner.scenario.grid import shorten

YEAR_MIN, YEAR_MAX = 1900, 2199
"""Years that a scenario may speak of."""
MONTHS, DAYS = 12, 31

_DATE = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})")
_DATE_LENGTH = 10
_MOMENT = re.compile(
    r"([0-9]{4}-[0-9]{2}-[0-9]{2})"
    r"[Tt ]([0-9]{1,2}):([0-9]{2})(?::([0-9]{2})(?:\.([0-9]{1,9}))?)?"
    r"\s?([Zz]|[+-][0-9]{2}:?[0-9]{2})?"
)
_TIME = re.compile(r"([0-9]{1,2}):([0-9]{2})(?::00(?:\.0+)?)?")


def parse_day(column: Column, text: str) -> date:
    """Return a date written as YYYY-MM-DD.

    Raises
    ------
    CellError
        If the text is something else.
    """
    if _MOMENT.fullmatch(text):
        raise CellError(
            "not-a-date", f"{shorten(text)} has a time of day; write the date alone: {text[:10]}"
        )
    found = _DATE.fullmatch(text)
    if found is None:
        raise CellError(
            "not-a-date", f"{shorten(text)} is not a date{_date_meant(text)}; {column.advice()}"
        )
    return _real_date(text)


def _real_date(text: str) -> date:
    try:
        day = date.fromisoformat(text)
    except ValueError:
        raise CellError(
            "not-a-date", f"there is no day {text} in the calendar; write YYYY-MM-DD"
        ) from None
    if not YEAR_MIN <= day.year <= YEAR_MAX:
        raise CellError(
            "not-a-date", f"the year of {text} does not lie in {YEAR_MIN} to {YEAR_MAX}"
        )
    return day


def _date_meant(text: str) -> str:
    found = re.fullmatch(r"([0-9]{1,2})[./-]([0-9]{1,2})[./-]([0-9]{4})(?:\s.*)?", text)
    if found:
        a, b, year = int(found.group(1)), int(found.group(2)), found.group(3)
        orders = [
            (month, day)
            for day, month in ((a, b), (b, a))
            if 1 <= month <= MONTHS and 1 <= day <= DAYS
        ]
        both = list(dict.fromkeys(f"{year}-{month:02d}-{day:02d}" for month, day in orders))
        return f" (did you mean {' or '.join(both)}?)" if both else ""
    found = re.fullmatch(r"([0-9]{4})[./]?([0-9]{1,2})[./]?([0-9]{1,2})", text)
    if found:
        year, month, day = found.group(1), int(found.group(2)), int(found.group(3))
        if 1 <= month <= MONTHS and 1 <= day <= DAYS:
            return f" (did you mean {year}-{month:02d}-{day:02d}?)"
    return ""


def parse_moment(column: Column, text: str) -> date | datetime:
    """Return a date-time, with its offset from UTC if one is given, or a date alone.

    Raises
    ------
    CellError
        If the text is something else.
    """
    if len(text) == _DATE_LENGTH and _DATE.fullmatch(text):
        return _real_date(text)
    found = _MOMENT.fullmatch(text)
    if found is None:
        raise CellError(
            "not-a-date-time",
            f"{shorten(text)} is not a date-time{_date_meant(text)}; {column.advice()}",
        )
    day, hour, minute, second, part, offset = found.groups()
    start = datetime.combine(_real_date(day), datetime.min.time())
    hours, minutes, seconds = int(hour), int(minute), int(second or 0)
    is_midnight = (hours, minutes, seconds) == (24, 0, 0) and not part
    if (hours > 23 and not is_midnight) or minutes > 59 or seconds > 59:
        raise CellError("not-a-date-time", f"{shorten(text)}: there is no such time of day")
    micro = int((part or "0").ljust(6, "0")[:6])
    moment = start + timedelta(hours=hours, minutes=minutes, seconds=seconds, microseconds=micro)
    return moment.replace(tzinfo=_offset(offset)) if offset else moment


def _offset(text: str) -> timezone:
    if text in {"Z", "z"}:
        return UTC
    sign = -1 if text[0] == "-" else 1
    hours, minutes = int(text[1:3]), int(text[-2:])
    if hours > 15 or minutes > 59:
        raise CellError("not-a-date-time", f"{text} is not an offset from UTC; write +01:00")
    return timezone(sign * timedelta(hours=hours, minutes=minutes))


def parse_time_of_day(column: Column, text: str) -> int:
    """Return a time of day written as HH:MM; 24:00 is 0 [minutes after midnight].

    Raises
    ------
    CellError
        If the text is something else.
    """
    found = _TIME.fullmatch(text)
    if found is None:
        raise CellError("not-a-time", f"{shorten(text)} is not a time of day; {column.advice()}")
    hours, minutes = int(found.group(1)), int(found.group(2))
    if (hours > 23 and (hours, minutes) != (24, 0)) or minutes > 59:
        raise CellError("not-a-time", f"there is no time {text}; write 00:00 to 24:00")
    if hours > 23 and column.name == "start":
        raise CellError("not-a-time", "24:00 is an end, not a start; write 00:00 of the next day")
    return (hours * 60 + minutes) % MINUTES_PER_DAY
