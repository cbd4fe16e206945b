"""Rounding against ourselves: durations up, windows inward.

Values are first rounded to six decimals, to keep the noise of binary fractions out
(contract, conventions).
"""

from __future__ import annotations

import math

DECIMALS = 6


def up(value: float) -> int:
    """Return the least whole number that is not below a value.

    Examples
    --------
    >>> up(60.0000001), up(60.001), up(60)
    (60, 61, 60)
    """
    return math.ceil(round(value, DECIMALS))


def down(value: float) -> int:
    """Return the greatest whole number that is not above a value.

    Examples
    --------
    >>> down(59.9999999), down(59.99)
    (60, 59)
    """
    return math.floor(round(value, DECIMALS))
