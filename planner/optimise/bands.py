"""Bands of one run: windows nested round low water, and the work that waits for each.

The zones that a rig reaches from a position are open in windows that lie in one another.  What
is done in a narrow window can be done at no other time; so a run keeps, for each band, the
minutes at its end that the work inside still needs.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from planner.core.rounding import up
from planner.core.spans import Spans
from planner.optimise.board import Board, spans_from
from planner.optimise.problem import Way

MINUTES = 60.0


@dataclass(frozen=True, slots=True)
class Band:
    """A window and the minutes of work, zone changes included, that have no wider one."""

    start: int
    end: int
    need: int

    def lost(self, cursor: int) -> int:
        """Return how much of the work no longer fits when a rig is free only from a minute."""
        return max(0, self.need - max(0, self.end - max(cursor, self.start)))


def bands_of(
    board: Board, mix: int, ways: Sequence[Way], cursor: int, limit: int
) -> tuple[Band, ...]:
    """Return the bands that are open, or open later, before a run has to end."""
    problem = board.problem
    change = problem.zone_change
    needs: dict[tuple[int, int], int] = {}
    for way in ways:
        state = board.zones[way.zone]
        if state.mix not in (-1, mix) or state.closed is not None:
            continue
        at = board.earliest(way.zone, mix)
        if at is None:
            continue
        spans = problem.jobs[way.zone][mix].mid
        k = spans_from(spans, max(at, cursor + change))
        if k >= len(spans.starts) or max(at, spans.starts[k]) >= limit:
            continue
        left = way.minutes[state.layer] if state.whole else up(MINUTES * state.left / way.rate)
        key = (spans.starts[k], min(spans.ends[k], limit))
        needs[key] = needs.get(key, 0) + left + change
    return tuple(
        Band(start, end, sum(n for (a, b), n in needs.items() if start <= a and b <= end))
        for start, end in sorted(needs)
    )


def inner_bands(bands: Sequence[Band], spans: Spans, at: int, limit: int) -> list[Band]:
    """Return the bands inside the window of a zone at a minute, cut to a run, narrower than it."""
    k = spans_from(spans, at)
    start, end = spans.starts[k], min(spans.ends[k], limit)
    return [
        band
        for band in bands
        if start <= band.start and band.end <= end and (start < band.start or band.end < end)
    ]
