"""Progress of long work, told to a listener; the library itself never prints."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """One report of a search.

    Attributes
    ----------
    stage
        What is being done, in a few words.
    elapsed_s
        Seconds since the work began [s].
    goal
        Goal being worked on, empty outside of one.
    best, bound
        Value of the best plan and proven bound for that goal, in the goal's own unit;
        None while unknown.
    """

    stage: str
    elapsed_s: float
    goal: str = ""
    best: float | None = None
    bound: float | None = None


Listener = Callable[[Progress], None]


def silent(_report: Progress) -> None:
    """Listen to nothing."""
