"""How each mix is bought and used up, from parsed and checked cells."""

from __future__ import annotations

from planner.model.identifiers import MixId
from planner.model.material import Aggregate, Material, Supply
from planner.scenario.draft import Draft, Row


def build_materials(draft: Draft) -> tuple[Material, ...]:
    """Return the rows of materials.csv."""
    return tuple(_material(row) for row in draft.rows("materials"))


def _material(row: Row) -> Material:
    supply = row.text("supply")
    return Material(
        mix_id=MixId(row.text("mix")),
        supply=Supply(supply) if supply else None,
        density_kg_m3=row.number("density_kg_m3"),
        dry_kg_m3=row.number("dry_kg_m3"),
        unit_kg=row.number("unit_kg"),
        unit_m3=row.number("unit_m3"),
        water_l_m3=row.number("water_l_m3"),
        life_min=row.number("life_min"),
        haul_min=row.number("haul_min"),
        wait_min=row.number("wait_min"),
        load_max_m3=row.number("load_max_m3"),
        hose_fill=row.number("hose_fill"),
        aggregate=Aggregate(row.text("aggregate")),
        hose_life_t=row.number("hose_life_t"),
        stock_min=row.whole("stock_min") or 0,
        order_units=row.whole("order_units") or 1,
        delivery_days=row.whole("delivery_days") or 7,
        source=row.text("source"),
    )
