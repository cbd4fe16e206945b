"""Needs as they stand in a cell: ``float;rescue-boat``, or with counts ``float:2``."""

from __future__ import annotations

from planner.model.identifiers import ResourceId
from planner.model.resource import Need

COUNT_MARK = ":"


def split_need(text: str) -> tuple[str, str]:
    """Return the resource and the count of one item of a list; no count: an empty text.

    Examples
    --------
    >>> split_need("float:2")
    ('float', '2')
    >>> split_need("float")
    ('float', '')
    """
    name, mark, count = text.partition(COUNT_MARK)
    return (name.strip(), count.strip()) if mark else (text, "")


def needs_of(items: tuple[str, ...]) -> tuple[Need, ...]:
    """Return the needs of a parsed cell."""
    pairs = [split_need(item) for item in items]
    return tuple(
        Need(resource_id=ResourceId(name), count=int(count) if count else 1)
        for name, count in pairs
    )
