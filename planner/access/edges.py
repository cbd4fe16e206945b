"""From exact edges to whole minutes, inwards."""

from __future__ import annotations

from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from planner.access.curve import LEVEL_TOLERANCE_M, Floats, Intervals
from planner.core.rounding import DECIMALS
from planner.core.spans import Spans

_HALF_DECIMAL = 0.5 * 10.0**-DECIMALS  # [min]
_NEAR_M = 1e-6  # no level moves farther in half a decimal of a minute


class Keeps(Protocol):
    """Tells at which minutes limits are kept when a level may lie beyond them by a slack [m]."""

    def __call__(self, minutes: Floats, slack_m: float) -> NDArray[np.bool_]:
        """Return for each minute whether the limits are kept."""


def long_enough(found: Intervals, least_min: int) -> Intervals:
    """Return the stretches of a least length, compared before any rounding."""
    enough = np.round(found.ends - found.starts, DECIMALS) >= least_min
    return Intervals(starts=found.starts[enough], ends=found.ends[enough])


def whole_minutes(found: Intervals, keeps: Keeps | None) -> tuple[Floats, Floats]:
    """Return edges rounded inwards, each on a minute at which the limits are kept.

    Edges are taken to six decimals (contract, conventions).  One that falls on a whole minute
    is asked there: the level may step at it, as the tide does at New Year.

    Parameters
    ----------
    found
        Stretches with exact edges.
    keeps
        Asked at edges on whole minutes; None: nothing to ask.
    """
    starts, ends = np.round(found.starts, DECIMALS), np.round(found.ends, DECIMALS)
    inner_starts, inner_ends = np.ceil(starts), np.floor(ends)
    if keeps is not None:
        inner_starts += _broken(inner_starts, inner_starts == starts, keeps)
        inner_ends -= _broken(inner_ends, inner_ends == ends, keeps)
    return inner_starts, inner_ends


def _broken(minutes: Floats, asked: NDArray[np.bool_], keeps: Keeps) -> NDArray[np.bool_]:
    """Return which of the minutes asked about break a limit.

    A limit kept within half the last decimal of a minute is kept there.
    """
    broken = np.zeros(minutes.shape, dtype=bool)
    at = minutes[asked]
    beside = [keeps(at + shift, LEVEL_TOLERANCE_M) for shift in (-_HALF_DECIMAL, _HALF_DECIMAL)]
    kept = keeps(at, LEVEL_TOLERANCE_M) | (keeps(at, _NEAR_M) & (beside[0] | beside[1]))
    broken[asked] = ~kept
    return broken


def spans_of(starts: Floats, ends: Floats) -> Spans:
    """Return whole minutes as spans; empty ones vanish, those that touch are one."""
    real = ends > starts
    first, last = starts[real].astype(int), ends[real].astype(int)
    if np.all(first[1:] > last[:-1]):
        return Spans.in_order(first.tolist(), last.tolist())
    return Spans(zip(first.tolist(), last.tolist(), strict=True))
