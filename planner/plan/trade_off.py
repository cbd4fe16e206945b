"""The trade-off between relocations and finish: what several searches together say.

Each search gives a plan and bounds.  A plan with few relocations also answers for every larger
number, and a bound over plans with many also holds for every smaller number; so each point takes
the best plan and the best bound of all searches that may speak for it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from planner.plan.plan import Plan

NOISE = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What one search found.

    Attributes
    ----------
    cap
        Most relocations that its plans might have [1]; None: any number, while it looked for
        the finish.
    plan
        Its plan, valid.
    volumes_m3
        Planned volume of each priority, 1 first [m³].
    relocations, finish_h, cost
        Values of the plan; the finish in hours from minute 0 [1, h, money].
    finish_bound_h, cost_bound
        Proven bounds over plans of at least this volume that keep ``cap``; that on the cost over
        those that also finish no later and move no more than this plan [h, money].
    """

    cap: int | None
    plan: Plan
    volumes_m3: tuple[float, ...]
    relocations: int
    finish_h: float
    cost: float
    finish_bound_h: float
    cost_bound: float

    @property
    def volume_m3(self) -> float:
        """Return the planned volume [m³]."""
        return sum(self.volumes_m3)

    @property
    def rank(self) -> tuple[object, ...]:
        """Return its place: most volume by priority, earliest, cheapest, fewest moves."""
        most = tuple(-volume for volume in self.volumes_m3)
        return (most, self.finish_h, self.cost, self.relocations)


@dataclass(frozen=True, slots=True, kw_only=True)
class TradePoint:
    """The best that was found with at most so many relocations.

    Attributes
    ----------
    relocations_max
        How many are allowed [1].
    best
        The plan and its values.
    finish_bound_h
        No plan of this volume with so many relocations finishes before it [h].
    cost_bound
        None of those that finish no later than this plan costs less [money].
    """

    relocations_max: int
    best: Outcome
    finish_bound_h: float
    cost_bound: float


def trade_points(outcomes: Sequence[Outcome], allowed: Iterable[int]) -> list[TradePoint]:
    """Return a point for each number of relocations that some plan keeps, in the order given."""
    return [
        _point(outcomes, most)
        for most in allowed
        if any(one.relocations <= most for one in outcomes)
    ]


def _point(outcomes: Sequence[Outcome], most: int) -> TradePoint:
    keeping = [one for one in outcomes if one.relocations <= most]
    best = min(keeping, key=lambda one: one.rank)
    speaking = [one for one in outcomes if one.volume_m3 <= best.volume_m3 + NOISE]
    finish = [one.finish_bound_h for one in speaking if one.cap is None or one.cap >= most]
    cost = [
        one.cost_bound
        for one in speaking
        if (one.relocations if one.cap is None else one.cap) >= most
        and one.finish_h >= best.finish_h - NOISE
    ]
    return TradePoint(
        relocations_max=most,
        best=best,
        finish_bound_h=min(best.finish_h, max(finish, default=0.0)),
        cost_bound=min(best.cost, max(cost, default=0.0)),
    )


def between(low: int, high: int, points: int) -> list[int]:
    """Return at most so many whole numbers from ``low`` to ``high``, both among them, evenly.

    Examples
    --------
    >>> between(0, 3, 8), between(2, 22, 5), between(4, 4, 8)
    ([0, 1, 2, 3], [2, 7, 12, 17, 22], [4])
    """
    if high <= low:
        return [low]
    if high - low < points:
        return list(range(low, high + 1))
    steps = points - 1
    return sorted({low + round(k * (high - low) / steps) for k in range(points)})
