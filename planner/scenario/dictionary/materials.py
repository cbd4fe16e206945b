"""Table of how each mix is bought, mixed and used up."""

from __future__ import annotations

from planner.scenario.dictionary.column import Column, Kind, Table
from planner.scenario.dictionary.shapes import ALWAYS, minutes, reference

SOURCE = "docs/material.md, where every default has its source"


def _number(
    name: str,
    meaning: str,
    *,
    unit: str,
    default: str,
    low: float = 0.0,
    high: float,
    odd: tuple[float, float],
    example: str,
    hint: str = "",
) -> Column:
    return Column(
        name=name,
        kind=Kind.NUMBER,
        unit=unit,
        meaning=meaning,
        default_meaning=default,
        low=low,
        is_low_open=True,
        high=high,
        odd_low=odd[0],
        odd_high=odd[1],
        hint=hint,
        example=example,
        source=SOURCE,
    )


def _whole(name: str, meaning: str, *, default: str, low: float, odd: float) -> Column:
    return Column(
        name=name,
        kind=Kind.WHOLE,
        unit="1",
        meaning=meaning,
        default=default,
        low=low,
        high=1e6,
        odd_high=odd,
        example=default,
        source=SOURCE,
    )


MATERIALS = Table(
    name="materials",
    title="how each mix is bought, mixed and used up",
    key=("mix",),
    columns=(
        reference("mix", "The mix.", "mixes", need=ALWAYS, example="dry"),
        Column(
            name="supply",
            kind=Kind.CHOICE,
            choices=("bags", "bulk_bags", "loads"),
            meaning="In what it comes; loads are wet mix by truck.",
            default_meaning="bags for dry, loads for wet",
            example="bags",
            source=SOURCE,
        ),
        _number(
            "density_kg_m3",
            "What 1 m³ in place weighs.",
            unit="kg/m³",
            default="2300",
            high=5000.0,
            odd=(2000.0, 2500.0),
            example="2300",
            hint="densities are kg/m³: write 2.3 t/m³ as 2300",
        ),
        _number(
            "dry_kg_m3",
            "Dry material for 1 m³ in place, losses aside.",
            unit="kg/m³",
            default="2050",
            high=5000.0,
            odd=(1800.0, 2300.0),
            example="2050",
            hint="kg for each m³: write 2.05 t/m³ as 2050",
        ),
        _number(
            "unit_kg",
            "Mass of a bag, or bulk bag.",
            unit="kg",
            default="25 for bags, 1000 for bulk bags",
            high=5000.0,
            odd=(5.0, 1500.0),
            example="25",
        ),
        _number(
            "unit_m3",
            "What a bag or bulk bag fills in place, losses aside; instead of dry_kg_m3.",
            unit="m³",
            default="unit_kg / dry_kg_m3",
            high=5.0,
            odd=(0.003, 0.8),
            example="0.012",
            hint="yields are m³: write 12 litres as 0.012",
        ),
        Column(
            name="water_l_m3",
            kind=Kind.NUMBER,
            unit="L/m³",
            meaning="Water added on site for 1 m³ shot.",
            default_meaning="140 for dry, 180 for wet in bags, 0 for loads",
            low=0.0,
            high=1000.0,
            odd_high=300.0,
            example="140",
            source=SOURCE,
        ),
        minutes(
            "life_min",
            "Longest from first water (loads) or from opening and dampening (bags) to the face.",
            default_meaning="90 for wet, 60 for dry",
        ),
        minutes("haul_min", "Loads: from first water to the site.", default_meaning="20"),
        minutes("wait_min", "Loads: from the site's gate until it flows.", default_meaning="10"),
        _number(
            "load_max_m3",
            "Loads: most that one brings.",
            unit="m³",
            default="6",
            high=50.0,
            odd=(0.5, 10.0),
            example="6",
        ),
        Column(
            name="hose_fill",
            kind=Kind.NUMBER,
            unit="1",
            meaning="Share of the hose's room that is material, lost at each clean-out.",
            default_meaning="1.0 for wet, 0.03 for dry",
            low=0.0,
            high=1.0,
            odd_low=0.01,
            hint="shares are fractions: write 3 % as 0.03",
            example="1.0",
            source=SOURCE,
        ),
        Column(
            name="aggregate",
            kind=Kind.CHOICE,
            choices=("rounded", "angular"),
            meaning="Shape of the grains; angular ones wear a hose out fast.",
            default="rounded",
            example="rounded",
            source=SOURCE,
        ),
        _number(
            "hose_life_t",
            "Material that a hose carries before it is changed.",
            unit="t",
            default="20 for rounded, 1.5 for angular",
            high=10_000.0,
            odd=(0.5, 200.0),
            example="20",
        ),
        _whole(
            "stock_min", "Least bags or bulk bags on site.", default="0", low=0.0, odd=10_000.0
        ),
        _whole(
            "order_units",
            "Bags or bulk bags come in multiples of it (a pallet).",
            default="1",
            low=1.0,
            odd=100.0,
        ),
        Column(
            name="delivery_days",
            kind=Kind.WHOLE,
            unit="d",
            meaning="Days from one delivery of bags to the next; the first comes on a Monday.",
            default="7",
            low=1.0,
            high=366.0,
            odd_high=31.0,
            example="7",
            source=SOURCE,
        ),
        Column(
            name="source",
            kind=Kind.TEXT,
            meaning="Where the row's numbers come from.",
            example="maker's data sheet",
        ),
    ),
)
