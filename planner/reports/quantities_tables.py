"""Tables of quantities: by zone, by mix, by week, by run."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from planner.model.campaign import Campaign
from planner.model.identifiers import MixId
from planner.model.material import Supply
from planner.plan.plan import Plan
from planner.plan.sharing import levels, most_by_day
from planner.reports.quantities import (
    RunMaterial,
    ZoneMaterial,
    run_materials,
    total_of,
    zone_materials,
)
from planner.trade import material
from planner.trade.material import Shot
from planner.trade.material_factors import Factors
from planner.trade.material_stock import deliveries

DECIMALS = 3
Cell = str | float | int | None


class By(StrEnum):
    """What the rows of a table stand for."""

    ZONE = "zone"
    MIX = "mix"
    WEEK = "week"
    RUN = "run"
    RESOURCE = "resource"


@dataclass(frozen=True, slots=True, kw_only=True)
class QuantityTable:
    """A table with the names of its columns; they end in their unit."""

    heading: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]

    def for_reading(self) -> tuple[tuple[str, ...], list[tuple[Cell, ...]]]:
        """Return the columns that a reader needs first, those without any cell left out."""
        left_out = NOT_FIRST | (NOT_OF_A_RUN if self.heading[0] == "run" else frozenset())
        kept = [
            k
            for k, name in enumerate(self.heading)
            if name not in left_out and any(row[k] not in {None, ""} for row in self.rows)
        ]
        heading = tuple(self.heading[k] for k in kept)
        return heading, [tuple(_short(self.heading[k], row[k]) for k in kept) for row in self.rows]


def _short(name: str, cell: Cell) -> Cell:
    """Return a time of day without seconds and offset, anything else as it is."""
    return cell[:16].replace("T", " ") if name == "start" and isinstance(cell, str) else cell


NOT_FIRST = frozenset(
    {"rebound_m3", "waste_m3", "bought_m3", "hose_fill_m3", "orientation", "zones", "conveyed_t"}
)
"""Columns of the CSV that a table for reading leaves out."""
NOT_OF_A_RUN = frozenset({"placed_m3", "collected_kg", "material_kg", "opened_kg"})
"""Columns that a table of runs for reading leaves out besides."""
_SHOT = ("placed_m3", "shot_m3", "rebound_m3", "waste_m3", "collected_kg")
_MASS = ("material_kg", "supply", "units")
_RUNS = ("hose_fill_m3", "opened_kg", "bought_m3", "surplus_m3", "water_l", "truck_min")
_HOSE = ("conveyed_t", "hose_changes")


def quantity_table(campaign: Campaign, plan: Plan | None, by: By) -> QuantityTable:
    """Return the quantities of a plan; without one, of the whole zones.

    Raises
    ------
    ValueError
        If weeks, runs or resources are asked for without a plan.
    """
    if by is By.ZONE:
        return _by_zone(zone_materials(campaign, plan))
    if plan is None:
        if by is By.MIX:
            return _surveyed_mixes(zone_materials(campaign, None))
        msg = f"quantities by {by} need a plan"
        raise ValueError(msg)
    if by is By.RESOURCE:
        return _by_resource(campaign, plan)
    runs = run_materials(campaign, plan)
    if by is By.RUN:
        return _by_run(campaign, runs)
    return _by_mix(runs) if by is By.MIX else _by_week(runs)


def _by_zone(zones: Sequence[ZoneMaterial]) -> QuantityTable:
    heading = ("zone", "orientation", "mix", "rebound", *_SHOT, *_MASS, "water_l")
    rows = [
        (
            one.zone.zone_id,
            str(one.zone.orientation),
            one.factors.mix_id,
            one.face.rebound,
            *_shot_cells(one.shot, one.factors),
            *_mass_cells(one.shot, one.factors),
            round(material.water_l(one.shot.shot_m3, one.factors)),
        )
        for one in zones
    ]
    return QuantityTable(heading=heading, rows=tuple(rows))


def _surveyed_mixes(zones: Sequence[ZoneMaterial]) -> QuantityTable:
    heading = ("mix", "zones", *_SHOT, *_MASS, "water_l")
    by_mix: dict[MixId, list[ZoneMaterial]] = defaultdict(list)
    for one in zones:
        by_mix[one.factors.mix_id].append(one)
    rows = []
    for mix, mine in by_mix.items():
        shot, factors = total_of(one.shot for one in mine), mine[0].factors
        rows.append(
            (
                mix,
                len(mine),
                *_shot_cells(shot, factors),
                *_mass_cells(shot, factors),
                round(material.water_l(shot.shot_m3, factors)),
            )
        )
    return QuantityTable(heading=heading, rows=tuple(rows))


def _shot_cells(shot: Shot, factors: Factors) -> tuple[Cell, ...]:
    return (
        round(shot.placed_m3, DECIMALS),
        round(shot.shot_m3, DECIMALS),
        round(shot.rebound_m3, DECIMALS),
        round(shot.waste_m3, DECIMALS),
        round(material.collected_kg(shot, factors)),
    )


def _mass_cells(shot: Shot, factors: Factors) -> tuple[Cell, ...]:
    """Return mass, supply and, for bags, how many whole ones hold it."""
    kg = material.material_kg(shot.shot_m3, factors)
    units = None
    if factors.supply is not Supply.LOADS:
        units = material.units_of(kg, factors.value("unit_kg"))
    return round(kg), str(factors.supply), units


def _run_cells(runs: Sequence[RunMaterial]) -> tuple[Cell, ...]:
    """Return everything from placed to hoses of some runs with one mix."""
    factors = runs[0].factors
    shot = total_of(run.shot for run in runs)
    is_load = factors.supply is Supply.LOADS
    units = [run.units for run in runs]
    return (
        *_shot_cells(shot, factors),
        round(material.material_kg(shot.shot_m3, factors)),
        str(factors.supply),
        None if None in units else sum(count or 0 for count in units),
        round(math.fsum(run.hose_fill_m3 for run in runs), DECIMALS),
        None if is_load else round(math.fsum(run.opened_kg for run in runs), 1),
        round(math.fsum(run.bought_m3 for run in runs), DECIMALS),
        round(math.fsum(run.surplus_m3 for run in runs), DECIMALS) if is_load else None,
        round(material.water_l(shot.shot_m3, factors)),
        round(math.fsum(run.truck_min for run in runs)) if is_load else None,
        round(math.fsum(run.conveyed_t for run in runs), DECIMALS),
        sum(run.hose_changes for run in runs),
    )


def _by_run(campaign: Campaign, runs: Sequence[RunMaterial]) -> QuantityTable:
    heading = ("run", "start", "rig", "mix", "zones", *_SHOT, *_MASS, *_RUNS, *_HOSE, "note")
    rows = [
        (
            one.run.run,
            campaign.clock.text(one.run.start_min),
            one.run.rig,
            one.run.mix,
            ";".join(one.by_zone),
            *_run_cells([one]),
            note_of(one),
        )
        for one in runs
    ]
    return QuantityTable(heading=heading, rows=tuple(rows))


def note_of(run: RunMaterial) -> str:
    """Return what a foreman should look at before a run, or nothing."""
    if run.factors.supply is Supply.LOADS:
        if run.units is None:
            return "no load can be placed before the mix is too old"
        if run.units > 1:
            return f"loads ≤ {run.batch_m3:.2f} m³"
    elif run.hose_changes:
        return "hose worn out"
    return ""


def _by_mix(runs: Sequence[RunMaterial]) -> QuantityTable:
    heading = ("mix", "runs", *_SHOT, *_MASS, *_RUNS, *_HOSE)
    by_mix: dict[MixId, list[RunMaterial]] = defaultdict(list)
    for run in runs:
        by_mix[run.run.mix].append(run)
    rows = [(mix, len(mine), *_run_cells(mine)) for mix, mine in sorted(by_mix.items())]
    return QuantityTable(heading=heading, rows=tuple(rows))


def _by_week(runs: Sequence[RunMaterial]) -> QuantityTable:
    """Return the call-off: what is used each week, what comes, and what is left."""
    heading = ("week", "mix", "runs", *_SHOT, *_MASS, "delivered", "left", *_RUNS, *_HOSE)
    by_week: dict[tuple[date, MixId], list[RunMaterial]] = defaultdict(list)
    for run in runs:
        by_week[run.week, run.run.mix].append(run)
    stock = {
        mix: stock_by_week([run for run in runs if run.run.mix == mix])
        for mix in {run.run.mix for run in runs}
    }
    rows = []
    for (week, mix), mine in sorted(by_week.items()):
        cells = _run_cells(mine)
        cut = len(_SHOT) + len(_MASS)
        delivered, left = stock[mix].get(week, (None, None))
        rows.append(
            (week.isoformat(), mix, len(mine), *cells[:cut], delivered, left, *cells[cut:])
        )
    return QuantityTable(heading=heading, rows=tuple(rows))


def stock_by_week(runs: Sequence[RunMaterial]) -> dict[date, tuple[int, int]]:
    """Return units delivered in each week and left at its end, for runs with one mix in bags."""
    if not runs or runs[0].factors.supply is Supply.LOADS:
        return {}
    first = min(run.week for run in runs)
    used: dict[int, int] = defaultdict(int)
    for run in runs:
        used[(run.day - first).days] += run.units or 0
    comes: dict[int, int] = defaultdict(int)
    for delivery in deliveries(used, runs[0].factors.material):
        comes[delivery.first_day] += delivery.delivered
    found: dict[date, tuple[int, int]] = {}
    stock = 0
    for start in range(0, max([*used, *comes]) + 1, 7):
        days = range(start, start + 7)
        delivered = sum(comes.get(day, 0) for day in days)
        stock += delivered - sum(used.get(day, 0) for day in days)
        found[first + timedelta(days=start)] = (delivered, stock)
    return found


def _by_resource(campaign: Campaign, plan: Plan) -> QuantityTable:
    """Return how much of each shared resource a plan uses, and what that costs (rule 16)."""
    heading = ("resource", "number", "most", "days", "used_h", "all_taken_h", "money", "why")
    days, stretches = most_by_day(campaign, plan), levels(campaign, plan)
    rows = []
    for one in campaign.resources:
        taken, used = stretches[one.resource_id], days[one.resource_id]
        whole = sum(end - start for start, end, count in taken if count == one.number)
        rows.append(
            (
                str(one.resource_id),
                one.number,
                max((count for _, _, count in taken), default=0),
                len(used),
                round(sum((end - start) * count for start, end, count in taken) / 60.0, 1),
                round(whole / 60.0, 1),
                round(one.price_day * sum(used.values()), 2),
                one.why,
            )
        )
    return QuantityTable(heading=heading, rows=tuple(rows))
