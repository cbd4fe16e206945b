"""What a plan takes of material, run by run; and what its zones take without a plan."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta

from planner.core.rounding import down
from planner.model.campaign import Campaign
from planner.model.identifiers import MixId, RigId, ZoneId
from planner.model.material import Supply
from planner.model.mix import MixFace
from planner.model.rig import Rig
from planner.model.zone import Zone
from planner.plan.plan import Plan, Run, RunKind, Spell
from planner.trade import material
from planner.trade.faces import faces_for
from planner.trade.machine_figures import bore_figure
from planner.trade.material import Shot
from planner.trade.material_factors import Factors, factors_of

MINUTES_PER_HOUR = 60.0


@dataclass(frozen=True, slots=True, kw_only=True)
class RunMaterial:
    """What one spray run takes.

    Attributes
    ----------
    run, factors
        The run, and the numbers of its mix.
    day
        Civil day on which it starts.
    by_zone
        What each of its zones takes.
    shot
        All of them together.
    laid_m, hose_fill_m3
        Longest hose laid, and what it holds and the clean-out loses [m, m³].
    units
        Bags, bulk bags or loads; None: no load can be placed before it is too old [1].
    opened_kg
        Bags: what is opened and not shot, lost at the stop behind it [kg].
    bought_m3, surplus_m3
        Loads: what is ordered, and what of it is left over; bags: what is shot and the line [m³].
    rate_m3_h, batch_m3
        Loads: through the nozzle, stops included [m³/h]; most that one may hold [m³].
    truck_min
        Loads: minutes that trucks stand on site [min].
    hose_share, hose_changes
        Part of a hose's life used up; hoses that reach the end of theirs in this run [1].
    """

    run: Run
    factors: Factors
    day: date
    by_zone: dict[ZoneId, Shot]
    shot: Shot
    laid_m: float
    hose_fill_m3: float
    units: int | None
    opened_kg: float = 0.0
    bought_m3: float
    surplus_m3: float = 0.0
    rate_m3_h: float = 0.0
    batch_m3: float = 0.0
    truck_min: float = 0.0
    hose_share: float
    hose_changes: int = 0

    @property
    def week(self) -> date:
        """Return the Monday of its week."""
        return self.day - timedelta(days=self.day.weekday())

    @property
    def conveyed_t(self) -> float:
        """Return the mass that goes through the hose, what stays in it included [t]."""
        through_m3 = self.shot.shot_m3 + self.hose_fill_m3
        return material.material_kg(through_m3, self.factors) / material.KG_PER_T


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneMaterial:
    """What one zone takes with one mix, hoses and opened bags aside."""

    zone: Zone
    face: MixFace
    factors: Factors
    shot: Shot


def run_materials(campaign: Campaign, plan: Plan) -> list[RunMaterial]:
    """Return what each spray run takes, in time order."""
    factors = {face.mix_id: factors_of(campaign, face.mix_id) for face in campaign.mixes}
    zones = {zone.zone_id: zone for zone in campaign.zones}
    spells: defaultdict[str, list[Spell]] = defaultdict(list)
    for spell in plan.spells:
        spells[spell.run].append(spell)
    rigs = {rig.rig_id: rig for rig in campaign.rigs}
    worn: defaultdict[RigId, float] = defaultdict(float)
    taken: defaultdict[MixId, float] = defaultdict(float)
    found = []
    for run in sorted(plan.runs, key=lambda run: (run.start_min, run.run)):
        if run.kind is not RunKind.SPRAY:
            continue
        mine = sorted(spells[run.run], key=lambda spell: spell.start_min)
        shots = [
            material.shot_of(
                placed_m3=spell.volume_m3,
                rebound=_face(campaign, run.mix, zones[spell.zone]).rebound,
                waste=campaign.rules.waste,
            )
            for spell in mine
        ]
        one = _run_material(
            campaign, run, mine, shots, rig=rigs[run.rig], factors=factors[run.mix]
        )
        before = worn[run.rig]
        worn[run.rig] += one.hose_share
        one = replace(one, hose_changes=down(worn[run.rig]) - down(before))
        if one.factors.supply is Supply.BULK_BAGS:
            one = _from_open_bag(one, before_kg=taken[run.mix])
            taken[run.mix] += one.conveyed_t * material.KG_PER_T
        found.append(one)
    return found


def _from_open_bag(one: RunMaterial, *, before_kg: float) -> RunMaterial:
    """Return a run with the bulk bags that it opens; one that is open already is used up first."""
    unit_kg = one.factors.value("unit_kg")
    after_kg = before_kg + one.conveyed_t * material.KG_PER_T
    opened = material.units_of(after_kg, unit_kg) - material.units_of(before_kg, unit_kg)
    return replace(one, units=opened, opened_kg=0.0)


def _run_material(
    campaign: Campaign,
    run: Run,
    spells: list[Spell],
    shots: list[Shot],
    *,
    rig: Rig,
    factors: Factors,
) -> RunMaterial:
    by_zone: dict[ZoneId, Shot] = {}
    for spell, shot in zip(spells, shots, strict=True):
        by_zone[spell.zone] = by_zone.get(spell.zone, Shot()) + shot
    laid_m = max((spell.hose_laid_m for spell in spells), default=0.0)
    fill_m3 = hose_fill_m3(campaign, rig, factors, laid_m)
    total = sum(shots, Shot())
    conveyed_kg = material.material_kg(total.shot_m3 + fill_m3, factors)
    common = {
        "run": run,
        "factors": factors,
        "day": campaign.clock.day(run.start_min),
        "by_zone": by_zone,
        "shot": total,
        "laid_m": laid_m,
        "hose_fill_m3": fill_m3,
        "hose_share": material.hose_share(conveyed_kg / material.KG_PER_T, factors),
    }
    if factors.supply is Supply.LOADS:
        return RunMaterial(**common, **_loads(campaign, spells, total, fill_m3, factors))  # type: ignore[arg-type]  # one dict of fields
    return RunMaterial(**common, **_bags(spells, shots, fill_m3, factors))  # type: ignore[arg-type]  # one dict of fields


def hose_fill_m3(campaign: Campaign, rig: Rig, factors: Factors, laid_m: float) -> float:
    """Return what a clean-out loses: the price key's volume where it is given [m³]."""
    given = campaign.prices.line_waste_m3.get(factors.process)
    if given is not None:
        return given
    bore_mm = bore_figure(rig).value or 0.0
    return material.hose_fill_m3(bore_mm=bore_mm, laid_m=laid_m, fill=factors.value("hose_fill"))


