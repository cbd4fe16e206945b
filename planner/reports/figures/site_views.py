"""The site laid flat from any side: plan looking down or up, elevations, unrolled wall."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from planner.model.campaign import Campaign
from planner.model.identifiers import Orientation
from planner.model.zone import Zone
from planner.reports.figures.projection import View, project, views

THIN = 0.22
"""A face seen from its edge is drawn as a bar this share of its width thick [1]."""
DEFAULT_SIDE_M = 2.0
"""Side of a zone without an area [m]."""


RATIO = 5.0
"""A site longer than this many times its height is shown in stretches [1]."""
PAD, TOP = 0.08, 0.16
"""Room beside and above a site, as a share of its size; above stand the positions' names."""


class Side(StrEnum):
    """From where the site is looked at; the words say it to the reader."""

    DOWN = "looking down"
    UP = "looking up"
    ELEVATION_X = "elevation along x"
    ELEVATION_Y = "elevation along y"
    UNROLLED = "unrolled wall"


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A zone on the drawing: its middle and its size [m]."""

    zone: Zone
    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A site laid flat.

    Attributes
    ----------
    side
        From where it is looked at.
    boxes
        The zones.
    spots
        Positions and waypoints by name [m].
    x_name, y_name
        What the axes stand for.
    is_mirrored
        Whether the coordinates across read from right to left.
    words
        What the reader must know about it.
    is_true
        Whether both axes have one scale.
    ticks
        Names of places along the upright axis: coordinate and text.
    """

    side: Side
    boxes: tuple[Box, ...]
    spots: dict[str, tuple[float, float]]
    x_name: str
    y_name: str
    is_mirrored: bool
    words: str
    is_true: bool = True
    ticks: tuple[tuple[float, str], ...] = ()


def stretches(sheet: Sheet) -> list[tuple[float, float]]:
    """Return a long site cut into stretches that are large enough to read; one: it is short."""
    left, right, bottom, top = extent(sheet)
    count = math.ceil((right - left) / max(RATIO * (top - bottom), 1e-9))
    if count <= 1:
        return [(left, right)]
    step = (right - left) / count
    return [(left + k * step, left + (k + 1) * step) for k in range(count)]


def extent(sheet: Sheet) -> tuple[float, float, float, float]:
    """Return left, right, bottom and top of a sheet with some room around it [m]."""
    xs = [edge for box in sheet.boxes for edge in (box.x - box.width / 2, box.x + box.width / 2)]
    ys = [edge for box in sheet.boxes for edge in (box.y - box.height / 2, box.y + box.height / 2)]
    xs += [x for x, _ in sheet.spots.values()]
    ys += [y for _, y in sheet.spots.values()]
    across, up = max(xs) - min(xs), max(max(ys) - min(ys), 1.0)
    side = min(max(PAD * across, 1.0), max(PAD * up, 0.02 * across))
    above = max(TOP * up, 0.02 * across) if sheet.is_true else TOP * up
    return min(xs) - side, max(xs) + side, min(ys) - above / 2, max(ys) + above


def sides(campaign: Campaign) -> list[Side]:
    """Return the ways of looking that a campaign offers, the unrolled wall last."""
    found = [Side.DOWN, Side.UP, Side.ELEVATION_X, Side.ELEVATION_Y]
    if View.UNROLLED in views(campaign):
        found.append(Side.UNROLLED)
    return found


def best_side(campaign: Campaign) -> Side:
    """Return the way of looking that suits a campaign: the unrolled wall where it has one."""
    return Side.UNROLLED if views(campaign)[0] is View.UNROLLED else Side.DOWN


def sheet_of(campaign: Campaign, side: Side) -> Sheet:
    """Return the site laid flat from one side, to scale."""
    if side is Side.UNROLLED:
        return _unrolled(campaign)
    boxes = tuple(_box(zone, side) for zone in campaign.zones)
    spots = {
        str(place.position_id): _spot((place.x_m, place.y_m, place.z_m), side)
        for place in campaign.positions
    }
    spots |= {
        place.waypoint_id: _spot((place.x_m, place.y_m, place.z_m), side)
        for place in campaign.waypoints
    }
    x_name = "y" if side is Side.ELEVATION_Y else "x"
    y_name = "y" if side in (Side.DOWN, Side.UP) else "height"
    return Sheet(
        side=side,
        boxes=boxes,
        spots=spots,
        x_name=f"{x_name} (m)",
        y_name=f"{y_name} (m)",
        is_mirrored=side is Side.UP,
        words=_WORDS[side],
    )


_WORDS = {
    Side.DOWN: (
        "**Looking down**: as on a drawing, x to the right. A soffit seen so lies as its shadow "
        "on the ground does."
    ),
    Side.UP: (
        "**Looking up**: as somebody sees the soffit from beneath with y ahead: x runs to the "
        "left. Do not lay it over a drawing that looks down; left and right are swapped."
    ),
    Side.ELEVATION_X: "**Elevation**: seen along y, x to the right, heights upwards.",
    Side.ELEVATION_Y: "**Elevation**: seen along x, y to the right, heights upwards.",
}


def _spot(at: tuple[float, float, float], side: Side) -> tuple[float, float]:
    x, y, z = at
    if side is Side.ELEVATION_X:
        return x, z
    if side is Side.ELEVATION_Y:
        return y, z
    return x, y


def _box(zone: Zone, side: Side) -> Box:
    length = math.sqrt(zone.area_m2) if zone.area_m2 else DEFAULT_SIDE_M
    x, y = _spot((zone.x_m, zone.y_m, zone.z_m), side)
    lies_flat = zone.orientation is not Orientation.VERTICAL
    from_above = side in (Side.DOWN, Side.UP)
    height = length if lies_flat is from_above else THIN * length
    return Box(zone=zone, x=x, y=y, width=length, height=height)


def _unrolled(campaign: Campaign) -> Sheet:
    shown = project(campaign, View.UNROLLED)
    boxes = tuple(
        Box(zone=p.zone, x=p.along, y=p.across, width=p.width, height=p.height)
        for p in shown.patches
    )
    by_clock = bool(shown.ticks)
    return Sheet(
        side=Side.UNROLLED,
        boxes=boxes,
        spots=dict(shown.spots),
        x_name="chainage (m)",
        y_name="clock, looking downstream" if by_clock else "height (m)",
        is_mirrored=False,
        words=shown.scale_words,
        is_true=shown.to_scale,
        ticks=shown.ticks,
    )
