"""What an allowance buys: the share of planned windows in which the water really stayed low.

Windows are cut from the predicted curve at the limit less the allowance, as for planning; each
is then held against what was observed, from getting in to being out.  Between observed points
the residual (observed minus predicted) runs straight, not the level itself: chords of hourly
levels lie up to a decimetre above a tide that turns.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.access.curve import LEVEL_TOLERANCE_M, Curve, Floats, Intervals
from planner.access.edges import long_enough
from planner.access.level import LevelSource
from planner.core.clock import MINUTES_PER_DAY, MINUTES_PER_HOUR

MARGINS_M = tuple(round(0.05 * k, 2) for k in range(21))
"""Allowances that are tried [m]."""
GAP_MAX_MIN = 90.0
"""Windows with a longer gap of observed levels in them are not counted (our choice) [min]."""
_GRID_MIN = 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Bought:
    """What one allowance buys.

    Attributes
    ----------
    allowance_m
        The allowance [m].
    windows, held
        Windows planned with it, and how many of them stayed below the limit throughout [1].
    mean_h
        Mean length of those windows [h].
    open_share
        Hours of these windows as a share of those without allowance [1].
    days_lost
        Days that have a window without allowance, and none with it [d].
    """

    allowance_m: float
    windows: int
    held: int
    mean_h: float
    open_share: float
    days_lost: int

    @property
    def reliability(self) -> float:
        """Return the share of the windows that held [1]; nan where there are none."""
        return self.held / self.windows if self.windows else np.nan


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Observed:
    """Observed levels in time order, above the same zero as the predicted curve [min, m]."""

    minutes: Floats
    levels_m: Floats

    @classmethod
    def beside(cls, source: LevelSource, minutes: Floats, levels_m: Floats) -> Observed:
        """Return observed levels laid on the predicted curve, every ten minutes at least.

        Points at which no level is predicted are left out.

        Parameters
        ----------
        source
            What predicts.
        minutes, levels_m
            Observed, strictly in time order [min, m].

        Raises
        ------
        ValueError
            If nothing is predicted at any of them.
        """
        residual = levels_m - source.level_m(minutes)
        known = np.isfinite(residual)
        if not known.any():
            msg = "no level is predicted at any of the observed times"
            raise ValueError(msg)
        minutes, residual = minutes[known], residual[known]
        grid = np.arange(np.ceil(minutes[0] / _GRID_MIN), minutes[-1] / _GRID_MIN) * _GRID_MIN
        after = np.searchsorted(minutes, grid, side="left").clip(1, max(minutes.size - 1, 1))
        if minutes.size > 1:
            grid = grid[minutes[after] - minutes[after - 1] <= GAP_MAX_MIN]
        times = np.unique(np.concatenate((minutes, grid)))
        levels = source.level_m(times) + np.interp(times, minutes, residual)
        usable = np.isfinite(levels)
        return cls(minutes=times[usable], levels_m=levels[usable])

    def known(self, found: Intervals) -> Intervals:
        """Return the stretches that lie in the series and have no long gap in them."""
        inside = (found.starts >= self.minutes[0]) & (found.ends <= self.minutes[-1])
        gaps = np.diff(self.minutes) > GAP_MAX_MIN
        counted = np.concatenate(([0], np.cumsum(gaps)))
        first = np.clip(np.searchsorted(self.minutes, found.starts, side="right") - 1, 0, None)
        last = np.clip(np.searchsorted(self.minutes, found.ends, side="left"), 0, gaps.size)
        whole = inside & (counted[last] == counted[first])
        return Intervals(starts=found.starts[whole], ends=found.ends[whole])

    def highest_m(self, found: Intervals) -> Floats:
        """Return the highest level in each stretch [m]."""
        ends = np.interp(np.stack((found.starts, found.ends)), self.minutes, self.levels_m)
        highest = ends.max(axis=0)
        first = np.searchsorted(self.minutes, found.starts, side="left")
        last = np.searchsorted(self.minutes, found.ends, side="right")
        for k in np.flatnonzero(last > first):
            highest[k] = max(highest[k], self.levels_m[first[k] : last[k]].max())
        return np.asarray(highest, dtype=float)


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """What a window must give.

    Attributes
    ----------
    limit_m
        Highest level at which people can work [m].
    least_min
        A shorter window is not used [min].
    get_in_min, get_out_min
        Nobody is at the face yet, or any more, so close to the ends of a window [min].
    """

    limit_m: float
    least_min: int
    get_in_min: float = 0.0
    get_out_min: float = 0.0


def held(
    curve: Curve, observed: Observed, need: Need, *, allowance_m: float
) -> tuple[Intervals, NDArray[np.bool_]]:
    """Return the windows planned with an allowance, and which of them really stayed low.

    Parameters
    ----------
    curve
        Predicted level.
    observed
        What came; windows outside of it are not counted.
    need
        Limit and lengths.
    allowance_m
        Taken off the limit for planning [m].
    """
    planned = long_enough(curve.below(need.limit_m - allowance_m), need.least_min)
    counted = observed.known(planned)
    starts, ends = counted.starts + need.get_in_min, counted.ends - need.get_out_min
    peopled = Intervals(starts=np.minimum(starts, ends), ends=ends)
    return counted, observed.highest_m(peopled) <= need.limit_m + LEVEL_TOLERANCE_M


def allowance_table(
    curve: Curve, observed: Observed, need: Need, *, margins_m: Sequence[float] = MARGINS_M
) -> list[Bought]:
    """Return what each of several allowances buys, in their order."""
    plain, _ = held(curve, observed, need, allowance_m=0.0)
    plain_min, plain_days = _length_min(plain), _days(plain)
    found: list[Bought] = []
    for margin in margins_m:
        windows, good = held(curve, observed, need, allowance_m=margin)
        count, length = int(windows.starts.size), _length_min(windows)
        found.append(
            Bought(
                allowance_m=margin,
                windows=count,
                held=int(np.count_nonzero(good)),
                mean_h=length / count / MINUTES_PER_HOUR if count else 0.0,
                open_share=length / plain_min if plain_min else 0.0,
                days_lost=len(plain_days - _days(windows)),
            )
        )
    return found


def monthly_losses(
    curve: Curve,
    observed: Observed,
    need: Need,
    *,
    allowance_m: float,
    month_of: Callable[[int], int],
) -> dict[int, tuple[int, int]]:
    """Return for each month how many windows were planned, and how many did not hold.

    Parameters
    ----------
    curve, observed, need, allowance_m
        As for :func:`held`.
    month_of
        Month, 1 to 12, of a campaign minute.
    """
    windows, good = held(curve, observed, need, allowance_m=allowance_m)
    found: dict[int, tuple[int, int]] = {}
    for start, is_good in zip(windows.starts.tolist(), good.tolist(), strict=True):
        month = month_of(int(start))
        planned, lost = found.get(month, (0, 0))
        found[month] = (planned + 1, lost + (not is_good))
    return dict(sorted(found.items()))


def suggested(table: Sequence[Bought], reliability: float) -> Bought | None:
    """Return the least allowance that is as reliable as wanted, and stays so; None: none is."""
    best: Bought | None = None
    for row in reversed(table):
        if not row.windows or row.reliability < reliability:
            if row.windows:
                break
            continue
        best = row
    return best


def _length_min(found: Intervals) -> float:
    return float(np.sum(found.ends - found.starts))


def _days(found: Intervals) -> set[int]:
    """Return the days, counted from the campaign's first minute, on which windows begin."""
    return set(np.floor(found.starts / MINUTES_PER_DAY).astype(int).tolist())
