"""Every number of a zone's quantities: formula, inputs and source."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from planner.model.campaign import Campaign
from planner.model.identifiers import ZoneId
from planner.model.material import Supply
from planner.model.sourced import Trust
from planner.plan.plan import Plan
from planner.reports.quantities import RunMaterial, ZoneMaterial, run_materials, zone_materials
from planner.trade import material
from planner.trade.figure import Figure, Input
from planner.trade.material_factors import IN_KEYS, Factor

BALANCE = "docs/material.md: what is shot stays, falls or is trimmed off"
IN_ZONES = "zones.csv"
IN_PLAN = "the plan's spells"
_WORST_LAST = (
    Trust.GIVEN,
    Trust.READ,
    Trust.SECOND_HAND,
    Trust.DERIVED,
    Trust.PRACTICE,
    Trust.MEMORY,
)


def why_zone(campaign: Campaign, plan: Plan | None, zone_id: ZoneId) -> list[Figure]:
    """Return every number of a zone, and of the runs of a plan that spray it."""
    found: list[Figure] = []
    for one in zone_materials(campaign, plan):
        if one.zone.zone_id == zone_id:
            found += _zone_figures(campaign, one, is_planned=plan is not None)
    if plan is not None:
        for run in run_materials(campaign, plan):
            if zone_id in run.by_zone:
                found += _run_figures(campaign, run)
    return found


def _worst(*factors: Factor) -> Trust:
    """Return the trust of a number worked out from others: that of the least trusted."""
    return max((factor.trust for factor in factors), key=_WORST_LAST.index)


def _zone_figures(campaign: Campaign, one: ZoneMaterial, *, is_planned: bool) -> Iterator[Figure]:
    factors, shot = one.factors, one.shot
    placed = _placed(campaign, one, is_planned=is_planned)
    rebound = Input(name="rebound", value=one.face.rebound, source=_mix_source(one))
    waste = factors["waste"].as_input()
    yield placed
    yield _figure(
        "shot_m3",
        shot.shot_m3,
        "m³",
        "placed_m3 x (1 + rules.waste) / (1 - rebound)",
        (_as_input(placed), waste, rebound),
        factors["waste"],
    )
    yield _figure(
        "rebound_m3",
        shot.rebound_m3,
        "m³",
        "shot_m3 x rebound",
        (_input("shot_m3", shot.shot_m3), rebound),
        factors["waste"],
    )
    yield _figure(
        "waste_m3",
        shot.waste_m3,
        "m³",
        "placed_m3 x rules.waste",
        (_as_input(placed), waste),
        factors["waste"],
    )
    yield _figure(
        "collected_kg",
        material.collected_kg(shot, factors),
        "kg",
        "(rebound_m3 + waste_m3) x density_kg_m3",
        (
            _input("rebound_m3", shot.rebound_m3),
            _input("waste_m3", shot.waste_m3),
            factors["density_kg_m3"].as_input(),
        ),
        factors["density_kg_m3"],
        note="never put back into the machine; kept out of the water: its wash water is alkaline",
    )
    yield from _mass_figures(one)


def _placed(campaign: Campaign, one: ZoneMaterial, *, is_planned: bool) -> Figure:
    zone = one.zone
    inputs: tuple[Input, ...] = ()
    if is_planned:
        formula, source = "sum of its spells in the plan", IN_PLAN
    elif zone.volume_m3 is not None:
        formula, source = "volume_m3 as given", IN_ZONES
    else:
        formula = "area_m2 x depth_mm / 1000 x (1 + rules.overbreak)"
        inputs = (
            Input(name="area_m2", value=zone.area_m2 or 0.0, source=IN_ZONES),
            Input(name="depth_mm", value=zone.depth_mm or 0.0, source=IN_ZONES),
            Input(name="rules.overbreak", value=campaign.rules.overbreak, source=IN_KEYS),
        )
        source = "scenario contract, section 3"
    return Figure(
        name="placed_m3",
        value=one.shot.placed_m3,
        unit="m³",
        formula=formula,
        inputs=inputs,
        source=source,
        trust=Trust.GIVEN,
    )


def _mix_source(one: ZoneMaterial) -> str:
    return f"mixes: {one.face.mix_id} {one.face.orientation}"


def _mass_figures(one: ZoneMaterial) -> Iterator[Figure]:
    factors, shot = one.factors, one.shot
    is_load = factors.supply is Supply.LOADS
    mass = factors["density_kg_m3" if is_load else "dry_kg_m3"]
    kg = material.material_kg(shot.shot_m3, factors)
    shot_input = _input("shot_m3", shot.shot_m3)
    yield _figure(
        "material_kg", kg, "kg", f"shot_m3 x {mass.name}", (shot_input, mass.as_input()), mass
    )
    if not is_load:
        unit = factors["unit_kg"]
        yield _figure(
            "units",
            float(material.units_of(kg, unit.value)),
            str(factors.supply).replace("_", " "),
            "material_kg / unit_kg, rounded up",
            (_input("material_kg", kg), unit.as_input()),
            mass,
            unit,
            note="counted for this zone alone; runs open whole bags together, see their own rows",
        )
    water = factors["water_l_m3"]
    yield _figure(
        "water_l",
        material.water_l(shot.shot_m3, factors),
        "L",
        "shot_m3 x water_l_m3",
        (shot_input, water.as_input()),
        water,
        note="washing, dampening and curing come on top",
    )


def _run_figures(campaign: Campaign, run: RunMaterial) -> Iterator[Figure]:
    name = f"run {run.run.run}"
    fill = run.factors["hose_fill"]
    given = campaign.prices.line_waste_m3.get(run.factors.process)
    if given is not None:
        key = f"prices.line_waste_m3.{run.factors.process}"
        inputs: tuple[Input, ...] = (Input(name=key, value=given, source=IN_KEYS),)
        yield _figure(f"{name}: hose_fill_m3", run.hose_fill_m3, "m³", "as given", inputs)
    else:
        laid = Input(name="hose_laid_m", value=run.laid_m, source="longest of the run's spells")
        yield _figure(
            f"{name}: hose_fill_m3",
            run.hose_fill_m3,
            "m³",
            "pi / 4 x (hose_bore_mm / 1000)² x hose_laid_m x hose_fill",
            (laid, fill.as_input()),
            fill,
            note="bore of the rig, else the usual one of its process: docs/equipment.md",
        )
    yield from (
        _load_figures(name, run) if run.factors.supply is Supply.LOADS else _bag_figures(name, run)
    )
    life = run.factors["hose_life_t"]
    yield _figure(
        f"{name}: hose_life",
        run.hose_share,
        "1",
        "(shot_m3 + hose_fill_m3) as mass / hose_life_t",
        (_input("conveyed_t", run.conveyed_t), life.as_input()),
        life,
        note="part of a hose's life; its wall and couplings are looked at every day all the same",
    )


def _bag_figures(name: str, run: RunMaterial) -> Iterator[Figure]:
    unit, life = run.factors["unit_kg"], run.factors["life_min"]
    if run.factors.supply is Supply.BULK_BAGS:
        yield _figure(
            f"{name}: units",
            float(run.units or 0),
            "bulk bags",
            "bags opened by the mix's runs up to this one, less those opened before it",
            (_input("mass_kg", run.conveyed_t * material.KG_PER_T), unit.as_input()),
            unit,
            run.factors["dry_kg_m3"],
            note="an open bag is closed and used up by the next run; look at its moisture",
        )
        return
    kg = material.material_kg(run.shot.shot_m3 + run.hose_fill_m3, run.factors)
    yield _figure(
        f"{name}: units",
        float(run.units or 0),
        str(run.factors.supply).replace("_", " "),
        "(shot_m3 + hose_fill_m3) as mass / unit_kg, rounded up in each stretch without a stop"
        " longer than life_min",
        (_input("mass_kg", kg), unit.as_input(), life.as_input()),
        unit,
        life,
        run.factors["dry_kg_m3"],
    )
    yield _figure(
        f"{name}: opened_kg",
        run.opened_kg,
        "kg",
        "units x unit_kg - mass_kg: opened, dampened and lost at the stop behind",
        (_input("units", float(run.units or 0)), unit.as_input(), _input("mass_kg", kg)),
        unit,
        life,
    )


def _load_figures(name: str, run: RunMaterial) -> Iterator[Figure]:
    names = ("life_min", "haul_min", "wait_min", "load_max_m3")
    factors = [run.factors[each] for each in names]
    rate = Input(
        name="rate_m3_h",
        value=run.rate_m3_h,
        source="shot_m3 over the time from the first spell's start to the last one's end",
    )
    yield _figure(
        f"{name}: batch_m3",
        run.batch_m3,
        "m³",
        "(life_min - haul_min - wait_min) / 60 x rate_m3_h, at most load_max_m3",
        (rate, *(factor.as_input() for factor in factors)),
        *factors,
    )
    yield _figure(
        f"{name}: units",
        None if run.units is None else float(run.units),
        "loads",
        "bought_m3 / batch_m3 in whole load steps, rounded up",
        (_input("bought_m3", run.bought_m3), _input("batch_m3", run.batch_m3)),
        *factors,
        note="" if run.units else "no load can be placed before the mix is too old",
    )
    yield _figure(
        f"{name}: surplus_m3",
        run.surplus_m3,
        "m³",
        "bought_m3 - shot_m3 - hose_fill_m3, by the least load and load step of campaign.toml",
        (_input("bought_m3", run.bought_m3), _input("shot_m3", run.shot.shot_m3)),
    )


def _input(name: str, value: float) -> Input:
    return Input(name=name, value=value, source="worked out above")


def _as_input(figure: Figure) -> Input:
    return Input(name=figure.name, value=figure.value or 0.0, source=figure.source)


def _figure(
    name: str,
    value: float | None,
    unit: str,
    formula: str,
    inputs: Sequence[Input],
    *factors: Factor,
    note: str = "",
) -> Figure:
    return Figure(
        name=name,
        value=value,
        unit=unit,
        formula=formula,
        inputs=tuple(inputs),
        source=BALANCE,
        trust=_worst(*factors) if factors else Trust.GIVEN,
        note=note,
    )
