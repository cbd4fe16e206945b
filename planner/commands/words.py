"""Sentences that several commands say."""

from __future__ import annotations

SAFETY = (
    "A plan is a proposal: tide boards, gas readings, permits, the structure's engineer and "
    "local codes decide on site."
)


def count(number: int, noun: str) -> str:
    """Return a number with its noun, in the plural where that is due.

    Examples
    --------
    >>> count(1, "zone"), count(3, "zone")
    ('1 zone', '3 zones')
    """
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"
