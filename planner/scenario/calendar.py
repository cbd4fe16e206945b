"""Dates and times of a scenario as campaign minutes, rounded against ourselves."""

from __future__ import annotations

from datetime import date, datetime

from planner.core.clock import Clock
from planner.core.rounding import down, up
from planner.scenario.draft import Cells


def exact(clock: Clock, moment: date | datetime) -> float:
    """Return the campaign minute of a moment; a date alone is its 00:00 [min]."""
    if isinstance(moment, datetime):
        return clock.exact_minute(moment)
    return float(clock.day_start(moment))


def is_ambiguous(clock: Clock, moment: date | datetime) -> bool:
    """Return whether a local time occurs twice, or not at all, because the clock is changed."""
    if not isinstance(moment, datetime) or moment.tzinfo is not None:
        return False
    return clock.exact_minute(moment) != clock.exact_minute(moment.replace(fold=1))


def begins(clock: Clock, moment: date | datetime) -> int:
    """Return the minute in which something that keeps work away begins [min]."""
    return down(exact(clock, moment))


def ends(clock: Clock, moment: date | datetime) -> int:
    """Return the minute at which it is over; a date alone means the end of that day [min]."""
    if isinstance(moment, datetime):
        return up(clock.exact_minute(moment))
    return clock.day_end(moment)


def not_before(clock: Clock, moment: date | datetime) -> int:
    """Return the first whole minute that is not before a moment [min]."""
    return up(exact(clock, moment))


def on_site(clock: Clock, cells: Cells) -> tuple[int, int]:
    """Return the stretch of the columns ``from`` and ``to``, clipped to the campaign [min].

    Both days are included; where they miss the campaign the stretch is empty.
    """
    first, last = cells.day("from"), cells.day("to")
    start = 0 if first is None else min(max(0, clock.day_start(first)), clock.horizon_min)
    end = clock.horizon_min if last is None else min(clock.day_end(last), clock.horizon_min)
    return start, max(start, end)
