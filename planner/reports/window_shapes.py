"""A window as a shape: how wide the faces are open, the highest at the top, the lowest beneath."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from planner.access.windows import Access
from planner.core.spans import Span, Spans
from planner.model.zone import Zone

Point = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """One connected window of some faces, from the widest opening to the narrowest.

    Attributes
    ----------
    spans
        The opening at each height, each inside the one before [min].
    """

    spans: tuple[Span, ...]

    @property
    def whole(self) -> Span:
        """Return the widest opening [min]."""
        return self.spans[0]

    def outline(self, top: float, bottom: float) -> list[Point]:
        """Return its corners, clockwise from the upper left, minutes across."""
        steps = max(1, len(self.spans) - 1)
        heights = [top + (bottom - top) * k / steps for k in range(len(self.spans))]
        left = [(float(span[0]), y) for span, y in zip(self.spans, heights, strict=True)]
        right = [(float(span[1]), y) for span, y in zip(self.spans, heights, strict=True)]
        return [*reversed(left), *right, left[-1]]


def window_shapes(access: Access, zones: Sequence[Zone], start: int, end: int) -> list[Shape]:
    """Return the windows of some zones in a stretch, as far as they hold each other.

    The widest are those of all zones together; inside each, every height of face has its own
    opening, and the last is what is left of the narrowest after getting in and out.
    """
    kinds = list(dict.fromkeys(access.windows(zone) for zone in zones))
    last = list(dict.fromkeys(access.shortened(zone) for zone in zones))
    every = Spans(span for spans in kinds for span in spans.clip(start, end))
    found = []
    for low, high in every:
        inside = [_hull(spans.clip(low, high)) for spans in (*kinds, *last)]
        openings = sorted({span for span in inside if span is not None}, key=_width)
        nested: list[Span] = [(low, high)]
        for span in openings:
            before = nested[-1]
            cut = (max(before[0], span[0]), min(before[1], span[1]))
            if cut[0] < cut[1] and cut != before:
                nested.append(cut)
        if len(nested) == 1:
            nested.append(nested[0])
        found.append(Shape(spans=tuple(nested)))
    return found


def _width(span: Span) -> tuple[int, int]:
    return span[0] - span[1], span[0]


def _hull(spans: Spans) -> Span | None:
    return (spans.starts[0], spans.ends[-1]) if spans else None
