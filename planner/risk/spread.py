r"""Uncertain amounts: a least, a most likely and a greatest value.

A draw is a normal score z taken to the quantile of the amount's own distribution,

.. math:: x = F^{-1}(\Phi(z))

so that amounts may be tied to each other through their scores (a Gaussian copula):
:math:`z = \sqrt{c}\,z_0 + \sqrt{1 - c}\,z_1` with a score :math:`z_0` that they share.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from statistics import NormalDist

import numpy as np

from planner.access.curve import Floats

_EDGE = 6.0
_SCORES: Floats = np.linspace(-_EDGE, _EDGE, 2401)
_SHARES: Floats = np.array([NormalDist().cdf(float(score)) for score in _SCORES])
_SHARES[0], _SHARES[-1] = 0.0, 1.0
_BETA_STEPS = 4000
PERT_WEIGHT = 4.0
"""Weight of the most likely value in a PERT mean (common practice since 1959) [1]."""


class Shape(StrEnum):
    """Distribution between least and greatest value."""

    TRIANGLE = "triangle"
    PERT = "pert"


@dataclass(frozen=True, slots=True, kw_only=True)
class Three:
    """Least, most likely and greatest value of an amount.

    Raises
    ------
    ValueError
        If they are not in this order.
    """

    low: float
    mode: float
    high: float

    def __post_init__(self) -> None:
        if not self.low <= self.mode <= self.high:
            msg = f"{self.low:g}, {self.mode:g}, {self.high:g} are not in rising order"
            raise ValueError(msg)

    @property
    def is_certain(self) -> bool:
        """Return whether there is nothing to draw."""
        return self.low == self.high


def tied(shared: Floats, own: Floats, correlation: float) -> Floats:
    """Return scores of unit spread that share a part, in proportion to a correlation [1]."""
    return np.asarray(np.sqrt(correlation) * shared + np.sqrt(1.0 - correlation) * own)


def drawn(scores: Floats, amount: Three, shape: Shape) -> Floats:
    """Return the amounts that belong to normal scores."""
    if amount.is_certain:
        return np.full(scores.shape, amount.low)
    return np.interp(scores, _SCORES, _table(amount, shape))


def share_below(scores: Floats) -> Floats:
    """Return the share of the normal distribution below each score [1]."""
    return np.interp(scores, _SCORES, _SHARES)


@lru_cache(maxsize=256)
def _table(amount: Three, shape: Shape) -> Floats:
    """Return the amount at each score of the grid."""
    return _pert(amount) if shape is Shape.PERT else _triangle(amount)


def _triangle(amount: Three) -> Floats:
    width = amount.high - amount.low
    rising = amount.mode - amount.low
    falling = amount.high - amount.mode
    left = amount.low + np.sqrt(_SHARES * width * rising)
    right = amount.high - np.sqrt((1.0 - _SHARES) * width * falling)
    return np.where(_SHARES * width < rising, left, right)


def _pert(amount: Three) -> Floats:
    """Beta with shapes 1 + 4 (mode - low) / width and 1 + 4 (high - mode) / width."""
    width = amount.high - amount.low
    a = 1.0 + PERT_WEIGHT * (amount.mode - amount.low) / width
    b = 1.0 + PERT_WEIGHT * (amount.high - amount.mode) / width
    x = np.linspace(0.0, 1.0, _BETA_STEPS + 1)
    middle = 0.5 * (x[1:] + x[:-1])
    mass = middle ** (a - 1.0) * (1.0 - middle) ** (b - 1.0)
    below = np.concatenate(([0.0], np.cumsum(mass)))
    return amount.low + width * np.interp(_SHARES, below / below[-1], x)
