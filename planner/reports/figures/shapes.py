"""A window drawn as a shape, beneath what lies in it."""

from __future__ import annotations

from planner.reports.labels import WATER
from planner.reports.window_shapes import Shape

FILL = "rgba(61,148,204,0.22)"


def path_of(shape: Shape, *, top: float, bottom: float, zero: float) -> dict[str, object]:
    """Return a window as a layout shape that lies beneath everything else.

    Parameters
    ----------
    zero
        Minute that stands at 0 of the axis [min].
    """
    points = [f"{x - zero:g},{y:g}" for x, y in shape.outline(top, bottom)]
    return {
        "type": "path",
        "path": f"M {' L '.join(points)} Z",
        "layer": "below",
        "fillcolor": FILL,
        "line": {"color": WATER, "width": 1.2, "dash": "dot"},
        "name": "window",
    }
