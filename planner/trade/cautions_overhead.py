"""Cautions about what hangs overhead, how people get out, and what is broken out."""

from __future__ import annotations

from collections.abc import Iterable

from planner.core.quantities import MM_PER_M
from planner.model.campaign import Campaign
from planner.model.identifiers import Orientation
from planner.model.sourced import Trust
from planner.model.zone import Zone
from planner.trade.caution import Asked, Caution, Scope
from planner.trade.faces import faces_for
from planner.trade.quantities import layer_count

FRESH_KG_M3 = 2243.0
"""Density of sprayed concrete in place [kg/m³]: 1 cubic foot (3 ft² x 4 in) is about 140 lb
(Shotcrete magazine, Spring 2012, on fall-out), worked out."""
HEIGHT_M = 2.0
"""From this height on, work at height is spoken of [m]; from memory, codes differ."""


def fall_out(asked: Asked) -> Caution | None:
    """Return the caution about fresh concrete that falls, for overhead zones."""
    zones = _overhead(asked.zones)
    if not zones:
        return None
    layer_mm = max(_layer_mm(asked.campaign, zone) for zone in zones)
    weight = ""
    if layer_mm > 0.0:
        kg_m2 = layer_mm / MM_PER_M * FRESH_KG_M3
        weight = (
            f" Here one layer is up to {layer_mm:.0f} mm thick: about {kg_m2:.0f} kg on each m²."
        )
    return Caution(
        code="fall-out",
        title="Fresh concrete overhead",
        scope=Scope.ZONE,
        subjects=_ids(zones),
        text=(
            "Fresh concrete overhead falls without warning: 0.28 m² of 100 mm weighs about 64 kg."
            f"{weight} Keep everybody out from under it, rope the place off, and let nobody test"
            " it from below."
        ),
        follow=(
            "Follow your local code for work below loads that may fall, the method statement and"
            " the structure's engineer."
        ),
        source="Shotcrete magazine, Spring 2012: 3 ft² x 4 in weighs about 140 lb; the rest worked"
        " out",
        trust=Trust.READ,
    )


def no_entry(asked: Asked) -> Caution | None:
    """Return how long nobody may be under fresh overhead concrete, or that it must be obtained."""
    zones = _overhead(asked.zones)
    if not zones:
        return None
    hours = asked.campaign.rules.no_entry_h
    given = (
        "How long is not in the scenario (rules.no_entry_h) and no general figure is published:"
        " obtain it in writing from the maker of the mix and from the structure's engineer before"
        " anybody goes below."
        if hours is None
        else f"The scenario says {hours:g} h (rules.no_entry_h), as the maker of the mix and the"
        " structure's engineer must have given it; cold makes it longer."
    )
    return Caution(
        code="no-entry",
        title="Nobody under fresh overhead concrete",
        scope=Scope.ZONE,
        subjects=_ids(zones),
        text=(
            "Nobody stands, works or passes under fresh overhead concrete until it carries itself"
            f" beyond doubt. {given}"
        ),
        follow="Follow your local code for exclusion zones under unfinished work.",
        source="the scenario; no published figure holds for sprayed repairs in general",
        trust=Trust.PRACTICE if hours is None else Trust.GIVEN,
    )


def way_out(asked: Asked) -> Caution | None:
    """Return the caution about the way out, for overhead zones of closed spaces."""
    zones = tuple(zone for zone in _overhead(asked.zones) if zone.closed_space)
    if not zones:
        return None
    return Caution(
        code="way-out",
        title="The way out",
        scope=Scope.ZONE,
        subjects=_ids(zones),
        text=(
            "The way out must never lead past or below fresh overhead concrete. In a sewer: spray"
            " from the far end back to the shaft, and keep the way to the shaft clear of hoses and"
            " rebound. A plan is looked through for spells that break this."
        ),
        follow="Follow your local code for means of escape in confined spaces and tunnels.",
        source="common practice of the trade",
        trust=Trust.PRACTICE,
    )


def propping(asked: Asked) -> Caution | None:
    """Return the caution about breaking out, for zones that are not broken out yet."""
    zones = tuple(zone for zone in asked.zones if not zone.broken_out)
    if not zones:
        return None
    campaign = asked.campaign
    limits = (
        " The scenario holds no limits of the engineer (apart.csv, open_limits.csv): ask for them."
        if not campaign.apart and not campaign.open_limits
        else ""
    )
    return Caution(
        code="propping",
        title="Break-out weakens the structure",
        scope=Scope.ZONE,
        subjects=_ids(zones),
        text=(
            "Before concrete is broken out somebody competent checks that the section that is left"
            " is not overstressed; where the repair must carry its share, the load is taken off by"
            " props first. How much may be open at once is the engineer's to say."
            f"{limits}"
        ),
        follow=(
            "Follow your local code for temporary works and structural repair (for example ACI"
            " 562, EN 1504-9) and the structure's engineer."
        ),
        source="Concrete Society, advice on breaking out before repair",
        trust=Trust.READ,
    )


def heights(asked: Asked) -> Caution | None:
    """Return the caution about work at height, for faces well above the lowest point known."""
    campaign = asked.campaign
    levels_m = [zone.z_m for zone in campaign.zones]
    lowest_m = min([*levels_m, *(position.z_m for position in campaign.positions)], default=0.0)
    zones = tuple(zone for zone in asked.zones if zone.z_m - lowest_m > HEIGHT_M)
    if not zones:
        return None
    most_m = max(zone.z_m for zone in zones) - lowest_m
    return Caution(
        code="height",
        title="Work at height",
        scope=Scope.ZONE,
        subjects=_ids(zones),
        text=(
            f"Faces lie up to {most_m:.1f} m above the lowest point of the tables; which floor,"
            " platform or rope is below them the planner does not know. Guard edges and hatches;"
            " the nozzle's thrust pushes people backwards."
        ),
        follow="Follow your local code for work at height, scaffolds and suspended platforms.",
        source=f"{HEIGHT_M:g} m as the height from which it is told: from memory, codes differ",
        trust=Trust.MEMORY,
    )


def _overhead(zones: Iterable[Zone]) -> tuple[Zone, ...]:
    return tuple(zone for zone in zones if zone.orientation is Orientation.OVERHEAD)


def _ids(zones: Iterable[Zone]) -> tuple[str, ...]:
    return tuple(str(zone.zone_id) for zone in zones)


def _layer_mm(campaign: Campaign, zone: Zone) -> float:
    """Return the thickest layer of a zone with any mix that it may take; 0 where unknown [mm]."""
    if zone.depth_mm is None:
        return 0.0
    counts = [layer_count(zone, face) for face in faces_for(campaign, zone).values()]
    return zone.depth_mm / min(counts) if counts else 0.0
