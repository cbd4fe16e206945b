"""Campaign minutes laid out as rows of one day each, hours across.

A row shows wall-clock hours.  Where the clock is put forward, an hour of the row stays empty;
where it is put back, an hour is used twice.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from planner.core.clock import MINUTES_PER_DAY, MINUTES_PER_HOUR, Clock
from planner.plan.plan import Plan
from planner.reports.wording import day_name, weekday

NOON_TOD = MINUTES_PER_DAY // 2
HOURS = 24
SECONDS_PER_HOUR = 3600.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A stretch inside one row: row number, and hours after the row's start [h]."""

    row: int
    start_h: float
    end_h: float


class DayRows:
    """Rows of one day each, from the first to the last day of a campaign.

    Parameters
    ----------
    clock
        Calendar of the campaign.
    start_tod
        Local time of day at which every row begins [minutes after midnight]; noon keeps the
        nights whole.
    """

    def __init__(self, clock: Clock, *, start_tod: int = 0) -> None:
        self.clock = clock
        self.start_tod = start_tod
        before = 1 if start_tod else 0
        first = clock.first_day - timedelta(days=before)
        self.days = [first + timedelta(days=k) for k in range(clock.days + before)]
        self._starts = [self._row_start(day) for day in self.days]

    def _row_start(self, day: date) -> int:
        moment = time(*divmod(self.start_tod, MINUTES_PER_HOUR))
        return self.clock.minute(datetime.combine(day, moment))

    def __len__(self) -> int:
        return len(self.days)

    def row_of(self, minute: int) -> int:
        """Return the row on which a minute lies; minutes outside go to the nearest row."""
        return min(max(0, bisect_right(self._starts, minute) - 1), len(self.days) - 1)

    def row_span(self, row: int) -> tuple[int, int]:
        """Return the minutes that a row shows, half-open [min]."""
        start = self._starts[row]
        return start, self._row_start(self.days[row] + timedelta(days=1))

    def pieces(self, start: int, end: int) -> list[Piece]:
        """Return the parts of a stretch on the rows that it touches, cut at clock changes."""
        found: list[Piece] = []
        if end <= start:
            return found
        for row in range(self.row_of(start), self.row_of(end - 1) + 1):
            low, high = self.row_span(row)
            for cut_low, cut_high in self._steady(low, high):
                from_min, to_min = max(start, cut_low), min(end, cut_high)
                if from_min < to_min:
                    start_h = self._wall_h(row, from_min)
                    end_h = start_h + (to_min - from_min) / MINUTES_PER_HOUR
                    found.append(Piece(row=row, start_h=start_h, end_h=end_h))
        return found

    def hour(self, minute: int) -> tuple[int, float]:
        """Return the row of a minute and its wall-clock hours after the row's start [h]."""
        piece = self.pieces(minute, minute + 1)[0]
        return piece.row, piece.start_h

    def _wall_h(self, row: int, minute: int) -> float:
        """Return how far the wall clock stands after the row's beginning [h]."""
        moment = time(*divmod(self.start_tod, MINUTES_PER_HOUR))
        shown = self.clock.local(minute).replace(tzinfo=None)
        passed = shown - datetime.combine(self.days[row], moment)
        return passed.total_seconds() / SECONDS_PER_HOUR

    def _steady(self, start: int, end: int) -> list[tuple[int, int]]:
        """Return the stretches of a row's span that have one UTC offset each."""
        if end - start == MINUTES_PER_DAY:
            return [(start, end)]
        change = self._change(start, end)
        return [(start, change), (change, end)]

    def _change(self, start: int, end: int) -> int:
        """Return the first minute of ``(start, end)`` with another UTC offset than ``start``."""
        offset = self.clock.local(start).utcoffset()
        low, high = start, end
        while high - low > 1:
            middle = (low + high) // 2
            if self.clock.local(middle).utcoffset() == offset:
                low = middle
            else:
                high = middle
        return high

    def name(self, row: int) -> str:
        """Return what a row is called: its day, or the night between two days."""
        day = self.days[row]
        if not self.start_tod:
            return day_name(day)
        after = day + timedelta(days=1)
        return f"{weekday(day)} to {day_name(after)}"

    def hour_label(self, hours: float) -> str:
        """Return the time of day at some hours after the start of a row, as HH:MM."""
        tod = (self.start_tod + round(hours * MINUTES_PER_HOUR)) % MINUTES_PER_DAY
        return f"{tod // MINUTES_PER_HOUR:02d}:{tod % MINUTES_PER_HOUR:02d}"


def rows_for(clock: Clock, plan: Plan) -> DayRows:
    """Return rows that begin at midnight, or at noon where more runs cross midnight than noon."""
    midnight = DayRows(clock)
    noon = DayRows(clock, start_tod=NOON_TOD)
    cut_by_midnight = sum(_is_cut(midnight, run.start_min, run.end_min) for run in plan.runs)
    cut_by_noon = sum(_is_cut(noon, run.start_min, run.end_min) for run in plan.runs)
    return noon if cut_by_midnight > cut_by_noon else midnight


def _is_cut(rows: DayRows, start: int, end: int) -> bool:
    return rows.row_of(start) != rows.row_of(end - 1)
