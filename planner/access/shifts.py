"""Occurrences of a daily shift within the campaign's days."""

from __future__ import annotations

from datetime import timedelta

from planner.core.clock import Clock
from planner.core.spans import Span
from planner.model.crew import Shift


def shift_spans(shift: Shift, clock: Clock) -> tuple[Span, ...]:
    """Return every occurrence of a shift in order, cut to the campaign's days [min].

    Occurrences that touch stay separate.  A shift that crosses the first or the last midnight
    is cut there; one that a clock change leaves no time for is left out.
    """
    found: list[Span] = []
    for day in [clock.first_day - timedelta(days=1), *clock.calendar()]:
        if day.weekday() not in shift.weekdays:
            continue
        start, end = clock.daily(day, start_tod=shift.start_tod, end_tod=shift.end_tod)
        start, end = max(start, 0), min(end, clock.horizon_min)
        if start < end:
            found.append((start, end))
    return tuple(sorted(found))
