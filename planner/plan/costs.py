"""What a plan costs, line by line (contract, section 5).

Choices made where the contract is silent:

- An activity is a run (panels too), a relocation or a break-out piece.
- Civil days are days of the site's calendar; an activity stands on every day that it touches,
  and an end at 00:00 belongs to the day before.
- A set-up is a rig's arrival: by a relocation, or by its first run, a panel too, where it stood
  nowhere.  The position a rig is at when planning starts is none.
- A crew's shift occurrence counts when the crew's work overlaps it, so work outside every
  occurrence, which no valid plan has, counts for none.
- A crew works on a civil day when some of its work touches that day.
- A run's material is summed over its spells, each with the rebound of its own zone's face.
- Gates and pumps (flow_control.csv) are hired for their whole stretch, used or not; the line
  ``flow_control`` stands only where the scenario has any.
- Shared resources cost their price for each one in use on a civil day, the most in use at once
  (rule 16); the line ``resource`` stands only where the scenario has any.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from datetime import date, timedelta
from typing import TypeVar

from planner.core.clock import Clock
from planner.core.quantities import gross_m3
from planner.core.rounding import DECIMALS, up
from planner.core.spans import Span
from planner.model.campaign import Campaign
from planner.model.crew import Shift
from planner.model.identifiers import CrewId, PositionId, Process, RigId
from planner.plan.plan import BreakOut, Plan, Relocation, Run, RunKind, Spell
from planner.plan.sharing import resource_line

Name = TypeVar("Name", CrewId, RigId)


def cost(campaign: Campaign, plan: Plan) -> float:
    """Return what a plan costs, the sum of its cost lines [money]."""
    return _total(cost_lines(campaign, plan).values())


def cost_lines(campaign: Campaign, plan: Plan) -> dict[str, float]:
    """Return the cost by line, each to six decimals [money]; formula: contract, section 5."""
    prices = campaign.prices
    return {
        "day": _total([prices.day * site_days(campaign, plan)]),
        "rig_day": _priced(prices.rig_day, rig_days(campaign, plan)),
        "crew_shift": _crew_shifts(campaign, plan),
        "crew_standby": _priced(prices.crew_standby_day, crew_standby_days(campaign, plan)),
        "relocation": _total([prices.relocation * len(plan.relocations)]),
        "set_up": _set_ups(campaign, plan),
        **_spray_lines(campaign, plan),
        **flow_control_line(campaign),
        **resource_line(campaign, plan),
    }


def flow_control_line(campaign: Campaign) -> dict[str, float]:
    """Return the price of the gates and pumps for the campaign's days that they touch, if any."""
    clock = campaign.clock
    prices = []
    for row in campaign.water.controls:
        start, end = max(row.from_min, 0), min(row.to_min, clock.horizon_min)
        prices.append(row.price_day * _stretch_days(clock, [(start, end)] if start < end else []))
    return {"flow_control": _total(prices)} if prices else {}


def site_days(campaign: Campaign, plan: Plan) -> int:
    """Return the civil days from the first activity to the last, both counted [d]."""
    return _stretch_days(campaign.clock, _stretches(plan))


def activities(plan: Plan) -> list[Run | Relocation | BreakOut]:
    """Return everything that costs somebody's time: runs, relocations, break-outs."""
    return [*plan.runs, *plan.relocations, *plan.break_outs]


def _moves(plan: Plan) -> list[Run | Relocation]:
    return [*plan.relocations, *plan.runs]


def _stretches(plan: Plan) -> list[Span]:
    return [(row.start_min, row.end_min) for row in activities(plan)]


def _priced(price: Mapping[Name, float], counts: Mapping[Name, int]) -> float:
    return _total(price.get(name, 0.0) * count for name, count in counts.items())


def rig_days(campaign: Campaign, plan: Plan) -> dict[RigId, int]:
    """Return the days of each rig, from first run or relocation to last, both counted [d]."""
    busy: defaultdict[RigId, list[Span]] = defaultdict(list)
    for row in _moves(plan):
        busy[row.rig].append((row.start_min, row.end_min))
    return {rig: _stretch_days(campaign.clock, busy[rig]) for rig in sorted(busy)}


def crew_work(plan: Plan) -> dict[CrewId, list[Span]]:
    """Return each crew's runs, relocations and break-outs in time order, by crew id [min]."""
    work: defaultdict[CrewId, list[Span]] = defaultdict(list)
    for row in activities(plan):
        if row.crew is not None:
            work[row.crew].append((row.start_min, row.end_min))
    return {crew: sorted(work[crew]) for crew in sorted(work)}


def _crew_shifts(campaign: Campaign, plan: Plan) -> float:
    """Return the price of the shift occurrences in which a crew works."""
    price = campaign.prices.crew_shift
    worked = {
        crew: len(crew_shifts(campaign, crew, work))
        for crew, work in crew_work(plan).items()
        if price.get(crew)
    }
    return _priced(price, worked)


def crew_shifts(campaign: Campaign, crew_id: CrewId, work: Iterable[Span]) -> tuple[Span, ...]:
    """Return the occurrences of a crew's shift that its work overlaps, in order, uncut [min]."""
    shift_id = next(crew.shift_id for crew in campaign.crews if crew.crew_id == crew_id)
    shift = next(shift for shift in campaign.shifts if shift.shift_id == shift_id)
    clock = campaign.clock
    return tuple(
        clock.daily(day, start_tod=shift.start_tod, end_tod=shift.end_tod)
        for day in sorted(_occurrences_worked(clock, shift, work))
    )


