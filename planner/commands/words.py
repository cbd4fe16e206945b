"""Sentences that several commands say."""

from __future__ import annotations

from planner.model.water import WaterKind

SAFETY = (
    "A plan is a proposal: tide boards, gas readings, permits, the structure's engineer and "
    "local codes decide on site."
)


_TIDE_BOARD = (
    "Before the first shift, check the predicted levels against a levelled tide board on site: at"
    " least one high and one low water of a calm day, in metres above the site datum."
)


def cautions(water: WaterKind) -> tuple[str, ...]:
    """Return what must be looked at on site before anyone relies on levels of that kind."""
    return (_TIDE_BOARD,) if water in (WaterKind.TIDE, WaterKind.HIGHLOW) else ()


def count(number: int, noun: str) -> str:
    """Return a number with its noun, in the plural where that is due.

    Examples
    --------
    >>> count(1, "zone"), count(3, "zone")
    ('1 zone', '3 zones')
    """
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"
