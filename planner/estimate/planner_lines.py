"""The lines that the planner itself counts (contract, section 5), each with its quantity.

Together they equal ``cost_lines`` of the plan; what is paid by shift, load or day stays so: two
runs in one shift are one crew-shift, a run's least load is paid whole.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from typing import TypeVar

from planner.estimate.hours import Hours
from planner.estimate.line import Basis, Line
from planner.model.campaign import Campaign
from planner.model.identifiers import CrewId, MixId, Process, RigId
from planner.plan.costs import (
    bought_m3,
    cost_lines,
    crew_standby_days,
    rig_days,
    run_volumes,
    set_ups,
    site_days,
)
from planner.plan.plan import Plan
from planner.plan.sharing import most_by_day

Name = TypeVar("Name", CrewId, RigId)
SLACK = 1e-4
"""A sum of lines may differ from the plan's own by so much: each is rounded to six decimals."""


def planner_lines(campaign: Campaign, plan: Plan, hours: Hours) -> list[Line]:
    """Return the lines of ``prices.*``; a cost line that is not taken apart stands whole."""
    lines = [
        *_time_lines(campaign, plan, hours),
        *_resource_lines(campaign, plan),
        *_move_lines(campaign, plan),
        *_material_lines(campaign, plan),
    ]
    sums: defaultdict[str, float] = defaultdict(float)
    for line in lines:
        sums[line.key] += line.amount
    for key, amount in cost_lines(campaign, plan).items():
        rest = amount - sums[key]
        if abs(rest) > SLACK:
            lines.append(_whole_line(key, rest))
    return lines


def _whole_line(key: str, amount: float) -> Line:
    """Return a cost line as one item: gates and pumps are hired for their whole stretch."""
    name = "Gates and pumps" if key == "flow_control" else key.replace("_", " ").capitalize()
    return Line(
        key=key,
        name=name,
        basis=Basis.FIXED,
        quantity=1.0,
        unit="item",
        rate=amount,
        quantity_from="once, for the whole campaign",
        rate_from=f"summary.json: cost_lines.{key}",
    )


def _time_lines(campaign: Campaign, plan: Plan, hours: Hours) -> Iterator[Line]:
    prices = campaign.prices
    yield Line(
        key="day",
        name="Site days",
        basis=Basis.DAY,
        quantity=site_days(campaign, plan),
        unit="day",
        rate=prices.day,
        quantity_from="runs, relocations, break_outs: civil days from the first to the last",
        rate_from="campaign.toml: prices.day",
    )
    yield from _named(
        "rig_day",
        "Rig on the job",
        rig_days(campaign, plan),
        prices.rig_day,
        unit="rig-day",
        source="runs, relocations: civil days from the rig's first to its last",
    )
    yield from _named(
        "crew_shift",
        "Crew-shifts",
        hours.shifts,
        prices.crew_shift,
        unit="crew-shift",
        source="runs, relocations, break_outs: shifts in which the crew works, paid whole",
    )
    yield from _named(
        "crew_standby",
        "Crew standing by, whole days",
        crew_standby_days(campaign, plan),
        prices.crew_standby_day,
        unit="day",
        source="civil days without work between the crew's first and last",
        price_key="crew_standby_day",
    )


def _resource_lines(campaign: Campaign, plan: Plan) -> Iterator[Line]:
    days = most_by_day(campaign, plan) if campaign.resources else {}
    for resource in campaign.resources:
        name = resource.resource_id
        yield Line(
            key="resource",
            name="Shared resource",
            of=name,
            basis=Basis.DAY,
            quantity=sum(days.get(name, {}).values()),
            unit="day",
            rate=resource.price_day,
            quantity_from="for each civil day the most in use at once, added up",
            rate_from=f"resources.csv: {name}, price_day",
        )


