"""A scenario at a glance, before anything is planned."""

from __future__ import annotations

import math
from statistics import median

import pandas as pd

from planner.access.windows import Access
from planner.model.campaign import Campaign
from planner.model.identifiers import Orientation
from planner.model.water import WaterKind
from planner.model.zone import Zone
from planner.reports.labels import FACES, count
from planner.reports.wording import day_name

WATER = {
    WaterKind.TIDE: "tide predicted from constituents",
    WaterKind.HIGHLOW: "tide from a table of high and low waters",
    WaterKind.LEVELS: "water from a series of levels",
    WaterKind.SEWER: "flow depth in a live sewer",
    WaterKind.NONE: "no water",
}

Height = tuple[Orientation, float | None]


def lines(campaign: Campaign) -> list[str]:
    """Return what the scenario is about, in a few short lines."""
    clock = campaign.clock
    volume = math.fsum(zone.in_place_m3(campaign.rules.overbreak) for zone in campaign.zones)
    rigs = ", ".join(f"{rig.rig_id} ({rig.process})" for rig in campaign.rigs)
    crews = ", ".join(f"{crew.crew_id} ({crew.shift_id})" for crew in campaign.crews)
    first, last = day_name(clock.first_day), day_name(clock.last_day)
    return [
        (
            f"{count(len(campaign.zones), 'zone')}, {volume:.1f} m³ in place, and "
            f"{count(len(campaign.positions), 'set-up position')}"
        ),
        (
            f"{first} to {last} {clock.last_day.year}, {count(clock.days, 'day')}, times in "
            f"{clock.time_zone}"
        ),
        f"rigs {rigs}; crews {crews}",
        WATER[campaign.water.kind],
    ]


def heights_frame(campaign: Campaign) -> pd.DataFrame:
    """Return, for each kind and height of face, its volume and its windows.

    Windows are those of the zones of that height; lengths are in hours.
    """
    access = Access(campaign)
    groups: dict[Height, list[Zone]] = {}
    for zone in campaign.zones:
        groups.setdefault((zone.orientation, zone.water_max_m), []).append(zone)
    ordered = sorted(groups.items(), key=lambda item: (item[0][0], _level(item[0])))
    return pd.DataFrame([_height_row(campaign, access, *item) for item in ordered])


def _level(height: Height) -> float:
    return math.inf if height[1] is None else height[1]


def _height_row(
    campaign: Campaign, access: Access, height: Height, zones: list[Zone]
) -> dict[str, object]:
    face, level_m = height
    overbreak = campaign.rules.overbreak
    hours = [(end - start) / 60 for zone in zones for start, end in access.windows(zone)]
    per_zone = len(hours) / len(zones)
    return {
        "Face": FACES[face],
        "Water at most (m)": "never in the way" if level_m is None else f"{level_m:+.2f}",
        "Zones": len(zones),
        "In place (m³)": round(math.fsum(zone.in_place_m3(overbreak) for zone in zones), 1),
        "Windows for a zone": round(per_zone, 1),
        "Shortest (h)": round(min(hours), 1) if hours else None,
        "Median (h)": round(median(hours), 1) if hours else None,
        "Longest (h)": round(max(hours), 1) if hours else None,
    }
