"""Zones that wait for one another in a circle."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from planner.scenario.validation.ledger import Ledger

_SHOWN_MAX = 12
"""Longest circle that is shown in full."""


def check_order(ledger: Ledger) -> None:
    """Note every circle in the column ``after`` of zones.csv."""
    rows = ledger.draft.ids("zones")
    after = {
        zone: tuple(name for name in row.names("after") if name in rows)
        for zone, row in rows.items()
    }
    for circle in circles(after):
        shown = [*circle[:_SHOWN_MAX], *(["…"] if len(circle) > _SHOWN_MAX else []), circle[0]]
        words = (
            "the zone waits for itself"
            if len(circle) == 1
            else f"the zones wait for one another: {' after '.join(shown)}"
        )
        ledger.error(
            "order-cycle",
            f"{words}; take one of them out of the list",
            table="zones",
            row=rows[circle[0]],
            column="after",
        )


def circles(after: Mapping[str, tuple[str, ...]]) -> list[tuple[str, ...]]:
    """Return circles of a graph, at least one for each knot of zones that wait for one another.

    Each node appears in one circle at most; the circle begins with its first node in the order
    of the mapping.

    Examples
    --------
    >>> circles({"a": ("b",), "b": ("c",), "c": ("b",), "d": ("d",)})
    [('b', 'c'), ('d',)]
    """
    place = {name: k for k, name in enumerate(after)}
    found: list[tuple[str, ...]] = []
    done: set[str] = set()
    for root in after:
        for circle in _circles_from(root, after, done):
            first = min(range(len(circle)), key=lambda k: place[circle[k]])
            found.append((*circle[first:], *circle[:first]))
    return found


def _circles_from(
    root: str, after: Mapping[str, tuple[str, ...]], done: set[str]
) -> Iterator[tuple[str, ...]]:
    """Walk depth first from a node without recursion; yield the circles met on the way."""
    if root in done:
        return
    path: list[str] = [root]
    on_path = {root}
    ways = [iter(after[root])]
    while path:
        following = next(ways[-1], None)
        if following is None:
            ways.pop()
            on_path.discard(path[-1])
            done.add(path.pop())
        elif following in on_path:
            yield tuple(path[path.index(following) :])
        elif following not in done:
            path.append(following)
            on_path.add(following)
            ways.append(iter(after[following]))
