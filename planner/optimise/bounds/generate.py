"""Column generation for one horizon: choices of work join a programme that proposes new worth.

Prices are tried between the best ones so far and those of the programme, which damps their
swings.  Each try is judged by the exact inequality, so any step may be the last.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from planner.optimise.bounds.columns import Horizon, Point
from planner.optimise.bounds.master import Column, Duals, Master

GAIN = 1e-7
DAMPING = 0.5
MOST_SEEDS = 400
FEASIBLE = 1e-7


@dataclass
class Generated:
    """What column generation came to.

    Attributes
    ----------
    point, ratio
        The best worth and prices, and the demand over what fits by them.
    fits
        Whether the programme found that the horizon cannot be refuted this way.
    steps
        How many points were judged [1].
    """

    point: Point
    ratio: float
    fits: bool = False
    steps: int = 0


def generate(
    horizon: Horizon, start: Point, *, most_steps: int, stop: Callable[[], bool]
) -> Generated:
    """Return the best point found; it ends as soon as the horizon is refuted."""
    verdict = horizon.judge(start)
    found = Generated(start, verdict.ratio, steps=1)
    master = Master(horizon.rough, horizon.demand.rough(horizon.packing.kinds), horizon.supply)
    for column in [
        *horizon.choices(verdict.at_posts, start),
        *horizon.seeds(start, verdict.at_posts, MOST_SEEDS),
    ]:
        master.add(column)
    while found.ratio <= 1.0 and found.steps < most_steps and not stop():
        duals = master.solve()
        if duals is None:
            break
        if duals.stretch < 1.0 - FEASIBLE:
            found.fits = True
            break
        if not _step(horizon, master, duals, found):
            break
    return found


def _step(horizon: Horizon, master: Master, duals: Duals, found: Generated) -> bool:
    """Judge a point between the best and the programme's, else the programme's; add columns."""
    theirs = horizon.spread(duals)
    for point in (found.point.towards(theirs, DAMPING), theirs):
        verdict = horizon.judge(point)
        found.steps += 1
        if verdict.ratio > found.ratio:
            found.point, found.ratio = point, verdict.ratio
        if found.ratio > 1.0:
            return True
        columns = _of_use(horizon, horizon.choices(verdict.at_posts, point), duals, master.total)
        for column in columns:
            master.add(column)
        if columns:
            return True
    return False


def _of_use(horizon: Horizon, columns: list[Column], duals: Duals, total: float) -> list[Column]:
    return [column for column in columns if horizon.gain(column, duals) > GAIN * total]
