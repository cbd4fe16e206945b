"""Columns of rigs.csv that tell the kind of machine, its hose, air and water."""

from __future__ import annotations

from planner.model.machines import MACHINES
from planner.scenario.dictionary.column import Column, Kind

_ADVICE = "only for the equipment table; nothing is ruled out by it"

TYPE = Column(
    name="type",
    kind=Kind.CHOICE,
    choices=tuple(machine.type_id for machine in MACHINES),
    meaning=(
        "Kind of machine in the catalogue; empty cells of hose_max_m, rise_max_m, rise_factor,"
        " bend_m, rate_m3_h, start_up_min, clean_up_min, idle_max_min, move_min, hose_bore_mm and"
        " crew_size then take its usual value."
    ),
    default_meaning="not named; nothing is taken from the catalogue",
    example="dry-rotary-barrel",
    source="docs/equipment.md, where every value of the catalogue has its source",
)


def _number(
    name: str, meaning: str, *, unit: str, high: float, odd: tuple[float, float], hint: str
) -> Column:
    return Column(
        name=name,
        kind=Kind.NUMBER,
        unit=unit,
        meaning=meaning,
        low=0.0,
        is_low_open=True,
        high=high,
        odd_low=odd[0],
        odd_high=odd[1],
        hint=hint,
        default_meaning="not known",
        example=f"{odd[0] * 2:g}",
        source=_ADVICE,
    )


MACHINE_COLUMNS = (
    Column(
        name="hose_bore_mm",
        kind=Kind.NUMBER,
        unit="mm",
        meaning="Inside diameter of its hose at the nozzle.",
        default_meaning="as its type; else the usual bore of its process is assumed",
        low=5.0,
        high=300.0,
        odd_low=19.0,
        odd_high=80.0,
        hint="bores are millimetres: write 1.5 inches as 38",
        example="38",
        source="lines of 38 to 64 mm (American Shotcrete Association); 25 mm common practice",
    ),
    _number(
        "air_m3_min",
        "Free air that its compressor delivers.",
        unit="m³/min",
        high=1000.0,
        odd=(1.0, 60.0),
        hint="air is m³/min: write 375 cfm as 10.6",
    ),
    _number(
        "air_kpa",
        "Pressure at which its compressor delivers.",
        unit="kPa",
        high=5000.0,
        odd=(300.0, 2500.0),
        hint="pressures are kPa: write 7 bar or 100 psi as 700",
    ),
    _number(
        "water_kpa",
        "Pressure of the water supply beside the rig, booster pump included.",
        unit="kPa",
        high=20000.0,
        odd=(100.0, 3000.0),
        hint="pressures are kPa: write 7 bar or 100 psi as 700",
    ),
    Column(
        name="crew_size",
        kind=Kind.WHOLE,
        unit="people",
        meaning="People that work with it, for ventilation and lists.",
        default_meaning="as its type",
        low=1.0,
        high=100.0,
        odd_high=20.0,
        example="6",
        source="docs/equipment.md",
    ),
)
