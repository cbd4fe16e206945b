"""Outlines to lie behind a map, read from GeoJSON in site coordinates."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

Point = tuple[float, float]
Line = list[Point]

POINTS_MAX = 50_000


class OutlineError(ValueError):
    """A text that cannot be used as an outline; the message says what would be right."""


def outline(text: str) -> list[Line]:
    """Return the lines and rings of a GeoJSON text.

    Coordinates are site coordinates in metres, not degrees.  Points are left out.

    Raises
    ------
    OutlineError
        If the text is no GeoJSON with lines or areas.
    """
    try:
        found = list(_lines(json.loads(text)))
    except json.JSONDecodeError as fault:
        msg = f"this is no JSON (line {fault.lineno}); save the outline as GeoJSON"
        raise OutlineError(msg) from fault
    except (TypeError, ValueError, KeyError, IndexError, RecursionError) as fault:
        msg = "its geometry cannot be read; save lines or areas as GeoJSON, x and y in metres"
        raise OutlineError(msg) from fault
    if not found:
        msg = "it holds no line and no area; save the outline as LineString or Polygon"
        raise OutlineError(msg)
    if sum(map(len, found)) > POINTS_MAX:
        msg = f"it has more than {POINTS_MAX} points; simplify the outline"
        raise OutlineError(msg)
    return found


def _lines(item: Any) -> Iterator[Line]:  # noqa: ANN401 - whatever JSON holds
    kind = item["type"]
    if kind in _PARTS:
        for part in item[_PARTS[kind]]:
            yield from _lines(part)
    elif kind == "Feature":
        if item["geometry"] is not None:
            yield from _lines(item["geometry"])
    else:
        yield from (_line(part) for part in _rings(kind, item))


_PARTS = {"FeatureCollection": "features", "GeometryCollection": "geometries"}


def _rings(kind: str, item: Any) -> list[Any]:  # noqa: ANN401 - whatever JSON holds
    match kind:
        case "LineString":
            return [item["coordinates"]]
        case "MultiLineString" | "Polygon":
            return list(item["coordinates"])
        case "MultiPolygon":
            return [ring for area in item["coordinates"] for ring in area]
        case _:
            return []


def _line(points: Any) -> Line:  # noqa: ANN401 - whatever JSON holds
    return [(float(point[0]), float(point[1])) for point in points]
