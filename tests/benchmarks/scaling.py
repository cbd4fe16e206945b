"""How much a synthetic case has to hold, so that some of its calendar is spare."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from planner.access.windows import Access
from planner.core.spans import Spans
from planner.model.campaign import Campaign
from planner.model.identifiers import (
    ZoneId,
)
from planner.model.zone import Zone
from tests.benchmarks.nouns import CHANGE_MIN, LAYER_MM, NOZZLE_M3_H, NOZZLE_ON, REBOUND

SPARE = 0.25
"""Share of the rigs' time that the zones leave; packing and relocations take some of it."""
JOINTS = 0.25
"""Share of the zones that may have construction joints although their layers fit a window."""
LONGEST_LAYER = 0.5
"""Most of a usual window that one unsplit layer may take."""


def net_minutes(campaign: Campaign) -> dict[ZoneId, list[int]]:
    """Return what a rig can use of each window of each zone within the shift [min]."""
    access = Access(campaign)
    worked = Spans(access.shifts(campaign.shifts[0].shift_id))
    lost = campaign.rigs[0].start_up_min + campaign.rigs[0].clean_up_min
    by_limits: dict[tuple[float | None, str | None], list[int]] = {}
    for zone in campaign.zones:
        limits = (zone.water_max_m, zone.section)
        if limits not in by_limits:
            shared = access.shortened(zone) & worked
            by_limits[limits] = [b - a - lost for a, b in shared if b - a > lost]
    return {z.zone_id: by_limits[z.water_max_m, z.section] for z in campaign.zones}


def work_minutes(zone: Zone, *, nozzle_m3_h: float = NOZZLE_M3_H) -> float:
    """Return what the layers of a zone take, with their zone changes [min]."""
    layers = (zone.depth_mm or LAYER_MM) / LAYER_MM
    rate_m3_h = nozzle_m3_h * NOZZLE_ON * (1.0 - REBOUND[zone.orientation])
    return 60.0 * (zone.volume_m3 or 0.0) / rate_m3_h + layers * CHANGE_MIN


def used_share(campaign: Campaign, minutes: Mapping[ZoneId, Sequence[int]]) -> float:
    """Return the share of the rigs' time that the zones need, in the tightest windows.

    Windows are nested by level: what a level and all tighter ones need has to fit into the
    windows of that level (``minutes``, from :func:`net_minutes`).
    """
    nets = {zone: sum(windows) for zone, windows in minutes.items()}
    usual_m3_h = sum(rig.rate_m3_h for rig in campaign.rigs) / len(campaign.rigs)
    need = 0.0
    share = 0.0
    for zone in sorted(campaign.zones, key=lambda z: nets[z.zone_id]):
        need += work_minutes(zone, nozzle_m3_h=usual_m3_h)
        share = max(share, need / (len(campaign.rigs) * nets[zone.zone_id]))
    return share


def scaled(campaign: Campaign, rng: np.random.Generator, spare: float = SPARE) -> Campaign:
    """Return a campaign whose zones use ``1 - spare`` of the rigs' time (:func:`used_share`).

    Layers longer than :data:`LONGEST_LAYER` of a usual window may be split.
    """
    minutes = net_minutes(campaign)
    low, high = 0.0, 64.0
    for _ in range(18):
        middle = (low + high) / 2.0
        tight = used_share(_with_volumes(campaign, middle), minutes) > 1.0 - spare
        low, high = (low, middle) if tight else (middle, high)
    campaign = _with_volumes(campaign, low)
    usual = {z: float(np.quantile(nets, 0.75)) for z, nets in minutes.items()}
    return replace(
        campaign,
        zones=tuple(
            replace(
                zone,
                joint_allowed=work_minutes(zone) * LAYER_MM / (zone.depth_mm or LAYER_MM)
                > LONGEST_LAYER * usual[zone.zone_id]
                or bool(rng.random() < JOINTS),
            )
            for zone in campaign.zones
        ),
    )


def _with_volumes(campaign: Campaign, factor: float) -> Campaign:
    """Return a campaign with every area times a factor, and the volumes that follow."""
    zones = []
    for zone in campaign.zones:
        area_m2 = round((zone.area_m2 or 0.0) * factor, 1)
        volume_m3 = round(area_m2 * (zone.depth_mm or LAYER_MM) / 1000.0 * 1.1, 2)
        zones.append(replace(zone, area_m2=area_m2, volume_m3=volume_m3))
    return replace(campaign, zones=tuple(zones))
