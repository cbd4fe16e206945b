"""Ways of looking at a site: from above, or with the wall or pipe unrolled.

Along and across are metres.  Unrolled, the wall of a pipe is cut open at the invert and seen
from inside with the crown in the middle; other walls show their height.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from planner.model.campaign import Campaign
from planner.model.identifiers import Orientation
from planner.model.position import Position, Waypoint
from planner.model.zone import Zone

CLOCK_HOURS = 12.0
INVERT_CLOCK = 6.0
ACROSS_STRETCH = 2.5
"""A pipe's circumference is drawn this much larger than its length, to have room for names."""
WALL_SHARE = 0.22
"""A vertical face seen from above is drawn as a bar this share of its width deep."""
TALL_SHARE = 0.5
"""A wall at least this high beside its length is unrolled, not seen from above."""
LEGIBLE_SHARE = 0.8
"""Share of the zones that must have a place of their own for a view to be offered."""
STRAIGHT_M = 1.0
"""Chainage and x agree this well where a pipe lies along x [m]."""


class View(StrEnum):
    """From above, or unrolled."""

    PLAN = "plan"
    UNROLLED = "unrolled"


@dataclass(frozen=True, slots=True, kw_only=True)
class Patch:
    """A zone on the drawing: its middle, and its size along and across [m]."""

    zone: Zone
    along: float
    across: float
    width: float
    height: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Projection:
    """A site laid flat.

    Attributes
    ----------
    view
        Which way of looking.
    patches
        The zones.
    spots
        Positions and waypoints by identifier: along, across [m].
    to_scale
        Whether along and across have one scale.
    scale_words
        What the reader should know about directions and scale.
    ticks
        Names of places across: coordinate [m], text.
    """

    view: View
    patches: tuple[Patch, ...]
    spots: dict[str, tuple[float, float]]
    to_scale: bool
    scale_words: str
    ticks: tuple[tuple[float, str], ...] = ()


def views(campaign: Campaign) -> list[View]:
    """Return the ways of looking that suit a campaign, the best first."""
    zones = [zone for zone in campaign.zones if zone.chainage_m is not None]
    if len(zones) * 2 < len(campaign.zones) or len(zones) < 2:
        return [View.PLAN]
    if _by_clock(campaign):
        return [View.UNROLLED] if _is_straight(campaign) else [View.UNROLLED, View.PLAN]
    spots = {(zone.chainage_m, zone.z_m) for zone in zones}
    length = _extent([zone.chainage_m or 0.0 for zone in zones])
    tall = _extent([zone.z_m for zone in zones]) >= TALL_SHARE * length
    if len(spots) < LEGIBLE_SHARE * len(zones) or not tall:
        return [View.PLAN]
    return [View.UNROLLED]


def project(campaign: Campaign, view: View) -> Projection:
    """Return the site laid flat in one way of looking."""
    if view is View.PLAN:
        return _plan(campaign)
    return _pipe(campaign) if _by_clock(campaign) else _wall(campaign)


def _by_clock(campaign: Campaign) -> bool:
    known = [zone for zone in campaign.zones if zone.clock_from is not None]
    return len(known) * 2 >= len(campaign.zones)


def _extent(values: Sequence[float]) -> float:
    return max(values) - min(values) if values else 0.0


def _side(zone: Zone) -> float:
    """Return the side of a square of the zone's area; 2 m where no area is given [m]."""
    return math.sqrt(zone.area_m2) if zone.area_m2 else 2.0


def _plan(campaign: Campaign) -> Projection:
    swap = _extent([zone.y_m for zone in campaign.zones]) > _extent(
        [zone.x_m for zone in campaign.zones]
    )
    here: dict[tuple[float, float], int] = {}
    patches: list[Patch] = []
    for zone in campaign.zones:
        along, across = (zone.y_m, zone.x_m) if swap else (zone.x_m, zone.y_m)
        side = _side(zone)
        height = side if zone.orientation is not Orientation.VERTICAL else WALL_SHARE * side
        turn = here.get((along, across), 0)
        here[along, across] = turn + 1
        moved = across - turn * 1.25 * height
        patches.append(Patch(zone=zone, along=along, across=moved, width=side, height=height))
    places: list[Position | Waypoint] = [*campaign.positions, *campaign.waypoints]
    spots = {
        _name(place): (place.y_m, place.x_m) if swap else (place.x_m, place.y_m)
        for place in places
    }
    along_name, across_name = ("y", "x") if swap else ("x", "y")
    words = (
        f"Seen from above, to scale: {along_name} to the right, {across_name} upwards, in metres. "
        "Bars are vertical faces; faces above each other are drawn side by side."
    )
    return Projection(
        view=View.PLAN, patches=tuple(patches), spots=spots, to_scale=True, scale_words=words
    )


