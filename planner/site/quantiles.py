"""Quantiles of Student's t and of the beta distribution, from the incomplete beta function.

The regularised incomplete beta function is worked out by its continued fraction (NIST Digital
Library of Mathematical Functions, 8.17.22, evaluated by Lentz's method), quantiles by bisection.
"""

from __future__ import annotations

import math
from collections.abc import Callable

_TINY = 1e-300
_ENOUGH = 1e-14
_TERMS_MAX = 500
_HALVINGS = 200


def beta_share(x: float, a: float, b: float) -> float:
    """Return the probability that a beta variable with parameters a, b is at most x [1]."""
    if x <= 0.0:
        return 0.0
    if x >= 1.0:
        return 1.0
    log_front = (
        math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b) + a * math.log(x) + b * math.log1p(-x)
    )
    if x < (a + 1.0) / (a + b + 2.0):
        return math.exp(log_front) * _fraction(x, a, b) / a
    return 1.0 - math.exp(log_front) * _fraction(1.0 - x, b, a) / b


def _fraction(x: float, a: float, b: float) -> float:
    """Return the continued fraction of DLMF 8.17.22."""
    value, c, d = 1.0, 1.0, _apart(1.0 - (a + b) * x / (a + 1.0))
    d = 1.0 / d
    value = d
    for m in range(1, _TERMS_MAX):
        for term in (
            m * (b - m) * x / ((a + 2 * m - 1.0) * (a + 2 * m)),
            -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1.0)),
        ):
            d = 1.0 / _apart(1.0 + term * d)
            c = _apart(1.0 + term / c)
            value *= c * d
        if abs(c * d - 1.0) < _ENOUGH:
            break
    return value


def _apart(value: float) -> float:
    return value if abs(value) > _TINY else _TINY


def beta_quantile(share: float, a: float, b: float) -> float:
    """Return the value that a beta variable stays below with a given probability [1]."""
    return _bisect(lambda x: beta_share(x, a, b), share, 0.0, 1.0)


def t_share(t: float, freedom: float) -> float:
    """Return the probability that a Student variable is at most t [1].

    With x = v / (v + t²) the tail beyond abs(t) is half of I_x(v/2, 1/2) (DLMF 8.17, from memory).
    """
    tail = 0.5 * beta_share(freedom / (freedom + t * t), freedom / 2.0, 0.5)
    return 1.0 - tail if t > 0.0 else tail


def t_quantile(share: float, freedom: float) -> float:
    """Return the value that a Student variable stays below with a given probability [1]."""
    high = 1.0
    while t_share(high, freedom) < max(share, 1.0 - share):
        high *= 2.0
    return _bisect(lambda t: t_share(t, freedom), share, -high, high)


def _bisect(rising: Callable[[float], float], share: float, low: float, high: float) -> float:
    if not 0.0 < share < 1.0:
        msg = f"a quantile needs a probability inside (0, 1), got {share}"
        raise ValueError(msg)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2.0
        if rising(middle) < share:
            low = middle
        else:
            high = middle
    return (low + high) / 2.0
