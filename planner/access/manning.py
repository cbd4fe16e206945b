"""Steady flow in a part-full circular pipe by Manning's formula, n constant.

With the wetted angle a [rad]: depth = D/2 (1 - cos(a/2)), area = D²/8 (a - sin a), hydraulic
radius = D/4 (1 - sin a / a), velocity = R^(2/3) sqrt(slope) / n (R. Manning 1891; geometry of
the circle).  Just below full bore two depths carry the same flow: the lower one is taken, and
flow above that of the full pipe has no free surface here.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import acos, cos, pi, sin, sqrt

import numpy as np

from planner.access.curve import Floats

_HALVINGS = 60
_NEWTON_STEPS = 8


def _carried(angle: Floats) -> Floats:
    """Return the flow as a share of the full pipe's, for wetted angles above 0 [1]."""
    return (angle - np.sin(angle)) ** (5 / 3) / (2 * pi * angle ** (2 / 3))


def _full_angle() -> float:
    """Return the lower of the two wetted angles that carry the full pipe's flow [rad]."""
    low, high = pi, 5.0
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if float(_carried(np.array(middle))) < 1.0:
            low = middle
        else:
            high = middle
    return low


FULL_ANGLE = _full_angle()
FULL_DEPTH = (1 - cos(FULL_ANGLE / 2)) / 2
"""Lower depth that carries the full pipe's flow, as a share of the diameter [1]."""

FASTEST_DEPTH = (1 - cos(4.493409457909064 / 2)) / 2  # tan a = a, where 1 - sin a / a is greatest
"""Depth at which the flow is fastest, as a share of the diameter [1]."""

_NOISE = 1e-12  # of the full flow
_ANGLES = np.concatenate(([0.0], np.geomspace(1e-4, FULL_ANGLE, 2000)))
_SHARES = np.concatenate(([0.0], _carried(_ANGLES[1:])))


@dataclass(frozen=True, slots=True, kw_only=True)
class Pipe:
    """A circular pipe: diameter [m], slope [1], Manning's n [s/m^(1/3)]."""

    diameter_m: float
    slope: float
    manning_n: float

    @property
    def full_flow_m3_s(self) -> float:
        """Return the flow of the full pipe, not under pressure [m³/s]."""
        return self.area_m2(self.diameter_m) * self.velocity_m_s(self.diameter_m)

    def depth_m(self, flow_m3_s: Floats) -> Floats:
        """Return the lower depth that carries a flow; inf above the full pipe's flow [m]."""
        flows = np.asarray(flow_m3_s, dtype=float)
        share = flows.ravel() / self.full_flow_m3_s
        held = np.clip(share, 0.0, 1.0)
        angle = np.interp(held, _SHARES, _ANGLES)
        some = held > _SHARES[1]
        angle[some] = _refined(angle[some], held[some])
        depth = self.diameter_m / 2 * (1 - np.cos(angle / 2))
        depth = np.where(share > 1.0 + _NOISE, np.inf, depth)
        return depth.reshape(flows.shape)

    def area_m2(self, depth_m: float) -> float:
        """Return the wetted cross-section at a depth [m²]."""
        angle = self._angle(depth_m)
        return self.diameter_m**2 / 8 * (angle - sin(angle))

    def radius_m(self, depth_m: float) -> float:
        """Return the hydraulic radius at a depth: area by wetted perimeter [m]."""
        angle = self._angle(depth_m)
        return self.diameter_m / 4 * (1 - sin(angle) / angle) if angle > 0 else 0.0

    def velocity_m_s(self, depth_m: float) -> float:
        """Return the velocity at a depth between 0 and the diameter [m/s]."""
        return float(self.radius_m(depth_m) ** (2 / 3) * sqrt(self.slope) / self.manning_n)

    def flow_m3_s(self, depth_m: float) -> float:
        """Return the flow at a depth, at most the full pipe's [m³/s]."""
        if depth_m >= FULL_DEPTH * self.diameter_m:
            return self.full_flow_m3_s
        return self.area_m2(depth_m) * self.velocity_m_s(depth_m)

    def _angle(self, depth_m: float) -> float:
        """Return the wetted angle at a depth [rad]."""
        return 2 * acos(min(max(1 - 2 * depth_m / self.diameter_m, -1.0), 1.0))

    def depth_cap_m(
        self, *, velocity_max_m_s: float | None, depth_velocity_max_m2_s: float | None
    ) -> float | None:
        """Return the depth above which a velocity limit is broken; None when never [m].

        Velocity rises with depth up to 0.81 of the diameter and falls by a thousandth from there
        to the depth that carries the full pipe's flow; once over a limit, that last stretch
        counts as over it too.
        """
        top = FULL_DEPTH * self.diameter_m
        caps: list[float | None] = []
        if velocity_max_m_s is not None:
            fastest = FASTEST_DEPTH * self.diameter_m
            caps.append(_last_within(self.velocity_m_s, velocity_max_m_s, fastest))
        if depth_velocity_max_m2_s is not None:
            caps.append(
                _last_within(lambda y: y * self.velocity_m_s(y), depth_velocity_max_m2_s, top)
            )
        return min((cap for cap in caps if cap is not None), default=None)


def _last_within(rising: Callable[[float], float], limit: float, top: float) -> float | None:
    """Return the greatest depth at which a rising quantity keeps a limit, or None [m].

    None: it keeps the limit up to the top.
    """
    if rising(top) <= limit:
        return None
    low, high = 0.0, top
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if rising(middle) <= limit:
            low = middle
        else:
            high = middle
    return low


def _refined(angle: Floats, share: Floats) -> Floats:
    """Return wetted angles that carry given shares, by Newton on the logarithms."""
    for _ in range(_NEWTON_STEPS):
        segment = angle - np.sin(angle)
        error = 5 / 3 * np.log(segment) - 2 / 3 * np.log(angle) - np.log(2 * pi * share)
        slope = 5 / 3 * (1 - np.cos(angle)) / segment - 2 / 3 / angle
        angle = np.clip(angle - error / slope, _ANGLES[1], FULL_ANGLE)
    return angle
