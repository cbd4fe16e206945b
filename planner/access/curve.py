"""Levels as pieces that only rise or only fall, and the times at which they lie below a limit.

Every source of water level hands its curve over in this form, so that windows are found from
edges worked out in the piece that holds them, never by sampling.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Indices = NDArray[np.intp]

LEVEL_TOLERANCE_M = 1e-9  # keeps the noise of binary fractions out of "at or below"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Intervals:
    """Sorted, disjoint stretches of time, closed at both ends [min]."""

    starts: Floats
    ends: Floats

    def __post_init__(self) -> None:
        if self.starts.shape != self.ends.shape:
            msg = f"{self.starts.size} starts but {self.ends.size} ends"
            raise ValueError(msg)


NOTHING = Intervals(starts=np.empty(0), ends=np.empty(0))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Curve:
    """A level over time in pieces on which it does not turn.

    Between pieces that do not share an instant the level is unknown, and counts neither as
    below nor as above anything.

    Attributes
    ----------
    start, end
        Time at which each piece begins and ends, in order [min].
    start_m, end_m
        Level there [m].
    solve
        Given indices of pieces and a level [m] between their ends, the time at which each
        piece passes that level [min].
    """

    start: Floats
    end: Floats
    start_m: Floats
    end_m: Floats
    solve: Callable[[Indices, float], Floats]

    def below(self, limit_m: float) -> Intervals:
        """Return the stretches in which the level is at or below a limit [min]."""
        return self._within(limit_m + LEVEL_TOLERANCE_M, limit_m, sign=1.0)

    def above(self, limit_m: float) -> Intervals:
        """Return the stretches in which the level is at or above a limit [min]."""
        return self._within(-limit_m + LEVEL_TOLERANCE_M, limit_m, sign=-1.0)

    def _within(self, bound: float, limit_m: float, *, sign: float) -> Intervals:
        first_ok = sign * self.start_m <= bound
        last_ok = sign * self.end_m <= bound
        starts = self.start.copy()
        ends = self.end.copy()
        entering = np.flatnonzero(~first_ok & last_ok)
        leaving = np.flatnonzero(first_ok & ~last_ok)
        starts[entering] = self._passing(entering, limit_m)
        ends[leaving] = self._passing(leaving, limit_m)
        some = first_ok | last_ok
        return joined(starts[some], ends[some])

    def _passing(self, pieces: Indices, limit_m: float) -> Floats:
        if pieces.size == 0:
            return np.empty(0)
        times = self.solve(pieces, limit_m)
        return np.clip(times, self.start[pieces], self.end[pieces])


def joined(starts: Floats, ends: Floats) -> Intervals:
    """Return stretches with those that touch joined; input sorted and not overlapping."""
    if starts.size == 0:
        return NOTHING
    apart = starts[1:] > ends[:-1]
    return Intervals(
        starts=starts[np.concatenate(([True], apart))],
        ends=ends[np.concatenate((apart, [True]))],
    )


def common(a: Intervals, b: Intervals) -> Intervals:
    """Return the time that two sets of stretches share, single instants left out."""
    first = np.searchsorted(b.ends, a.starts, side="right")
    last = np.searchsorted(b.starts, a.ends, side="left")
    counts = np.maximum(last - first, 0)
    left = np.repeat(np.arange(a.starts.size), counts)
    within = np.arange(left.size) - np.repeat(np.cumsum(counts) - counts, counts)
    right = np.repeat(first, counts) + within
    starts = np.maximum(a.starts[left], b.starts[right])
    ends = np.minimum(a.ends[left], b.ends[right])
    real = ends > starts
    return Intervals(starts=starts[real], ends=ends[real])
