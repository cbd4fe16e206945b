"""Rules and prices of a campaign."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from planner.model.identifiers import CrewId, MixId, Process, RigId, ShiftId


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """Rules of the campaign with the contract's defaults (campaign.toml, ``rules.*``)."""

    window_min_min: int = 45
    get_in_min: int = 10
    get_out_min: int = 10
    zone_change_min: int = 10
    spell_min_min: int = 15
    overbreak: float = 0.10
    waste: float = 0.03
    relocation_shift: ShiftId | None = None
    prepare_min_h: float = 0.0
    panel_days: float = 0.0
    panel_min: int = 60
    strength_hold_h: float = 0.0
    max_open_days: float | None = None
    no_entry_h: float | None = None
    cards_min: int = 1


class ReachBy(StrEnum):
    """How hose lengths are found."""

    ROUTES = "routes"
    GRID = "grid"


@dataclass(frozen=True, slots=True, kw_only=True)
class Prices:
    """Prices in the campaign's own currency; every one defaults to 0 (contract, section 5)."""

    day: float = 0.0
    relocation: float = 0.0
    rebound_m3: float = 0.0
    rig_day: Mapping[RigId, float] = field(default_factory=dict)
    crew_shift: Mapping[CrewId, float] = field(default_factory=dict)
    crew_standby_day: Mapping[CrewId, float] = field(default_factory=dict)
    material_m3: Mapping[MixId, float] = field(default_factory=dict)
    line_waste_m3: Mapping[Process, float] = field(default_factory=dict)
    load_min_m3: Mapping[Process, float] = field(default_factory=dict)
    load_step_m3: Mapping[Process, float] = field(default_factory=dict)
    hose_m3: Mapping[Process, float] = field(default_factory=dict)
