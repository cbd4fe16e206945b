"""Flow of a sewer as points with straight lines between: series, and gates and pumps.

Two points at the same time are a jump; the second holds from that time on.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from planner.access.curve import Floats
from planner.access.series import GAP_MAX_MIN
from planner.model.water import FlowControl, FlowPoint

_FAR_MIN = 1e12  # farther than any campaign


def measured(points: Sequence[FlowPoint]) -> tuple[Floats, Floats]:
    """Return a flow series, not known (nan) outside and in gaps of more than 3 h [min, m³/s].

    Parameters
    ----------
    points
        The series, strictly in time order.

    Raises
    ------
    ValueError
        If it is not.
    """
    times: list[float] = [-_FAR_MIN]
    flows: list[float] = [np.nan]
    for point in points:
        gap = point.minute - times[-1]
        if gap <= 0:
            msg = f"flows must be in time order: minute {point.minute:g} is not the later one"
            raise ValueError(msg)
        if gap > GAP_MAX_MIN:
            times += [times[-1], point.minute]
            flows += [np.nan, np.nan]
        times.append(point.minute)
        flows.append(point.flow_m3_s)
    times += [times[-1], _FAR_MIN]
    flows += [np.nan, np.nan]
    return np.array(times, dtype=float), np.array(flows, dtype=float)


def controlled(
    times: Floats, flows: Floats, controls: Sequence[FlowControl]
) -> tuple[Floats, Floats]:
    """Return the flow with that of each control's stretch multiplied by its factor."""
    for control in controls:
        times, flows, first = _split(times, flows, float(control.from_min))
        times, flows, last = _split(times, flows, float(control.to_min))
        flows = flows.copy()
        flows[first:last] *= control.flow_factor
    return times, flows


def _split(times: Floats, flows: Floats, at: float) -> tuple[Floats, Floats, int]:
    """Return the points with a jump at a time, and the index of its second point."""
    if at <= times[0]:
        return times, flows, 0
    if at >= times[-1]:
        return times, flows, times.size
    index = int(np.searchsorted(times, at, side="right"))
    flow = np.interp(at, times, flows)
    twice = [flow, flow]
    return np.insert(times, [index] * 2, at), np.insert(flows, [index] * 2, twice), index + 1
