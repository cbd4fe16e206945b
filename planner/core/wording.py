"""Civil times in words, as every sentence of the planner writes them."""

from __future__ import annotations

from datetime import date

from planner.core.clock import Clock

DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = (
    "Jan",
    "Feb",
    "Mar",
    "Apr",
    "May",
    "Jun",
    "Jul",
    "Aug",
    "Sep",
    "Oct",
    "Nov",
    "Dec",
)


def weekday(day: date) -> str:
    """Return the weekday in short, as ``Mon``."""
    return DAYS[day.weekday()]


def day_name(day: date) -> str:
    """Return a civil day in short, as ``Mon 1 Mar``."""
    return f"{DAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]}"


def moment(clock: Clock, minute: int) -> str:
    """Return a campaign minute as local time, as ``Mon 1 Mar 05:30``."""
    local = clock.local(minute)
    return f"{day_name(local.date())} {local:%H:%M}"


def time_range(clock: Clock, start: int, end: int) -> str:
    """Return a stretch as local times; the day is said twice only where it changes."""
    first, last = clock.local(start), clock.local(end)
    tail = f"{last:%H:%M}" if first.date() == last.date() else moment(clock, end)
    return f"{moment(clock, start)} to {tail}"
