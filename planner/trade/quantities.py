"""Volumes, layers and finishing of a zone (contract, section 3)."""

from __future__ import annotations

from planner.core import quantities, rounding
from planner.model.mix import MixFace
from planner.model.rules import Rules
from planner.model.zone import Zone


def volume_m3(zone: Zone, rules: Rules) -> float:
    """Return the volume of a zone in place, progress not taken off [m³].

    The volume given, or area x depth x (1 + overbreak) (contract, section 3).

    Raises
    ------
    ValueError
        If the zone has neither a volume nor both an area and a depth.
    """
    return zone.in_place_m3(rules.overbreak)


def layer_count(zone: Zone, face: MixFace) -> int:
    """Return how many layers a zone takes with a mix: ceil(depth / layer_max_mm) [1].

    One where no depth is given (contract, section 3).
    """
    return quantities.layer_count(zone.depth_mm, face.layer_max_mm)


def layer_volumes(zone: Zone, face: MixFace, rules: Rules) -> tuple[float, ...]:
    """Return the volume of each layer: equal shares of the zone's volume [m³]."""
    count = layer_count(zone, face)
    return (volume_m3(zone, rules) / count,) * count


def finish_minutes(zone: Zone, face: MixFace) -> int:
    """Return the trimming and finishing after a zone's last layer [min].

    ``finish_min_m2`` x area, rounded up (contract, rule 1); 0 where no area is given.
    """
    return rounding.up(face.finish_min_m2 * (zone.area_m2 or 0.0))


def through_nozzle_m3(in_place: float, rebound: float, waste: float) -> float:
    """Return the volume through the nozzle for a volume in place [m³].

    V x (1 + waste) / (1 - rebound): formula and source in
    :func:`planner.core.quantities.gross_m3`.

    Examples
    --------
    >>> through_nozzle_m3(1.0, 0.5, 0.0)
    2.0
    """
    return quantities.gross_m3(in_place_m3=in_place, rebound=rebound, waste=waste)
