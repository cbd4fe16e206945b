"""Closures of a campaign: the rows of closures.csv, those that come every year, and holidays."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from planner.core.clock import Clock
from planner.model.limits import Closure, ClosureKind, ClosureScope
from planner.scenario.calendar import begins, ends
from planner.scenario.draft import Draft, Row


def build_closures(draft: Draft, clock: Clock) -> tuple[Closure, ...]:
    """Return the closures in file order; a yearly row comes once for each year."""
    return tuple(
        closure for row in draft.rows("closures") for closure in closures_of_row(row, clock)
    )


def closures_of_row(row: Row, clock: Clock) -> Iterator[Closure]:
    """Yield the closures that one row stands for."""
    for start, end in _stretches(row, clock):
        yield Closure(
            scope=ClosureScope(row.text("scope")),
            target=row.text("id"),
            from_min=0 if start is None else begins(clock, start),
            to_min=clock.horizon_min if end is None else ends(clock, end),
            weekdays=row.weekdays("days"),
            start_tod=row.whole("start"),
            end_tod=row.whole("end"),
            why=row.text("why"),
            kind=ClosureKind(row.text("kind")),
        )


def _stretches(row: Row, clock: Clock) -> Iterator[tuple[date | None, date | None]]:
    start, end = row.moment("from"), row.moment("to")
    if not row.flag("yearly") or start is None or end is None:
        yield start, end
        return
    # A season may run over New Year, and one that began before the campaign reaches into it.
    for years in range(clock.first_day.year - end.year, clock.last_day.year - start.year + 1):
        yield in_year(start, start.year + years), in_year(end, end.year + years)


def in_year(moment: date, year: int) -> date:
    """Return the same day and time of another year; 29 February becomes 28 February.

    Examples
    --------
    >>> in_year(date(2028, 2, 29), 2027)
    datetime.date(2027, 2, 28)
    """
    if (moment.month, moment.day) == (2, 29) and not _is_leap(year):
        moment -= timedelta(days=1)
    return moment.replace(year=year)


def _is_leap(year: int) -> bool:
    return (date(year, 3, 1) - timedelta(days=1)).day == 29
