"""Numbers as people type them into a page."""

from __future__ import annotations

METRES_MAX = 1e7
"""Coordinates lie below this, as in the tables [m]."""


def metres(text: str) -> float | None:
    """Return a coordinate or a length, with a point or a comma; None where it is none.

    Examples
    --------
    >>> metres("2,5"), metres(" -3 "), metres("two"), metres("nan")
    (2.5, -3.0, None, None)
    """
    try:
        value = float(text.strip().replace(",", "."))
    except ValueError:
        return None
    return value if abs(value) < METRES_MAX else None
