"""Volumes, hoses, rates and minutes of a campaign (contract, section 3), worked out plainly."""

import heapq
from math import ceil, hypot

from planner.model.campaign import Campaign
from planner.model.crew import Crew
from planner.model.identifiers import CrewKind
from planner.model.mix import MixFace
from planner.model.position import Position
from planner.model.rig import Rig
from planner.model.rules import ReachBy
from planner.model.zone import Zone

DECIMALS = 6
Hose = tuple[float, float, float]
"""Length with bends, length laid, net rise [m]."""


def up(value: float) -> int:
    """Round up, after rounding to six decimals."""
    return ceil(round(value, DECIMALS))


def volume_m3(campaign: Campaign, zone: Zone) -> float:
    """Return the volume in place [m³]."""
    if zone.volume_m3 is not None:
        return zone.volume_m3
    if zone.area_m2 is None or zone.depth_mm is None:
        msg = f"{zone.zone_id} has neither a volume nor an area and a depth"
        raise ValueError(msg)
    return zone.area_m2 * zone.depth_mm / 1000.0 * (1.0 + campaign.rules.overbreak)


def layers(zone: Zone, face: MixFace) -> int:
    """Return the number of layers with a mix."""
    return 1 if zone.depth_mm is None else up(zone.depth_mm / face.layer_max_mm)


def finish_min(zone: Zone, face: MixFace) -> int:
    """Return the trimming minutes after a zone's last layer."""
    return up(face.finish_min_m2 * (zone.area_m2 or 0.0))


def faces(campaign: Campaign, zone: Zone) -> list[MixFace]:
    """Return the mixes that a zone may use, each as it behaves on its orientation."""
    wetted = zone.wets_at_m is not None
    return [
        face
        for face in campaign.mixes
        if face.orientation is zone.orientation
        and (not zone.mixes or face.mix_id in zone.mixes)
        and (layers(zone, face) == 1 or face.layer_gap_min_h is not None)
        and (not wetted or face.protect_h is not None)
    ]


def may_spray(crew: Crew, face: MixFace) -> bool:
    """Return whether a crew sprays this process on this orientation."""
    return (
        crew.kind is CrewKind.SPRAY
        and (not crew.processes or face.process in crew.processes)
        and (not crew.orientations or face.orientation in crew.orientations)
    )


def takes(rig: Rig, face: MixFace) -> bool:
    """Return whether a rig sprays a mix."""
    return rig.process is face.process and (not rig.mixes or face.mix_id in rig.mixes)


def allows(position: Position, rig: Rig) -> bool:
    """Return whether a rig may be set up at a position."""
    return not position.processes or rig.process in position.processes


def hose(campaign: Campaign, position: Position, zone: Zone, rig: Rig) -> Hose | None:
    """Return the best hose from a position to a zone; None where there is no route."""
    if campaign.reach_by is ReachBy.GRID:
        dx, dy, dz = zone.x_m - position.x_m, zone.y_m - position.y_m, zone.z_m - position.z_m
        length = (abs(dx) + abs(dy) + abs(dz)) * campaign.reach_slack
        return length, length, dz
    return _route(campaign, position.position_id, zone.zone_id, rig.bend_m)


def _route(campaign: Campaign, start: str, end: str, bend_m: float) -> Hose | None:
    """Return the route with the least length and bends; it passes no other zone or position."""
    stops = {z.zone_id for z in campaign.zones} | {p.position_id for p in campaign.positions}
    legs: dict[str, list[tuple[str, Hose]]] = {}
    for route in campaign.routes:
        cost = route.length_m + bend_m * route.bends
        there = (cost, route.length_m, route.rise_m)
        back = (cost, route.length_m, -route.rise_m)
        legs.setdefault(route.start, []).append((route.end, there))
        legs.setdefault(route.end, []).append((route.start, back))
    heap: list[tuple[float, float, float, str]] = [(0.0, 0.0, 0.0, start)]
    seen: set[str] = set()
    while heap:
        cost, laid, rise, at = heapq.heappop(heap)
        if at == end:
            return cost, laid, rise
        if at in seen or (at != start and at in stops):
            continue
        seen.add(at)
        for to, leg in legs.get(at, ()):
            heapq.heappush(heap, (cost + leg[0], laid + leg[1], rise + leg[2], to))
    return None


def equivalent_m(campaign: Campaign, position: Position, zone: Zone, rig: Rig) -> float | None:
    """Return the equivalent hose, or None where a rig does not reach [m]."""
    run = hose(campaign, position, zone, rig)
    if run is None or not allows(position, rig):
        return None
    length, _, rise = run
    equivalent = length + rig.rise_factor * max(0.0, rise)
    if round(equivalent - rig.hose_max_m, DECIMALS) > 0:
        return None
    if rig.rise_max_m is not None and round(rise - rig.rise_max_m, DECIMALS) > 0:
        return None
    return equivalent


def rate_m3_h(rig: Rig, face: MixFace, equivalent: float) -> float:
    """Return the placing rate in place [m³/h]."""
    loss = rig.rate_loss_per_100m * max(0.0, equivalent - rig.rate_free_m) / 100.0
    nozzle = rig.rate_m3_h * rig.nozzle_on * max(0.1, 1.0 - loss)
    return nozzle * face.rate_factor * (1.0 - face.rebound)


def layer_min(campaign: Campaign, zone: Zone, face: MixFace, *, rate: float) -> int:
    """Return the spell minutes of one whole layer."""
    return up(60.0 * volume_m3(campaign, zone) / layers(zone, face) / rate)


def move_min(rig: Rig, start: Position, end: Position) -> int:
    """Return the minutes of a relocation."""
    distance_m = hypot(end.x_m - start.x_m, end.y_m - start.y_m)
    return up(rig.move_min + rig.move_min_per_100m * distance_m / 100.0)


def break_out_min(campaign: Campaign, zone: Zone, crew: Crew) -> int:
    """Return the minutes that a break-out crew needs for a zone."""
    if crew.rate_m3_h is None:
        msg = f"{crew.crew_id} has no rate"
        raise ValueError(msg)
    return up(60.0 * volume_m3(campaign, zone) / crew.rate_m3_h)