def _named(
    key: str,
    name: str,
    counts: Mapping[Name, int],
    price: Mapping[Name, float],
    *,
    unit: str,
    source: str,
    price_key: str = "",
) -> Iterator[Line]:
    for of, count in counts.items():
        yield Line(
            key=key,
            name=name,
            of=of,
            basis=Basis.DAY,
            quantity=count,
            unit=unit,
            rate=price.get(of, 0.0),
            quantity_from=source,
            rate_from=f"campaign.toml: prices.{price_key or key}.{of}",
        )


def _move_lines(campaign: Campaign, plan: Plan) -> Iterator[Line]:
    yield Line(
        key="relocation",
        name="Relocations",
        basis=Basis.RELOCATION,
        quantity=len(plan.relocations),
        unit="relocation",
        rate=campaign.prices.relocation,
        quantity_from="relocations.csv: rows",
        rate_from="campaign.toml: prices.relocation",
    )
    price = {row.position_id: row.set_up_cost for row in campaign.positions}
    moved = Counter(move.to_position for move in plan.relocations)
    first = Counter(set_ups(campaign, plan)) - moved
    for counts, basis, what in (
        (first, Basis.FIXED, "First set-up"),
        (moved, Basis.RELOCATION, "Set-up after a relocation"),
    ):
        for rate in sorted({price[position] for position in counts}):
            there = sorted(position for position in counts if price[position] == rate)
            yield Line(
                key="set_up",
                name=what,
                of="; ".join(there),
                basis=basis,
                quantity=sum(counts[position] for position in there),
                unit="set-up",
                rate=rate,
                quantity_from="relocations.csv: to"
                if basis is Basis.RELOCATION
                else "runs.csv: a rig's first run, where it stood nowhere",
                rate_from="positions.csv: set_up_cost",
            )


def _material_lines(campaign: Campaign, plan: Plan) -> Iterator[Line]:
    prices = campaign.prices
    process_of = {rig.rig_id: rig.process for rig in campaign.rigs}
    bought: defaultdict[MixId, list[float]] = defaultdict(list)
    shot: defaultdict[MixId, list[float]] = defaultdict(list)
    hose: defaultdict[Process, list[float]] = defaultdict(list)
    placed = []
    for run, in_place_m3, through_m3 in run_volumes(campaign, plan):
        process = process_of[run.rig]
        bought[run.mix].append(bought_m3(campaign, process, through_m3))
        shot[run.mix].append(through_m3)
        hose[process].append(through_m3)
        placed.append(in_place_m3)
    for mix in sorted(bought):
        through_m3, loads_m3 = math.fsum(shot[mix]), math.fsum(bought[mix])
        lost_m3 = loads_m3 - through_m3
        yield Line(
            key="material",
            name="Material bought",
            of=mix,
            basis=Basis.M3,
            quantity=loads_m3,
            unit="m3",
            rate=prices.material_m3.get(mix, 0.0),
            quantity_from=f"spells: in place x (1 + waste) / (1 - rebound) = {through_m3:.2f} m3; "
            f"line waste, least loads and whole steps of {len(bought[mix])} runs {lost_m3:+.2f}",
            rate_from=f"campaign.toml: prices.material_m3.{mix}",
        )
    for process in sorted(hose):
        yield Line(
            key="hose",
            name="Hose and nozzle wear",
            of=process,
            basis=Basis.M3,
            quantity=math.fsum(hose[process]),
            unit="m3",
            rate=prices.hose_m3.get(process, 0.0),
            quantity_from="spells: volume through the nozzle",
            rate_from=f"campaign.toml: prices.hose_m3.{process}",
        )
    shot_m3 = math.fsum(math.fsum(volumes) for volumes in hose.values())
    yield Line(
        key="rebound",
        name="Rebound and waste carried away",
        basis=Basis.M3,
        quantity=shot_m3 - math.fsum(placed),
        unit="m3",
        rate=prices.rebound_m3,
        quantity_from="spells: through the nozzle less in place",
        rate_from="campaign.toml: prices.rebound_m3",
    )
