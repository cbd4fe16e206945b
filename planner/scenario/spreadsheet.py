"""Cells of a spreadsheet as the text that a table would have."""

from __future__ import annotations

import re
from datetime import date, datetime, time, timedelta

_QUOTED = re.compile(r"\"[^\"]*\"|\\.|\[(?!h+\]|m+\]|s+\])[^\]]*\]", re.IGNORECASE)
_LAST_YEAR_OF_TIMES = 1900
_EXACT_WHOLE = 1e15
_MINUTE_S, _HOUR_S, _DAY_S = 60, 3600, 86400


def cell_text(value: object, number_format: str = "General") -> str:
    """Return the text that stands for the value of a spreadsheet cell.

    Dates become ``YYYY-MM-DD`` and, where the format of the cell shows a time of day,
    ``YYYY-MM-DDTHH:MM``; times ``HH:MM``; yes and no stand for true and false.  Seconds are
    written only where there are some, parts of a second are rounded.

    Examples
    --------
    >>> cell_text(5.0), cell_text(0.25), cell_text(time(7, 30)), cell_text(None)
    ('5', '0.25', '07:30', '')
    """
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return _number_text(value)
    return _time_text(value, number_format)


def _time_text(value: object, number_format: str) -> str:
    if isinstance(value, datetime):
        return _moment_text(value, number_format)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, time):
        return _clock_text(_seconds(value))
    if isinstance(value, timedelta):
        return _clock_text(round(value.total_seconds()))
    return str(value)


def _number_text(value: float) -> str:
    if value.is_integer() and abs(value) < _EXACT_WHOLE:
        return str(int(value))
    return repr(value)


def _seconds(value: time) -> int:
    exact = value.hour * _HOUR_S + value.minute * _MINUTE_S + value.second
    return exact + round(value.microsecond / 1e6)


def _clock_text(seconds: int) -> str:
    sign = "-" if seconds < 0 else ""
    hours, rest = divmod(abs(seconds), _HOUR_S)
    minutes, left = divmod(rest, _MINUTE_S)
    return f"{sign}{hours:02d}:{minutes:02d}" + (f":{left:02d}" if left else "")


def _moment_text(value: datetime, number_format: str) -> str:
    if value.year <= _LAST_YEAR_OF_TIMES:
        # A time of day is a date in the first days of the spreadsheet's calendar; day 1 is 24:00.
        seconds = _seconds(value.time())
        return _clock_text(seconds or _DAY_S)
    whole = (value + timedelta(microseconds=500_000)).replace(microsecond=0)
    shows_time = "h" in _QUOTED.sub("", number_format).lower()
    if not shows_time and whole.time() == time():
        return whole.date().isoformat()
    return whole.isoformat(timespec="seconds" if whole.second else "minutes")
