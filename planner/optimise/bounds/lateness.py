"""Bound on lateness: what is due together takes its time."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from planner.model.zone import Zone
from planner.optimise.problem import DAY

MOST_DATES = 6
"""Due dates that are looked at, the first ones [1]."""


def least_late_days(
    zones: Sequence[Zone],
    ends: dict[int, int],
    finish: Callable[[frozenset[int], int], int],
) -> float:
    """Return a lower bound on the days late, summed over zones, of plans of all the zones [d].

    No zone ends before the end of its own chain.  Of the zones due by a date, the one that ends
    last ends no earlier than the finish of these zones alone, so it is late by as much as that
    lies after the date, in place of what its own chain says.

    Parameters
    ----------
    ends
        Earliest end of each zone by its own chain [min].
    finish
        A minute before which some zones cannot all be finished, from a minute on.
    """
    late = {
        z: max(0, end - due) for z, end in ends.items() if (due := zones[z].due_min) is not None
    }
    own = sum(late.values())
    best = own
    for date in sorted({due for z in late if (due := zones[z].due_min) is not None})[:MOST_DATES]:
        some = frozenset(z for z in late if (zones[z].due_min or 0) <= date)
        last = finish(some, max(ends[z] for z in some))
        best = max(best, own + max(0, last - date - max(late[z] for z in some)))
    return best / DAY
