"""The plan's own numbers worked out once more: measures and cost (contract, section 5)."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta

from planner.checks.case import Case
from planner.checks.rows import Moved, Ran, Work, grouped
from planner.checks.sharing import resource_cost
from planner.core.clock import MINUTES_PER_DAY, MINUTES_PER_HOUR, Clock
from planner.core.rounding import up
from planner.model.identifiers import CrewId, Goal
from planner.model.rules import Prices

NIGHT_FROM_TOD = 22 * MINUTES_PER_HOUR  # contract, section 5
NIGHT_TO_TOD = 6 * MINUTES_PER_HOUR


def planned_m3(case: Case) -> float:
    """Return the volume that the plan sprays [m³]."""
    return sum(row.volume_m3 for row in case.plan.spells)


def unplanned_m3(case: Case) -> tuple[float, float]:
    """Return the least and most volume left out; they differ only beside ``left_m3`` [m³]."""
    sprayed = {row.zone for row in case.plan.spells}
    left = [
        case.record.left_range_m3(zone)
        for zone in case.campaign.zones
        if zone.zone_id not in sprayed and not case.record.is_finished(zone)
    ]
    return sum(least for least, _ in left), sum(most for _, most in left)


def finish_min(case: Case) -> int | None:
    """Return the end of the last spell [min]; None: nothing is planned."""
    return max((row.end_min for row in case.plan.spells), default=None)


def late_days(case: Case) -> float:
    """Return the days after their due dates, summed over the zones that the plan ends [d]."""
    late_min = 0
    for spells in case.spells_by_zone.values():
        due = spells[0].zone.due_min
        if due is not None:
            late_min += max(0, max(spell.end_min for spell in spells) - due)
    return late_min / MINUTES_PER_DAY


def touches_night(clock: Clock, start_min: int, end_min: int) -> bool:
    """Return whether a stretch touches 22:00 to 06:00 local."""
    day = clock.local(start_min).date() - timedelta(days=1)
    last = clock.local(end_min).date()
    while day <= last:
        start, end = clock.daily(day, start_tod=NIGHT_FROM_TOD, end_tod=NIGHT_TO_TOD)
        if max(start, start_min) < min(end, end_min):
            return True
        day += timedelta(days=1)
    return False


def night_runs(case: Case) -> int:
    """Return how many runs, panels too, touch the night [1]."""
    return sum(touches_night(case.clock, row.start_min, row.end_min) for row in case.plan.runs)


def joints(case: Case) -> int:
    """Return the pieces beyond one per layer [1]."""
    pieces = Counter((row.zone, row.layer) for row in case.plan.spells)
    return sum(count - 1 for count in pieces.values())


def value(case: Case, goal: Goal) -> float:
    """Return what a plan is worth by a goal; finish in hours, 0 when nothing is planned."""
    match goal:
        case Goal.FINISH:
            return (finish_min(case) or 0) / MINUTES_PER_HOUR
        case Goal.RELOCATIONS:
            return float(len(case.plan.relocations))
        case Goal.COST:
            return sum(cost_lines(case).values())
        case Goal.LATE:
            return late_days(case)
        case Goal.NIGHT_RUNS:
            return float(night_runs(case))
        case Goal.JOINTS:
            return float(joints(case))


def cost_lines(case: Case) -> dict[str, float]:
    """Return the cost by line, in the campaign's money."""
    prices = case.campaign.prices
    lines = {
        "day": prices.day * len(_span_of_days(case, list(case.works))),
        "rig_day": _rig_days(case, prices),
        **_crews(case, prices),
        "relocation": prices.relocation * len(case.plan.relocations),
        "set_up": _set_ups(case),
    }
    material = hose = rebound = 0.0
    for ran in case.runs:
        if not ran.is_panel:
            bought, through, fallen = _run_material(case, ran)
            material += bought * prices.material_m3.get(ran.row.mix, 0.0)
            hose += through * prices.hose_m3.get(ran.rig.process, 0.0)
            rebound += fallen * prices.rebound_m3
    lines |= {"material": material, "hose": hose, "rebound": rebound}
    return lines | _flow_control(case) | resource_cost(case)


def _flow_control(case: Case) -> dict[str, float]:
    """Return the hire of gates and pumps: each civil day of the campaign that one touches."""
    controls = case.campaign.water.controls
    days = case.clock.calendar()
    touched = [
        row.price_day
        for row in controls
        for day in days
        if row.from_min < case.clock.day_end(day) and row.to_min > case.clock.day_start(day)
    ]
    return {"flow_control": sum(touched)} if controls else {}


def days_touched(case: Case, work: Work) -> set[date]:
    """Return the civil days of a piece of work; an end at 00:00 belongs to the day before."""
    day = case.clock.local(work.start_min).date()
    last = case.clock.local(work.end_min - 1).date()
    return {day + timedelta(days=k) for k in range((last - day).days + 1)}


def _span_of_days(case: Case, works: list[Work]) -> set[date]:
    """Return every civil day from the first work to the last."""
    touched = {day for work in works for day in days_touched(case, work)}
    if not touched:
        return set()
    first, last = min(touched), max(touched)
    return {first + timedelta(days=k) for k in range((last - first).days + 1)}


def _rig_days(case: Case, prices: Prices) -> float:
    steps: list[Ran | Moved] = [*case.runs, *case.moves]
    return sum(
        prices.rig_day.get(rig, 0.0) * len(_span_of_days(case, list(found)))
        for rig, found in grouped(steps, lambda step: step.row.rig).items()
    )


def _crews(case: Case, prices: Prices) -> dict[str, float]:
    shifts = standby = 0.0
    for crew_id, works in case.works_by_crew().items():
        shifts += prices.crew_shift.get(crew_id, 0.0) * _shifts_worked(case, crew_id, works)
        touched = {day for work in works for day in days_touched(case, work)}
        idle = len(_span_of_days(case, works)) - len(touched)
        standby += prices.crew_standby_day.get(crew_id, 0.0) * idle
    return {"crew_shift": shifts, "crew_standby": standby}


def _shifts_worked(case: Case, crew_id: CrewId, works: list[Work]) -> int:
    shift = case.crews[crew_id].shift_id
    return len(
        {
            occurrence
            for work in works
            for occurrence in case.shifts.touched(shift, work.start_min, work.end_min)
        }
    )


def _set_ups(case: Case) -> float:
    """Return the set-up cost: each relocation's target, and first set-ups of rigs without one."""
    cost = sum(move.end.set_up_cost for move in case.moves)
    for rig, runs in grouped(case.runs, lambda ran: ran.row.rig).items():
        if case.rigs[rig].at is None and case.record.stands_at(rig) is None:
            cost += runs[0].position.set_up_cost
    return cost


def _run_material(case: Case, ran: Ran) -> tuple[float, float, float]:
    """Return what a spray run buys, sends through the nozzle, and loses as rebound [m³]."""
    prices, process = case.campaign.prices, ran.rig.process
    placed = through = 0.0
    for spell in case.spells_by_run.get(ran.row.run, ()):
        rebound = spell.face.rebound if spell.face is not None else 0.0
        placed += spell.row.volume_m3
        through += spell.row.volume_m3 * (1.0 + case.rules.waste) / (1.0 - rebound)
    bought = max(
        through + prices.line_waste_m3.get(process, 0.0), prices.load_min_m3.get(process, 0.0)
    )
    step = prices.load_step_m3.get(process, 0.0)
    if step > 0.0:
        bought = up(bought / step) * step
    return bought, through, through - placed
