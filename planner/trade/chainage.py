"""Where a place lies along the lines that zones with a chainage form."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import hypot

from planner.model.zone import Zone


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A way along which zones lie, as from shaft to shaft.

    Attributes
    ----------
    sections
        Sections that it leads through; None stands for zones without one.
    points
        Chainage, x and y in order of chainage [m].
    """

    sections: frozenset[str | None]
    points: tuple[tuple[float, float, float], ...]

    def chainage_m(self, x_m: float, y_m: float) -> float:
        """Return the chainage of the point of the line that is nearest to a place on plan [m]."""
        return min((leg_nearest(leg, x_m, y_m) for leg in self._legs()), key=lambda item: item[0])[
            1
        ]

    def _legs(self) -> list[tuple[tuple[float, float, float], tuple[float, float, float]]]:
        return list(pairwise(self.points)) or [(self.points[0], self.points[0])]


def leg_nearest(
    leg: tuple[tuple[float, float, float], tuple[float, float, float]], x_m: float, y_m: float
) -> tuple[float, float]:
    """Return how far a place is from a straight leg on plan, and the chainage there [m]."""
    (from_m, x0, y0), (to_m, x1, y1) = leg
    length2 = (x1 - x0) ** 2 + (y1 - y0) ** 2
    along = ((x_m - x0) * (x1 - x0) + (y_m - y0) * (y1 - y0)) / length2 if length2 else 0.0
    share = min(1.0, max(0.0, along))
    away = hypot(x_m - x0 - share * (x1 - x0), y_m - y0 - share * (y1 - y0))
    return away, from_m + share * (to_m - from_m)


def lines_of(zones: Sequence[Zone]) -> tuple[Line, ...]:
    """Return the lines of zones that have a chainage.

    Sections whose chainages do not overlap are taken as one line, one after the other; where
    they overlap, as when each begins at 0, every section is a line of its own.
    """
    groups: dict[str | None, dict[float, list[Zone]]] = defaultdict(lambda: defaultdict(list))
    for zone in zones:
        if zone.chainage_m is not None:
            groups[zone.section][zone.chainage_m].append(zone)
    reaches = sorted((min(group), max(group)) for group in groups.values())
    if all(one[1] <= other[0] for one, other in pairwise(reaches)):
        merged: dict[float, list[Zone]] = defaultdict(list)
        for group in groups.values():
            for at_m, here in group.items():
                merged[at_m] += here
        return (_line(frozenset(groups), merged),) if merged else ()
    return tuple(_line(frozenset({name}), group) for name, group in groups.items())


def _line(sections: frozenset[str | None], group: dict[float, list[Zone]]) -> Line:
    points = tuple(
        (
            at_m,
            sum(zone.x_m for zone in here) / len(here),
            sum(zone.y_m for zone in here) / len(here),
        )
        for at_m, here in sorted(group.items())
    )
    return Line(sections=sections, points=points)
