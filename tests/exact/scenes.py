"""Scenes on a 30-minute grid whose best plan can be found by hand.

One rig places 1 m³/h (2 m³/h at the nozzle, half of the time, no rebound), starts up and cleans up
in 30 min each and needs 30 min before every spell; the crew works 06:00-18:00; no get-in or
get-out.  So a zone of 1 m³ alone takes 06:00 start-up, 06:30 zone change, 07:00-08:00 spell.
"""

from dataclasses import replace
from datetime import date
from typing import Any

from planner.core.clock import Clock
from planner.model.campaign import Campaign
from planner.model.identifiers import Goal
from planner.model.mix import MixFace
from planner.model.position import Position
from planner.model.rig import Rig
from planner.model.rules import Rules
from planner.model.water import LevelPoint, Water, WaterKind
from planner.model.zone import Zone
from tests import builders

GRID_MIN = 30
DAY_MIN = 24 * 60


def zone(zone_id: str, volume_m3: float = 1.0, **changes: Any) -> Zone:
    """Return a zone of which only a volume is known: one layer."""
    fields = {"area_m2": None, "depth_mm": None, "volume_m3": volume_m3} | changes
    return builders.zone(zone_id, **fields)


def layered(zone_id: str, layers: int, **changes: Any) -> Zone:
    """Return a zone of some layers of 1 m³."""
    return zone(zone_id, float(layers), **({"depth_mm": 100.0 * layers} | changes))


def face(mix_id: str = "dry", **changes: Any) -> MixFace:
    """Return a mix without rebound; 2 h between layers."""
    fields = {"rebound": 0.0, "layer_gap_min_h": 2.0, "protect_h": 2.0} | changes
    return builders.mix(mix_id, **fields)


def rig(rig_id: str = "R1", **changes: Any) -> Rig:
    """Return a rig that places 1 m³/h and moves in an hour."""
    fields = {"rate_m3_h": 2.0, "nozzle_on": 0.5, "start_up_min": 30, "clean_up_min": 30} | changes
    return builders.rig(rig_id, **fields)


def far(position_id: str, **changes: Any) -> Position:
    """Return a position from which only zones near x = 1000 m are reached."""
    return builders.position(position_id, **({"x_m": 1000.0} | changes))


def scene(*, days: int = 1, **changes: Any) -> Campaign:
    """Return a campaign of some days from Monday 2 March 2026."""
    fields: dict[str, Any] = {
        "clock": Clock(
            time_zone="Europe/London",
            first_day=date(2026, 3, 2),
            last_day=date(2026, 3, 1 + days),
        ),
        "goals": (Goal.FINISH, Goal.RELOCATIONS, Goal.COST),
        "may_worsen": (0.0, 0.0),
        "rules": rules(),
        "zones": (zone("Z1"),),
        "rigs": (rig(),),
        "mixes": (face(),),
    }
    return builders.campaign(**(fields | changes))


def rules(**changes: Any) -> Rules:
    """Return rules without get-in and get-out and with a zone change of 30 min."""
    free = {"get_in_min": 0, "get_out_min": 0, "zone_change_min": 30, "window_min_min": 30}
    return replace(Rules(), **(free | changes))


def tide(*, days: int = 1, **changes: Any) -> Water:
    """Return a saw-tooth tide: 6 m at 00:00, low water 0 m at 06:00, 6 m at 12:00 and so on."""
    hours = range((days + 2) * 24 + 1)
    points = tuple(LevelPoint(minute=h * 60.0, level_m=float(abs(6 - h % 12))) for h in hours)
    return Water(kind=WaterKind.LEVELS, levels=((None, points),), **changes)
