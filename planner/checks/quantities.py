"""Volumes, layers, rates and times, straight from contract section 3."""

from __future__ import annotations

import math

from planner.core.rounding import up
from planner.model.mix import MixFace
from planner.model.position import Position
from planner.model.rig import Rig
from planner.model.rules import Rules
from planner.model.zone import Zone

TOLERANCE = 1e-6  # relative, on volumes; what a table with six decimals can carry
LEAST_RATE_SHARE = 0.1  # contract, section 3: a long hose never costs more than nine tenths


def is_volume(volume_m3: float) -> bool:
    """Return whether a number can be the volume of a row: finite and above 0."""
    return math.isfinite(volume_m3) and volume_m3 > 0.0


def slack_m3(volume_m3: float) -> float:
    """Return by how much two volumes of this size may differ and still be the same [m³]."""
    return TOLERANCE * max(1.0, abs(volume_m3))


def in_place_m3(zone: Zone, rules: Rules) -> float:
    """Return a zone's volume in place, overbreak included where it is worked out [m³]."""
    if zone.volume_m3 is not None:
        return zone.volume_m3
    area_m2 = zone.area_m2 or 0.0
    depth_m = (zone.depth_mm or 0.0) / 1000.0
    return area_m2 * depth_m * (1.0 + rules.overbreak)


def layer_count(zone: Zone, face: MixFace) -> int:
    """Return in how many layers a mix goes on; 1 where no depth is given [1]."""
    if zone.depth_mm is None:
        return 1
    return max(1, up(zone.depth_mm / face.layer_max_mm))


def placing_rate_m3_h(rig: Rig, face: MixFace, hose_m: float) -> float:
    """Return what stays in place per hour of a spell [m³/h]."""
    beyond_m = max(0.0, hose_m - rig.rate_free_m)
    share = max(LEAST_RATE_SHARE, 1.0 - rig.rate_loss_per_100m * beyond_m / 100.0)
    through_nozzle = rig.rate_m3_h * rig.nozzle_on * share
    return through_nozzle * face.rate_factor * (1.0 - face.rebound)


def minutes_for(volume_m3: float, rate_m3_h: float) -> int:
    """Return the whole minutes that a volume takes, rounded up [min]."""
    return up(60.0 * volume_m3 / rate_m3_h)


def minutes_allowed(volume_m3: float, rate_m3_h: float) -> tuple[int, int]:
    """Return the least and most minutes for a volume [min].

    They differ where the volume, rounded up to a millionth, just crosses a whole minute.
    """
    least = minutes_for(max(0.0, volume_m3 - slack_m3(volume_m3)), rate_m3_h)
    return least, minutes_for(volume_m3, rate_m3_h)


def finishing_minutes(zone: Zone, face: MixFace) -> int:
    """Return the minutes of trimming and finishing after a zone's last layer [min]."""
    return up(face.finish_min_m2 * (zone.area_m2 or 0.0))


def move_minutes(rig: Rig, start: Position, end: Position) -> int:
    """Return how long a rig needs between two positions, by plan distance [min]."""
    distance_m = math.hypot(end.x_m - start.x_m, end.y_m - start.y_m)
    return up(rig.move_min + rig.move_min_per_100m * distance_m / 100.0)


def panel_minutes(rig: Rig, rules: Rules) -> int:
    """Return the least length of a panel run [min]."""
    return rig.start_up_min + rules.panel_min + rig.clean_up_min


def get_in_out(zone: Zone, rules: Rules) -> tuple[int, int]:
    """Return the minutes lost at each end of a zone's windows [min]."""
    get_in = rules.get_in_min if zone.get_in_min is None else zone.get_in_min
    get_out = rules.get_out_min if zone.get_out_min is None else zone.get_out_min
    return get_in, get_out
