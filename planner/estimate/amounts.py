"""What the price book's rates are multiplied with: faces, volumes, tests, hours of lifting."""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass

from planner.core.clock import MINUTES_PER_HOUR
from planner.core.quantities import gross_m3
from planner.core.rounding import up
from planner.model.campaign import Campaign
from planner.model.identifiers import CrewId, MixId, Process, RigId
from planner.model.price_book import PriceBook
from planner.plan.costs import site_days
from planner.plan.measures import night_runs, planned_m3
from planner.plan.plan import Plan, RunKind

HUNDRED_M = 100.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Amounts:
    """Quantities of a plan.

    Attributes
    ----------
    days
        Site days [d].
    relocations
        Times a rig is moved [1].
    volume_m3, area_m2
        In place [m³]; faces of the planned zones [m²].
    without_area
        Planned zones of which only a volume is known [1].
    broken_out_m3
        In place, of the planned zones that were not broken out before [m³].
    rigs
        Rigs that the plan uses, in table order.
    first_panels, panels
        Panels sprayed before the work, and those of the work itself [1].
    bond_tests
        Pull-off tests [1].
    night_runs
        Runs that touch 22:00-06:00 [1].
    lifting_h
        Hours of relocation, each at least the least hire [h].
    laid_m3_100m
        Volume through the hose x hose laid ÷ 100 m, by process [m³ x 100 m].
    """

    days: int
    relocations: int
    volume_m3: float
    area_m2: float
    without_area: int
    broken_out_m3: float
    rigs: tuple[RigId, ...]
    first_panels: int
    panels: int
    bond_tests: int
    night_runs: int
    lifting_h: float
    laid_m3_100m: dict[Process, float]


def amounts(campaign: Campaign, plan: Plan, book: PriceBook) -> Amounts:
    """Return the quantities of a plan."""
    planned = {spell.zone for spell in plan.spells}
    zones = [zone for zone in campaign.zones if zone.zone_id in planned]
    area_m2 = math.fsum(zone.area_m2 or 0.0 for zone in zones)
    fresh = {zone.zone_id for zone in zones if not zone.broken_out}
    used = {run.rig for run in plan.runs} | {move.rig for move in plan.relocations}
    least_h = book.rate("lifting.least_h")
    return Amounts(
        days=site_days(campaign, plan),
        relocations=len(plan.relocations),
        volume_m3=planned_m3(plan),
        area_m2=area_m2,
        without_area=sum(zone.area_m2 is None for zone in zones),
        broken_out_m3=math.fsum(row.volume_m3 for row in plan.spells if row.zone in fresh),
        rigs=tuple(rig.rig_id for rig in campaign.rigs if rig.rig_id in used),
        first_panels=sum(run.kind is RunKind.PANEL for run in plan.runs),
        panels=_panels(campaign, plan, book.rate("tests.panel_every_m3")),
        bond_tests=up(area_m2 / book.rate("tests.bond_every_m2")),
        night_runs=night_runs(campaign, plan),
        lifting_h=math.fsum(
            max(least_h, (move.end_min - move.start_min) / MINUTES_PER_HOUR)
            for move in plan.relocations
        ),
        laid_m3_100m=_laid(campaign, plan),
    )


def _panels(campaign: Campaign, plan: Plan, every_m3: float) -> int:
    """Return the production panels: for each crew and mix its days, or one per volume.

    Whichever gives more: one reading of "each work day or every 50 yd³, whichever results in
    the most panels" (ACI 506.2-13, as the American Shotcrete Association states the clause).
    """
    mix_of = {run.run: run.mix for run in plan.runs}
    days: defaultdict[tuple[CrewId, MixId], set[int]] = defaultdict(set)
    placed: defaultdict[tuple[CrewId, MixId], float] = defaultdict(float)
    for spell in plan.spells:
        key = (spell.crew, mix_of[spell.run])
        days[key].add(campaign.clock.day_index(spell.start_min))
        placed[key] += spell.volume_m3
    return sum(max(len(days[key]), up(placed[key] / every_m3)) for key in days)


def _laid(campaign: Campaign, plan: Plan) -> dict[Process, float]:
    process_of = {rig.rig_id: rig.process for rig in campaign.rigs}
    mix_of = {run.run: run.mix for run in plan.runs}
    faces = {(face.mix_id, face.orientation): face for face in campaign.mixes}
    orientation = {zone.zone_id: zone.orientation for zone in campaign.zones}
    found: defaultdict[Process, float] = defaultdict(float)
    for spell in plan.spells:
        face = faces[mix_of[spell.run], orientation[spell.zone]]
        through_m3 = gross_m3(
            in_place_m3=spell.volume_m3, rebound=face.rebound, waste=campaign.rules.waste
        )
        found[process_of[spell.rig]] += through_m3 * spell.hose_laid_m / HUNDRED_M
    return dict(sorted(found.items()))
