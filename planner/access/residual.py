r"""The part of the water level that no tide table tells: surge, pressure, seiche, flow.

The residual (observed minus predicted) is skewed, heavy-tailed and slow to change, so it is
kept as its own quantiles, by half-year, and as the persistence of its normal scores: a mixture
of two exponentials, for weather that passes within a day and for weather that stays,

.. math:: r(L) = w e^{-L / T_1} + (1 - w) e^{-L / T_2}

A draw is the sum of two first-order autoregressive series with these times, taken through the
normal distribution to the quantiles of its half-year (a Gaussian copula).  What it does not
know: that surge and tide act on each other in shallow seas.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from math import exp
from statistics import NormalDist

import numpy as np

from planner.access.curve import Floats

PROBABILITIES = (
    0.0, 0.001, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5,
    0.6, 0.7, 0.8, 0.9, 0.95, 0.98, 0.99, 0.995, 0.999, 1.0,
)  # fmt: skip
LAGS_H = (1, 2, 3, 6, 12, 24, 48, 72)
_SHORT_H = (2.0, 3.0, 4.0, 6.0, 9.0, 12.0, 18.0)
_LONG_H = (12.0, 18.0, 24.0, 36.0, 48.0, 72.0, 96.0, 144.0, 240.0)
_SHARES = tuple(k / 20 for k in range(21))
LEAST_HOURS = 24 * 14
"""Shortest series that tells of weather [h]: two weeks (our choice)."""

_GAP_MIN = 90.0  # between hourly points one may lie half an hour off
_WINTER_MONTHS = frozenset({10, 11, 12, 1, 2, 3})
_SEASON_LEAST = 24 * 28  # fewer hours of a half-year say little of it: the whole is used


@dataclass(frozen=True, slots=True, kw_only=True)
class Residual:
    """A residual model.

    Attributes
    ----------
    hours
        Hours that it was fitted to [h].
    mean_m, spread_m
        Mean and standard deviation [m].
    quantiles_m
        Quantiles at ``PROBABILITIES``, the mean included: of October to March, and of April to
        September [m].
    short_h, long_h, short_share
        Times of the two exponentials [h], and the weight of the short one [1].
    persistence
        Autocorrelation of the residual itself at ``LAGS_H`` [1].
    """

    hours: int
    mean_m: float
    spread_m: float
    quantiles_m: tuple[tuple[float, ...], tuple[float, ...]]
    short_h: float
    long_h: float
    short_share: float
    persistence: tuple[float, ...]

    def sample(
        self, months: np.ndarray[tuple[int], np.dtype[np.int_]], rng: np.random.Generator
    ) -> Floats:
        """Return one random course of the residual, hour by hour [m].

        Parameters
        ----------
        months
            Month, 1 to 12, of each hour.
        rng
            Source of chance.
        """
        count = int(months.size)
        parts = (
            np.sqrt(self.short_share) * _persistent(count, self.short_h, rng),
            np.sqrt(1.0 - self.short_share) * _persistent(count, self.long_h, rng),
        )
        share = _normal_share(parts[0] + parts[1])
        winter = np.isin(months, sorted(_WINTER_MONTHS))
        cold, warm = (np.interp(share, PROBABILITIES, row) for row in self.quantiles_m)
        return np.where(winter, cold, warm)


def fit_residual(
    residual_m: Floats, months: np.ndarray[tuple[int], np.dtype[np.int_]]
) -> Residual:
    """Return the model of an hourly residual.

    Parameters
    ----------
    residual_m
        Observed minus predicted, hour by hour; nan where there is none [m].
    months
        Month, 1 to 12, of each hour.

    Raises
    ------
    ValueError
        If fewer than ``LEAST_HOURS`` hours are known.
    """
    known = np.isfinite(residual_m)
    hours = int(np.count_nonzero(known))
    if hours < LEAST_HOURS:
        msg = f"{hours} hours of observed and predicted levels; at least {LEAST_HOURS} are needed"
        raise ValueError(msg)
    winter = np.isin(months, sorted(_WINTER_MONTHS))
    scores = _scores(residual_m)
    short_h, long_h, share = _times([_correlation(scores, lag) for lag in LAGS_H])
    return Residual(
        hours=hours,
        mean_m=float(residual_m[known].mean()),
        spread_m=float(residual_m[known].std()),
        quantiles_m=(
            _quantiles(residual_m[known], residual_m[known & winter]),
            _quantiles(residual_m[known], residual_m[known & ~winter]),
        ),
        short_h=short_h,
        long_h=long_h,
        short_share=share,
        persistence=tuple(_correlation(residual_m, lag) for lag in LAGS_H),
    )


def hourly(minutes: Floats, values: Floats) -> tuple[Floats, Floats]:
    """Return the whole hours that a series covers, and its values there [min, value].

    Straight between points not more than an hour and a half apart; nan in longer gaps.
    """
    hours = np.arange(np.ceil(minutes[0] / 60.0), np.floor(minutes[-1] / 60.0) + 1) * 60.0
    found = np.interp(hours, minutes, values)
    right = np.clip(np.searchsorted(minutes, hours, side="left"), 1, minutes.size - 1)
    gap = (minutes[right] - minutes[right - 1] > _GAP_MIN) & (minutes[right] != hours)
    found[gap] = np.nan
    return hours, found


def _persistent(count: int, time_h: float, rng: np.random.Generator) -> Floats:
    """Return a first-order autoregressive series of unit spread, hour by hour."""
    keeps = exp(-1.0 / time_h)
    noise = rng.standard_normal(count) * np.sqrt(1.0 - keeps * keeps)
    found = np.empty(count)
    at = float(rng.standard_normal())
    for k in range(count):
        at = keeps * at + noise[k]
        found[k] = at
    return found


def _normal_share(scores: Floats) -> Floats:
    """Return the share of the normal distribution below each score [1]."""
    grid = np.linspace(-6.0, 6.0, 2401)
    share = np.array([NormalDist().cdf(float(score)) for score in grid])
    return np.asarray(np.interp(scores, grid, share), dtype=float)


def _scores(values: Floats) -> Floats:
    """Return normal scores of the known values, by rank; nan stays nan."""
    found = np.full(values.shape, np.nan)
    known = np.flatnonzero(np.isfinite(values))
    order = np.argsort(values[known], kind="stable")
    grid = np.linspace(1e-5, 1.0 - 1e-5, 4001)
    normal = np.array([NormalDist().inv_cdf(float(share)) for share in grid])
    share = (np.arange(known.size) + 0.5) / known.size
    found[known[order]] = np.interp(share, grid, normal)
    return found


def _correlation(values: Floats, lag: int) -> float:
    """Return the autocorrelation at a lag of hours, over the pairs that are known [1]."""
    before, after = values[:-lag], values[lag:]
    both = np.isfinite(before) & np.isfinite(after)
    if np.count_nonzero(both) < LEAST_HOURS // 2:
        return 0.0
    before, after = before[both] - before[both].mean(), after[both] - after[both].mean()
    spread = float(np.sqrt((before @ before) * (after @ after)))
    return float(before @ after) / spread if spread > 0 else 0.0


def _times(correlations: list[float]) -> tuple[float, float, float]:
    """Return the two times [h] and the share of the short one that fit best."""
    lags = np.array(LAGS_H, dtype=float)
    wanted = np.array(correlations)

    def miss(choice: tuple[float, float, float]) -> float:
        short_h, long_h, share = choice
        curve = share * np.exp(-lags / short_h) + (1.0 - share) * np.exp(-lags / long_h)
        return float(np.sum((curve - wanted) ** 2))

    choices = (one for one in product(_SHORT_H, _LONG_H, _SHARES) if one[0] < one[1])
    return min(choices, key=miss)


def _quantiles(whole: Floats, season: Floats) -> tuple[float, ...]:
    values = season if season.size >= _SEASON_LEAST else whole
    return tuple(float(value) for value in np.quantile(values, PROBABILITIES))