def _occurrences_worked(clock: Clock, shift: Shift, work: Iterable[Span]) -> set[date]:
    """Return the days on which those occurrences of a shift start that some work overlaps."""
    found: set[date] = set()
    for start, end in work:
        for day in _days(clock, start, end, before=1):
            if day.weekday() not in shift.weekdays:
                continue
            low, high = clock.daily(day, start_tod=shift.start_tod, end_tod=shift.end_tod)
            if start < high and low < end:
                found.add(day)
    return found


def crew_standby_days(campaign: Campaign, plan: Plan) -> dict[CrewId, int]:
    """Return each crew's civil days between its first and last work without any [d]."""
    clock = campaign.clock
    found = {}
    for crew, work in crew_work(plan).items():
        worked = {day for start, end in work for day in _days(clock, start, end)}
        found[crew] = _stretch_days(clock, work) - len(worked)
    return found


def _set_ups(campaign: Campaign, plan: Plan) -> float:
    price = {row.position_id: row.set_up_cost for row in campaign.positions}
    return _total(price[position] for position in set_ups(campaign, plan))


def set_ups(campaign: Campaign, plan: Plan) -> list[PositionId]:
    """Return the position of every set-up, rig by rig, the first included, in time order."""
    standing = standing_at_start(campaign)
    moves: defaultdict[RigId, list[Run | Relocation]] = defaultdict(list)
    for row in _moves(plan):
        moves[row.rig].append(row)
    found: list[PositionId] = []
    for rig in sorted(moves):
        at = standing.get(rig)
        for row in sorted(moves[rig], key=lambda row: row.start_min):
            is_move = isinstance(row, Relocation)
            to = row.to_position if isinstance(row, Relocation) else row.position
            if is_move or to != at:
                found.append(to)
            at = to
    return found


def standing_at_start(campaign: Campaign) -> dict[RigId, PositionId]:
    """Return where rigs stand when planning starts: ``at``, or their latest progress row's."""
    standing = {rig.rig_id: rig.at for rig in campaign.rigs if rig.at is not None}
    for row in sorted(campaign.done, key=lambda row: row.at_min):
        if row.rig_id is not None and row.position_id is not None:
            standing[row.rig_id] = row.position_id
    return standing


def _spray_lines(campaign: Campaign, plan: Plan) -> dict[str, float]:
    """Return material, hose and rebound of the spray runs."""
    prices = campaign.prices
    process_of = {rig.rig_id: rig.process for rig in campaign.rigs}
    material, hose, rebound = [], [], []
    for run, in_place_m3, through_m3 in run_volumes(campaign, plan):
        process = process_of[run.rig]
        load_m3 = bought_m3(campaign, process, through_m3)
        material.append(load_m3 * prices.material_m3.get(run.mix, 0.0))
        hose.append(through_m3 * prices.hose_m3.get(process, 0.0))
        rebound.append((through_m3 - in_place_m3) * prices.rebound_m3)
    return {"material": _total(material), "hose": _total(hose), "rebound": _total(rebound)}


def run_volumes(campaign: Campaign, plan: Plan) -> Iterator[tuple[Run, float, float]]:
    """Yield each spray run with its volume in place and through the nozzle [m³, m³]."""
    faces = {(face.mix_id, face.orientation): face for face in campaign.mixes}
    orientation = {zone.zone_id: zone.orientation for zone in campaign.zones}
    spells: defaultdict[str, list[Spell]] = defaultdict(list)
    for spell in plan.spells:
        spells[spell.run].append(spell)
    for run in plan.runs:
        if run.kind is not RunKind.SPRAY:
            continue
        through_m3 = [
            gross_m3(
                in_place_m3=spell.volume_m3,
                rebound=faces[run.mix, orientation[spell.zone]].rebound,
                waste=campaign.rules.waste,
            )
            for spell in spells[run.run]
        ]
        in_place_m3 = math.fsum(spell.volume_m3 for spell in spells[run.run])
        yield run, in_place_m3, math.fsum(through_m3)


def bought_m3(campaign: Campaign, process: Process, through_m3: float) -> float:
    """Return what is bought for a run: line waste, least load and whole load steps [m³]."""
    prices = campaign.prices
    load_m3 = max(
        through_m3 + prices.line_waste_m3.get(process, 0.0),
        prices.load_min_m3.get(process, 0.0),
    )
    step_m3 = prices.load_step_m3.get(process, 0.0)
    return up(load_m3 / step_m3) * step_m3 if step_m3 > 0.0 else load_m3


def _stretch_days(clock: Clock, spans: Iterable[Span]) -> int:
    """Return the civil days from the first start to the last end, both counted [d]."""
    pairs = list(spans)
    if not pairs:
        return 0
    first = min(start for start, _ in pairs)
    last = max(end for _, end in pairs)
    return (clock.day(last - 1) - clock.day(first)).days + 1


def _days(clock: Clock, start: int, end: int, *, before: int = 0) -> Iterator[date]:
    """Yield the civil days that ``[start, end)`` touches, and ``before`` days before them."""
    day = clock.day(start) - timedelta(days=before)
    last = clock.day(end - 1)
    while day <= last:
        yield day
        day += timedelta(days=1)


def _total(amounts: Iterable[float]) -> float:
    return round(math.fsum(amounts), DECIMALS)
