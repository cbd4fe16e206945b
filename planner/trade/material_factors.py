"""Every number that quantities are worked out with: as given, or a default with its source."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from planner.model.campaign import Campaign
from planner.model.identifiers import MixId, Process
from planner.model.material import Aggregate, Material, Supply
from planner.model.sourced import Trust
from planner.trade.figure import Input

IN_MATERIALS = "materials.csv"
IN_KEYS = "campaign.toml"

_HANDBOOK = "fresh and hardened gunite of 2300 kg/m³ (Duggal, Building Materials, 3rd ed., p. 372)"
_BAG = "a 25 kg bag that fills 0.010 m³ (worked example of a published pilot study)"
_DRY_LIFE = (
    "premix with damp sand is rejected after 1 h (Personnel, duties and safety precautions for"
    " the shotcrete gunning crew, Concrete Construction)"
)
_WET_LIFE = (
    "90 min from first water (R. Lacher, Shotcrete magazine, Spring 2007, who quotes ASTM C94)"
)
_MEMORY = "usual on sites"
_DRY_WATER = (
    "water-cement ratio 0.35 of dry-mix x 400 kg cement for 1 m³ (Concrete Repair: A Practical"
    " Guide, ch. 13)"
)
_WET_WATER = (
    "water-cement ratio 0.45 x 400 kg cement for 1 m³ (Concrete Repair: A Practical Guide, ch. 13)"
)
_ROUNDED = "a hose carries about 20 t of rounded aggregate"
_ANGULAR = "a hose carries 1 to 2 t of angular aggregate"


@dataclass(frozen=True, slots=True, kw_only=True)
class Factor:
    """A number with its source.

    Attributes
    ----------
    name
        As the column of materials.csv, or the key of campaign.toml.
    value, unit
        The number and its unit.
    source, trust
        Where it comes from, and how far that can be trusted.
    """

    name: str
    value: float
    unit: str
    source: str
    trust: Trust

    def as_input(self) -> Input:
        """Return the factor as the input of a figure, with its trust."""
        is_given = self.trust is Trust.GIVEN
        words = self.source if is_given else f"default, {self.trust}: {self.source}"
        return Input(name=self.name, value=self.value, source=words)


@dataclass(frozen=True)
class Factors:
    """The numbers of one mix."""

    mix_id: MixId
    process: Process
    supply: Supply
    material: Material
    by_name: Mapping[str, Factor]

    def __getitem__(self, name: str) -> Factor:
        """Return a factor by its name."""
        return self.by_name[name]

    def value(self, name: str) -> float:
        """Return the number of a factor, in its unit."""
        return self.by_name[name].value


def factors_of(campaign: Campaign, mix_id: MixId) -> Factors:
    """Return the numbers of a mix: those of its row in materials.csv, else the defaults."""
    process = next(face.process for face in campaign.mixes if face.mix_id == mix_id)
    material = next(
        (row for row in campaign.materials if row.mix_id == mix_id), Material(mix_id=mix_id)
    )
    supply = material.supply or (Supply.BAGS if process is Process.DRY else Supply.LOADS)
    defaults = _defaults(process, supply, material.aggregate)
    found = {name: _given(material, name) or factor for name, factor in defaults.items()}
    if material.unit_m3 is None:
        found["unit_m3"] = _yield(found["unit_kg"], found["dry_kg_m3"])
    else:
        found["dry_kg_m3"] = _mass(found["unit_kg"], found["unit_m3"])
    found["waste"] = Factor(
        name="rules.waste",
        value=campaign.rules.waste,
        unit="1",
        source=IN_KEYS,
        trust=Trust.GIVEN,
    )
    return Factors(mix_id=mix_id, process=process, supply=supply, material=material, by_name=found)


def _given(material: Material, name: str) -> Factor | None:
    value: float | None = getattr(material, name)
    if value is None:
        return None
    source = f"{IN_MATERIALS}{f': {material.source}' if material.source else ''}"
    return Factor(name=name, value=value, unit=_UNITS[name], source=source, trust=Trust.GIVEN)


def _yield(unit_kg: Factor, dry_kg_m3: Factor) -> Factor:
    return Factor(
        name="unit_m3",
        value=unit_kg.value / dry_kg_m3.value,
        unit="m³",
        source=f"unit_kg / dry_kg_m3 = {unit_kg.value:g} / {dry_kg_m3.value:g}",
        trust=Trust.GIVEN if _are_given(unit_kg, dry_kg_m3) else Trust.DERIVED,
    )


def _mass(unit_kg: Factor, unit_m3: Factor) -> Factor:
    return Factor(
        name="dry_kg_m3",
        value=unit_kg.value / unit_m3.value,
        unit="kg/m³",
        source=f"unit_kg / unit_m3 = {unit_kg.value:g} / {unit_m3.value:g}",
        trust=Trust.GIVEN if _are_given(unit_kg, unit_m3) else Trust.DERIVED,
    )


def _are_given(*factors: Factor) -> bool:
    return all(factor.trust is Trust.GIVEN for factor in factors)


_UNITS = {
    "density_kg_m3": "kg/m³",
    "dry_kg_m3": "kg/m³",
    "unit_kg": "kg",
    "unit_m3": "m³",
    "water_l_m3": "L/m³",
    "life_min": "min",
    "haul_min": "min",
    "wait_min": "min",
    "load_max_m3": "m³",
    "hose_fill": "1",
    "hose_life_t": "t",
}


def _defaults(process: Process, supply: Supply, aggregate: Aggregate) -> dict[str, Factor]:
    """Return the default of every factor, with its source."""
    is_dry = process is Process.DRY
    is_bulk = supply is Supply.BULK_BAGS
    rows: list[tuple[str, float, str, Trust]] = [
        ("density_kg_m3", 2300.0, _HANDBOOK, Trust.READ),
        ("dry_kg_m3", 2050.0, "in-place density less the water added", Trust.MEMORY),
        ("unit_kg", 1000.0, "bulk bags of 500 to 1500 kg", Trust.MEMORY)
        if is_bulk
        else ("unit_kg", 25.0, _BAG, Trust.READ),
        ("unit_m3", 0.0, "", Trust.DERIVED),
        _water(is_dry=is_dry, supply=supply),
        ("life_min", 60.0, _DRY_LIFE, Trust.READ)
        if is_dry
        else ("life_min", 90.0, _WET_LIFE, Trust.SECOND_HAND),
        ("haul_min", 20.0, _MEMORY, Trust.MEMORY),
        ("wait_min", 10.0, _MEMORY, Trust.MEMORY),
        ("load_max_m3", 6.0, _MEMORY, Trust.MEMORY),
        ("hose_fill", 0.03, "a few per cent of a dry line", Trust.MEMORY)
        if is_dry
        else ("hose_fill", 1.0, "a pumped line is full", Trust.DERIVED),
        ("hose_life_t", 20.0, _ROUNDED, Trust.PRACTICE)
        if aggregate is Aggregate.ROUNDED
        else ("hose_life_t", 1.5, _ANGULAR, Trust.PRACTICE),
    ]
    return {
        name: Factor(name=name, value=value, unit=_UNITS[name], source=source, trust=trust)
        for name, value, source, trust in rows
    }


def _water(*, is_dry: bool, supply: Supply) -> tuple[str, float, str, Trust]:
    if is_dry:
        return "water_l_m3", 140.0, _DRY_WATER, Trust.DERIVED
    if supply is Supply.LOADS:
        return "water_l_m3", 0.0, "it comes with the load", Trust.DERIVED
    return "water_l_m3", 180.0, _WET_WATER, Trust.DERIVED