def _name(place: Position | Waypoint) -> str:
    return str(place.position_id) if isinstance(place, Position) else place.waypoint_id


def _pipe(campaign: Campaign) -> Projection:
    hour_m = ACROSS_STRETCH * math.pi * _diameter_m(campaign) / CLOCK_HOURS
    patches = [
        _pipe_patch(zone, hour_m)
        for zone in campaign.zones
        if zone.chainage_m is not None
        and zone.clock_from is not None
        and zone.clock_to is not None
    ]
    across = (CLOCK_HOURS + 1.6) * hour_m
    chainage = _chainage_of(campaign)
    spots = {
        str(place.position_id): (chainage(place.x_m, place.y_m), across)
        for place in campaign.positions
    }
    names = ("invert", "left · 9", "crown · 12", "right · 3", "invert")
    ticks = tuple((3.0 * index * hour_m, name) for index, name in enumerate(names))
    words = (
        "Pipe cut open at the invert and unrolled, looking downstream, chainage to the right in "
        f"metres; across is drawn {ACROSS_STRETCH:g} times larger. Positions stand above their "
        "chainage."
    )
    return Projection(
        view=View.UNROLLED,
        patches=tuple(patches),
        spots=spots,
        to_scale=False,
        scale_words=words,
        ticks=ticks,
    )


def _diameter_m(campaign: Campaign) -> float:
    diameters = [row.diameter_m for row in campaign.water.sewer]
    return max(diameters, default=3.0)


def _pipe_patch(zone: Zone, hour_m: float) -> Patch:
    start = ((zone.clock_from or 0.0) - INVERT_CLOCK) % CLOCK_HOURS
    hours = ((zone.clock_to or 0.0) - (zone.clock_from or 0.0)) % CLOCK_HOURS or CLOCK_HOURS
    arc_m = hours * hour_m / ACROSS_STRETCH
    return Patch(
        zone=zone,
        along=zone.chainage_m or 0.0,
        across=(start + hours / 2) * hour_m,
        width=(zone.area_m2 / arc_m) if zone.area_m2 else 2.0,
        height=hours * hour_m,
    )


def _wall(campaign: Campaign) -> Projection:
    known = [zone for zone in campaign.zones if zone.chainage_m is not None]
    places = sorted({zone.chainage_m or 0.0 for zone in known})
    steps = [after - before for before, after in itertools.pairwise(places)]
    width = 0.96 * min(steps, default=2.0)
    patches = [_wall_patch(zone, width) for zone in known]
    chainage = _chainage_of(campaign)
    spots = {
        str(place.position_id): (chainage(place.x_m, place.y_m), place.z_m)
        for place in campaign.positions
    }
    words = (
        "Wall unrolled and seen from inside, to scale: along the wall to the right, height "
        "upwards, in metres. Floor and roof are folded out below and above it."
    )
    return Projection(
        view=View.UNROLLED, patches=tuple(patches), spots=spots, to_scale=True, scale_words=words
    )


def _wall_patch(zone: Zone, width: float) -> Patch:
    height = (zone.area_m2 / width) if zone.area_m2 else 2.0
    shift = {Orientation.OVERHEAD: 0.6, Orientation.FLOOR: -0.6, Orientation.VERTICAL: 0.0}
    return Patch(
        zone=zone,
        along=zone.chainage_m or 0.0,
        across=zone.z_m + shift[zone.orientation] * height,
        width=width,
        height=0.94 * height,
    )


def _is_straight(campaign: Campaign) -> bool:
    known = [zone for zone in campaign.zones if zone.chainage_m is not None]
    return all(abs((zone.chainage_m or 0.0) - zone.x_m) < STRAIGHT_M for zone in known)


def _chainage_of(campaign: Campaign) -> Callable[[float, float], float]:
    """Return a function that gives the chainage of the zone nearest in plan, moved along."""
    known = [zone for zone in campaign.zones if zone.chainage_m is not None]
    straight = _is_straight(campaign)

    def nearest(x_m: float, y_m: float) -> float:
        if straight:
            return x_m
        zone = min(known, key=lambda row: (row.x_m - x_m) ** 2 + (row.y_m - y_m) ** 2)
        return zone.chainage_m or 0.0

    return nearest