def _bags(
    spells: list[Spell], shots: list[Shot], fill_m3: float, factors: Factors
) -> dict[str, object]:
    """Return the bags of a run: each stretch without a long stop takes whole ones."""
    units = 0
    times = [(spell.start_min, spell.end_min) for spell in spells]
    lead_m3 = fill_m3
    unit_kg = factors.value("unit_kg")
    taken_kg = 0.0
    for first, last in material.stretches(times, factors.value("life_min")):
        m3 = lead_m3 + math.fsum(shot.shot_m3 for shot in shots[first:last])
        kg = material.material_kg(m3, factors)
        units += material.units_of(kg, unit_kg)
        taken_kg += kg
        lead_m3 = 0.0
    shot_m3 = math.fsum(shot.shot_m3 for shot in shots)
    return {
        "units": units,
        "opened_kg": units * unit_kg - taken_kg,
        "bought_m3": shot_m3 + fill_m3,
    }


def _loads(
    campaign: Campaign, spells: list[Spell], total: Shot, fill_m3: float, factors: Factors
) -> dict[str, object]:
    """Return the loads of a run, what is left over, and how long trucks stand."""
    prices, process = campaign.prices, factors.process
    needed_m3 = total.shot_m3 + fill_m3
    step_m3 = prices.load_step_m3.get(process, 0.0)
    bought = material.bought_m3(
        needed_m3, least_m3=prices.load_min_m3.get(process, 0.0), step_m3=step_m3
    )
    minutes = max(1, spells[-1].end_min - spells[0].start_min)
    rate = total.shot_m3 / minutes * MINUTES_PER_HOUR
    batch = material.batch_m3(rate, factors)
    loads = material.loads_of(bought, batch, step_m3)
    return {
        "units": loads,
        "bought_m3": bought,
        "surplus_m3": bought - needed_m3,
        "rate_m3_h": rate,
        "batch_m3": batch,
        "truck_min": minutes + (loads or 0) * factors.value("wait_min"),
    }


def zone_materials(campaign: Campaign, plan: Plan | None) -> list[ZoneMaterial]:
    """Return what each zone takes: as planned, else in whole with the first mix it may use."""
    if plan is None:
        return [one for zone in campaign.zones if (one := _surveyed(campaign, zone)) is not None]
    found: dict[tuple[ZoneId, MixId], ZoneMaterial] = {}
    zones = {zone.zone_id: zone for zone in campaign.zones}
    for run in run_materials(campaign, plan):
        for zone_id, shot in run.by_zone.items():
            zone, mix = zones[zone_id], run.run.mix
            before = found.get((zone_id, mix))
            total = shot if before is None else before.shot + shot
            found[zone_id, mix] = ZoneMaterial(
                zone=zone, face=_face(campaign, mix, zone), factors=run.factors, shot=total
            )
    order = {zone.zone_id: k for k, zone in enumerate(campaign.zones)}
    return sorted(found.values(), key=lambda one: order[one.zone.zone_id])


def _surveyed(campaign: Campaign, zone: Zone) -> ZoneMaterial | None:
    face = next(iter(faces_for(campaign, zone).values()), None)
    if face is None:
        return None
    shot = material.shot_of(
        placed_m3=zone.in_place_m3(campaign.rules.overbreak),
        rebound=face.rebound,
        waste=campaign.rules.waste,
    )
    return ZoneMaterial(zone=zone, face=face, factors=factors_of(campaign, face.mix_id), shot=shot)


def _face(campaign: Campaign, mix: MixId, zone: Zone) -> MixFace:
    return next(
        face
        for face in campaign.mixes
        if face.mix_id == mix and face.orientation is zone.orientation
    )


def total_of(shots: Iterable[Shot]) -> Shot:
    """Return all of some shots together."""
    return sum(shots, Shot())
