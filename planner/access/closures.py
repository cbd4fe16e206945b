"""Closures: when the site, a position, a zone, a section, a rig, a crew or a process is shut."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import timedelta

from planner.core.clock import Clock
from planner.core.spans import Span, Spans
from planner.model.limits import Closure, ClosureKind, ClosureScope

Target = tuple[ClosureScope, str]

SITE: Target = (ClosureScope.SITE, "")


@dataclass(frozen=True, slots=True, kw_only=True)
class Shut:
    """When one row of closures.csv shuts its target, why, and what sort of reason that is."""

    spans: Spans
    why: str
    kind: ClosureKind = ClosureKind.OTHER


def closure_spans(closure: Closure, clock: Clock, *, start: int, end: int) -> Spans:
    """Return the minutes that one closure shuts between two campaign minutes.

    Daily hours are those of the occurrences that start on its days, cut to the stretch from
    ``from`` to ``to``; without days, hours that began on the evening before ``from`` count too.
    """
    low, high = max(closure.from_min, start), min(closure.to_min, end)
    if high <= low:
        return Spans()
    if closure.weekdays is None and closure.start_tod is None:
        return Spans.whole(low, high)
    return Spans(_daily(closure, clock, low, high)).clip(low, high)


def _daily(closure: Closure, clock: Clock, low: int, high: int) -> Iterable[Span]:
    start_tod, end_tod = closure.start_tod or 0, closure.end_tod or 0
    day = clock.day(low) - timedelta(days=1)
    last = clock.day(high - 1)
    while day <= last:
        if closure.weekdays is None or day.weekday() in closure.weekdays:
            yield clock.daily(day, start_tod=start_tod, end_tod=end_tod)
        day += timedelta(days=1)


class Closures:
    """The closures of a campaign by what they shut, each expanded once.

    Parameters
    ----------
    rows
        Rows of closures.csv.
    clock
        The campaign's calendar; closures are cut to its days.
    """

    def __init__(self, rows: Sequence[Closure], clock: Clock) -> None:
        self._shut: dict[Target, list[Shut]] = {}
        for row in rows:
            spans = closure_spans(row, clock, start=0, end=clock.horizon_min)
            if spans:
                self._shut.setdefault((row.scope, row.target), []).append(
                    Shut(spans=spans, why=row.why, kind=row.kind)
                )

    def shut(self, targets: Iterable[Target]) -> Spans:
        """Return the minutes in which at least one of several targets is shut."""
        return Spans(
            span
            for target in targets
            for shut in self._shut.get(target, ())
            for span in shut.spans
        )

    def rows(self, target: Target) -> Sequence[Shut]:
        """Return each closure of one target."""
        return self._shut.get(target, ())

    def known(self, targets: Iterable[Target]) -> tuple[Target, ...]:
        """Return those of several targets that have a closure at all."""
        return tuple(target for target in targets if target in self._shut)
