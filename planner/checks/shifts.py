"""When shifts run: each occurrence, cut at the first and last midnight."""

from __future__ import annotations

from bisect import bisect_right
from datetime import timedelta

from planner.core.clock import Clock
from planner.model.campaign import Campaign
from planner.model.crew import Shift
from planner.model.identifiers import ShiftId

Occurrence = tuple[int, int]


def occurrences(shift: Shift, clock: Clock) -> list[Occurrence]:
    """Return every occurrence of a shift within the campaign's days, in order [min].

    One that starts on the day before the first day and reaches past midnight counts from
    there on.
    """
    found: list[Occurrence] = []
    day = clock.first_day - timedelta(days=1)
    while day <= clock.last_day:
        if day.weekday() in shift.weekdays:
            start, end = clock.daily(day, start_tod=shift.start_tod, end_tod=shift.end_tod)
            start, end = max(start, 0), min(end, clock.horizon_min)
            if start < end:
                found.append((start, end))
        day += timedelta(days=1)
    return found


class Shifts:
    """The shifts of a campaign.

    Parameters
    ----------
    campaign
        Campaign whose shifts are worked out.
    """

    def __init__(self, campaign: Campaign) -> None:
        self._by_id = {
            shift.shift_id: occurrences(shift, campaign.clock) for shift in campaign.shifts
        }
        self._starts = {key: [start for start, _ in spans] for key, spans in self._by_id.items()}

    def outside_min(self, shift_id: ShiftId, start_min: int, end_min: int) -> int:
        """Return how much of a stretch the best single occurrence leaves outside [min]."""
        spans = self._by_id.get(shift_id, [])
        first = max(0, bisect_right(self._starts.get(shift_id, []), start_min) - 1)
        inside = 0
        for start, end in spans[first:]:
            if start >= end_min:
                break
            inside = max(inside, min(end, end_min) - max(start, start_min))
        return end_min - start_min - inside

    def touched(self, shift_id: ShiftId, start_min: int, end_min: int) -> list[Occurrence]:
        """Return the occurrences that a stretch touches, in order."""
        spans = self._by_id.get(shift_id, [])
        first = max(0, bisect_right(self._starts.get(shift_id, []), start_min) - 1)
        found: list[Occurrence] = []
        for start, end in spans[first:]:
            if start >= end_min:
                break
            if end > start_min:
                found.append((start, end))
        return found
