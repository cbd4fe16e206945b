"""Where two curves of cost cross: between planned points, and by algebra where costs are lines."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """Two stagings at the same value of what is scaled.

    Attributes
    ----------
    at
        The value.
    one, other
        Their estimates [money]; None where a staging does not plan everything there.
    """

    at: float
    one: float | None
    other: float | None

    @property
    def difference(self) -> float | None:
        """Return how much dearer the first is, None where they cannot be compared [money]."""
        return None if self.one is None or self.other is None else self.one - self.other


@dataclass(frozen=True, slots=True, kw_only=True)
class Crossing:
    """A value at which both cost the same.

    Attributes
    ----------
    at
        Straight line between the planned points beside it.
    low, high
        These two points.
    """

    at: float
    low: float
    high: float


def crossings(points: Sequence[Point]) -> list[Crossing]:
    """Return where the cheaper one changes, in the order of the values.

    Only neighbouring points at which both stagings plan everything are joined.
    """
    found: list[Crossing] = []
    for before, after in pairwise(sorted(points, key=lambda point: point.at)):
        first, second = before.difference, after.difference
        if first is None or second is None or first * second > 0.0 or first == second:
            continue
        share = first / (first - second)
        at = before.at + share * (after.at - before.at)
        if not found or found[-1].at != at:
            found.append(Crossing(at=at, low=before.at, high=after.at))
    return found


def break_even(
    *, fixed_one: float, unit_one: float, fixed_other: float, unit_other: float
) -> float | None:
    """Return the quantity at which two straight lines of cost meet, None where they do not.

    fixed_one + unit_one x V = fixed_other + unit_other x V.

    Examples
    --------
    >>> break_even(fixed_one=1000.0, unit_one=900.0, fixed_other=16000.0, unit_other=600.0)
    50.0
    """
    if unit_one == unit_other:
        return None
    at = (fixed_other - fixed_one) / (unit_one - unit_other)
    return at if at > 0.0 else None
