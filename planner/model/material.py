"""How the material of a mix is bought, mixed and used up (materials.csv)."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from planner.model.identifiers import MixId


class Supply(StrEnum):
    """In what the material comes."""

    BAGS = "bags"
    BULK_BAGS = "bulk_bags"
    LOADS = "loads"


class Aggregate(StrEnum):
    """Shape of the grains, which decides how fast hoses wear."""

    ROUNDED = "rounded"
    ANGULAR = "angular"


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """One row of materials.csv; None: the default of :mod:`planner.trade.material_factors`.

    Attributes
    ----------
    mix_id, supply
        The mix, and in what it comes.
    density_kg_m3
        Of what is in place, for rebound and wet-mix by mass [kg/m³].
    dry_kg_m3
        Dry material for 1 m³ in place [kg/m³].
    unit_kg, unit_m3
        Mass of a bag or bulk bag, and what it fills in place before losses [kg, m³].
    water_l_m3
        Water added on site for 1 m³ shot [L/m³].
    life_min
        Longest time from first water (wet), or from opening and dampening (dry), to the face.
    haul_min, wait_min
        Loads: from first water to the site, and until the load flows [min].
    load_max_m3
        Loads: most that one brings [m³].
    hose_fill
        Share of the hose's room that is material and lost at each clean-out [1].
    aggregate, hose_life_t
        Shape of the grains, and tonnes that a hose carries before it is changed [t].
    stock_min, order_units
        Least units on site, and the number in which units are ordered (a pallet) [1].
    delivery_days
        Days from one delivery to the next [d].
    source
        Where the row's numbers come from, for people.
    """

    mix_id: MixId
    supply: Supply | None = None
    density_kg_m3: float | None = None
    dry_kg_m3: float | None = None
    unit_kg: float | None = None
    unit_m3: float | None = None
    water_l_m3: float | None = None
    life_min: float | None = None
    haul_min: float | None = None
    wait_min: float | None = None
    load_max_m3: float | None = None
    hose_fill: float | None = None
    aggregate: Aggregate = Aggregate.ROUNDED
    hose_life_t: float | None = None
    stock_min: int = 0
    order_units: int = 1
    delivery_days: int = 7
    source: str = ""
