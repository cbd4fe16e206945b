"""A long site folded into strips beneath each other, so that it can be drawn large enough."""

from __future__ import annotations

from dataclasses import dataclass

RATIO = 4.5
"""Length to height that a strip aims at."""
STRIPS_MAX = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Fold:
    """Maps along and across coordinates to the paper.

    Attributes
    ----------
    start, length
        Where the first strip begins, and how long each is [m along].
    low, high
        Lowest and highest coordinate across [m across].
    count
        Number of strips [1].
    gap
        Room between strips [m across].
    margin
        Room at both ends of every strip, for what reaches over a cut [m along].
    """

    start: float
    length: float
    low: float
    high: float
    count: int
    gap: float
    margin: float = 0.0

    def strip(self, along: float) -> int:
        """Return the strip on which a coordinate along the site lies."""
        return min(self.count - 1, max(0, int((along - self.start) // self.length)))

    def place(self, along: float, across: float, strip: int | None = None) -> tuple[float, float]:
        """Return the point on paper; on a given strip, or on the one where it lies."""
        index = self.strip(along) if strip is None else strip
        return along - self.start - index * self.length, across - index * self.pitch

    @property
    def pitch(self) -> float:
        """Return the distance from one strip to the next [m across]."""
        return self.high - self.low + self.gap

    @property
    def paper(self) -> tuple[float, float, float, float]:
        """Return the paper's left, right, bottom and top edge."""
        bottom = self.low - (self.count - 1) * self.pitch - self.gap
        return -self.margin, self.length + self.margin, bottom, self.high + self.gap / 2

    def line(
        self, one: tuple[float, float], other: tuple[float, float]
    ) -> list[tuple[float, float, float, float]]:
        """Return a straight line on paper, cut where it passes from strip to strip."""
        (along0, across0), (along1, across1) = sorted((one, other))
        first, last = self.strip(along0), self.strip(along1)
        found: list[tuple[float, float, float, float]] = []
        for index in range(first, last + 1):
            left = max(along0, self.start + index * self.length) if index > first else along0
            right = self.start + (index + 1) * self.length if index < last else along1
            share0 = _share(left, along0, along1)
            share1 = _share(right, along0, along1)
            rise = across1 - across0
            found.append(
                (
                    *self.place(
                        left, across0 + share0 * rise if index > first else across0, index
                    ),
                    *self.place(
                        right, across0 + share1 * rise if index < last else across1, index
                    ),
                )
            )
        return found


def _share(at: float, start: float, end: float) -> float:
    return (at - start) / (end - start) if end > start else 0.0


def fold(alongs: list[float], acrosses: list[float], *, pad: float, margin: float) -> Fold:
    """Return the fold that suits a site.

    Parameters
    ----------
    alongs, acrosses
        Coordinates that must find room [m].
    pad
        Room around them [m].
    margin
        Room at both ends of every strip [m].
    """
    start, end = min(alongs) - pad, max(alongs) + pad
    low, high = min(acrosses) - pad, max(acrosses) + pad
    width = max(high - low, (end - start) / 40.0)
    count = min(STRIPS_MAX, max(1, round((end - start) / (RATIO * width))))
    return Fold(
        start=start,
        length=(end - start) / count,
        low=low,
        high=high,
        count=count,
        gap=0.22 * (high - low) if count > 1 else 0.06 * (high - low),
        margin=margin,
    )
