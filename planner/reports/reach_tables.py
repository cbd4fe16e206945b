"""What a position reaches, what reaches a zone, and what a new position would change."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import pandas as pd

from planner.model.campaign import Campaign
from planner.model.identifiers import PositionId, RigId, ZoneId
from planner.model.position import Position, Route
from planner.model.rig import Rig
from planner.model.rules import ReachBy
from planner.model.zone import Zone
from planner.reach.hoses import Reach, Shortfall
from planner.reach.run import lacks
from planner.trade.faces import faces_for
from planner.trade.rates import placing_rate_m3_h


@dataclass(frozen=True, slots=True, kw_only=True)
class Reached:
    """A zone that a rig reaches from a position: hose [m], rise [m], best rate [m³/h]."""

    zone: ZoneId
    hose_m: float
    laid_m: float
    rise_m: float
    rate_m3_h: float
    mix: str


def reached_from(reach: Reach, position: Position, rig: Rig) -> list[Reached]:
    """Return the zones that a rig reaches from a position and has a mix for, in table order."""
    found = []
    for zone in reach.reached(position, rig):
        run = reach.run(position, zone, rig)
        faces = faces_for(reach.campaign, zone, rig)
        if run is None or not faces:
            continue
        rates = {mix: placing_rate_m3_h(rig, face, run.hose_m) for mix, face in faces.items()}
        mix = max(rates, key=lambda name: rates[name])
        found.append(
            Reached(
                zone=zone.zone_id,
                hose_m=run.hose_m,
                laid_m=run.laid_m,
                rise_m=run.rise_m,
                rate_m3_h=rates[mix],
                mix=str(mix),
            )
        )
    return found


def position_frame(reach: Reach, position: Position) -> pd.DataFrame:
    """Return what each rig reaches from a position, one row for each zone and rig."""
    rows = [
        {
            "Rig": rig.rig_id,
            "Zone": row.zone,
            "Hose laid (m)": round(row.laid_m, 1),
            "Equivalent hose (m)": round(row.hose_m, 1),
            "Rise (m)": round(row.rise_m, 1),
            "Rate in place (m³/h)": round(row.rate_m3_h, 2),
            "Mix": row.mix,
            "Hose to spare (m)": round(rig.hose_max_m - row.hose_m, 1),
        }
        for rig in reach.campaign.rigs
        for row in reached_from(reach, position, rig)
    ]
    columns = ["Rig", "Zone", "Hose laid (m)", "Equivalent hose (m)", "Rise (m)"]
    columns += ["Rate in place (m³/h)", "Mix", "Hose to spare (m)"]
    return pd.DataFrame(rows, columns=columns)


def zone_frame(reach: Reach, zone: Zone) -> pd.DataFrame:
    """Return for every position and rig whether it reaches a zone, and why not otherwise."""
    rows = []
    for position in reach.campaign.positions:
        for rig in reach.campaign.rigs:
            run = reach.run(position, zone, rig)
            found = lacks(position, rig, run)
            if found:
                short = Shortfall(position=position, rig=rig, run=run, lacks=found)
                why = short.sentence().partition(": ")[2]
            else:
                why = "" if faces_for(reach.campaign, zone, rig) else "no mix of this rig fits"
            rows.append(
                {
                    "Position": position.position_id,
                    "Rig": rig.rig_id,
                    "Reaches": "no" if why else "yes",
                    "Equivalent hose (m)": None if run is None else round(run.hose_m, 1),
                    "Why not": why,
                }
            )
    frame = pd.DataFrame(rows)
    return frame.sort_values(["Reaches"], ascending=False, kind="stable") if rows else frame


def reaching(reach: Reach, zone: Zone) -> list[PositionId]:
    """Return the positions from which some rig with a fitting mix reaches a zone."""
    rigs = [rig for rig in reach.campaign.rigs if faces_for(reach.campaign, zone, rig)]
    return [
        position.position_id
        for position in reach.campaign.positions
        if any(reach.reaches(position, zone, rig) for rig in rigs)
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """A position that is tried before it is saved.

    Attributes
    ----------
    campaign
        The campaign with the position, and its routes, in it.
    position, routes
        What would be added.
    """

    campaign: Campaign
    position: Position
    routes: tuple[Route, ...]


def try_position(
    campaign: Campaign, position: Position, links: Sequence[tuple[str, float]]
) -> Trial:
    """Return a campaign in which a position is tried.

    Parameters
    ----------
    links
        Where hoses go on from it: name of a position, zone or waypoint, and the length of the
        leg [m]; not used where hose lengths come from the grid.
    """
    routes: tuple[Route, ...] = ()
    if campaign.reach_by is ReachBy.ROUTES:
        places = places_of(campaign)
        routes = tuple(
            Route(
                start=str(position.position_id),
                end=name,
                length_m=length_m,
                rise_m=places[name][2] - position.z_m if name in places else 0.0,
            )
            for name, length_m in links
        )
    tried = replace(
        campaign,
        positions=(*campaign.positions, position),
        routes=(*campaign.routes, *routes),
    )
    return Trial(campaign=tried, position=position, routes=routes)


def places_of(campaign: Campaign) -> dict[str, tuple[float, float, float]]:
    """Return the coordinates of everything that a route may lead to, by name [m]."""
    found = {str(row.zone_id): (row.x_m, row.y_m, row.z_m) for row in campaign.zones}
    found |= {str(row.position_id): (row.x_m, row.y_m, row.z_m) for row in campaign.positions}
    found |= {row.waypoint_id: (row.x_m, row.y_m, row.z_m) for row in campaign.waypoints}
    return found


def nearest_places(
    campaign: Campaign, at: tuple[float, float, float], *, most: int = 12
) -> list[tuple[str, float]]:
    """Return waypoints, then zones and positions, nearest first, with their distance [m].

    The distance is along the axes, as a hose is laid: abs dx + abs dy + abs dz.
    """
    waypoints = {row.waypoint_id for row in campaign.waypoints}
    rows = [
        (name not in waypoints, sum(abs(a - b) for a, b in zip(at, place, strict=True)), name)
        for name, place in places_of(campaign).items()
    ]
    return [(name, round(distance, 1)) for _, distance, name in sorted(rows)[:most]]


def gained(before: Reach, trial: Trial) -> dict[RigId, tuple[list[ZoneId], list[ZoneId]]]:
    """Return for each rig what the trial reaches, and what of that nothing reached before."""
    after = Reach(trial.campaign)
    zones = {zone.zone_id: zone for zone in before.campaign.zones}
    found = {}
    for rig in before.campaign.rigs:
        here = [row.zone for row in reached_from(after, trial.position, rig)]
        fresh = [zone for zone in here if not reaching(before, zones[zone])]
        found[rig.rig_id] = (here, fresh)
    return found


def names(zones: Iterable[ZoneId], *, most: int = 10) -> str:
    """Return zones in a line, the first few by name."""
    found = [str(zone) for zone in zones]
    more = f" and {len(found) - most} more" if len(found) > most else ""
    return ", ".join(found[:most]) + more
