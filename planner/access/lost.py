"""Lost time with its causes: layers of what shuts a place, laid over each other."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from planner.core.spans import Spans

Lost = tuple[int, int, str]
"""Start, end [min] and causes, joined by ``; `` where several hold."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """The minutes that one cause takes; causes of one group are counted together."""

    spans: Spans
    cause: str
    group: str = "water"


def lost_spans(lost: Spans, layers: Sequence[Layer], *, otherwise: str) -> list[Lost]:
    """Return lost time cut wherever its causes change.

    Parameters
    ----------
    lost
        The lost minutes.
    layers
        What takes minutes; several may take the same one.
    otherwise
        Cause of lost minutes that no layer takes.
    """
    edges = sorted({edge for layer in layers for span in layer.spans for edge in span})
    found: list[Lost] = []
    index = 0
    for start, end in lost:
        while index < len(edges) and edges[index] <= start:
            index += 1
        at = start
        while at < end:
            until = min(edges[index], end) if index < len(edges) else end
            _append(found, at, until, _causes(layers, at) or otherwise)
            at = until
            while index < len(edges) and edges[index] <= at:
                index += 1
    return found


def _append(found: list[Lost], start: int, end: int, cause: str) -> None:
    if found and found[-1][1] == start and found[-1][2] == cause:
        start = found.pop()[0]
    found.append((start, end, cause))


def _causes(layers: Iterable[Layer], minute: int) -> str:
    return "; ".join(dict.fromkeys(layer.cause for layer in layers if minute in layer.spans))
