"""The one definition of every figure a plan is judged by (contract, section 5).

Choices made where the contract is silent (those of the cost stand in :mod:`planner.plan.costs`):

- A late day is 1440 minutes, also when the clock is changed.
- Two spells of one layer are two pieces, also side by side in one run.
- A plan without a spell finishes at hour 0 for the sake of comparison; its finish itself is None.
"""

from __future__ import annotations

import math
from collections import Counter
from datetime import timedelta
from typing import assert_never

from planner.core.clock import MINUTES_PER_DAY, MINUTES_PER_HOUR, Clock
from planner.core.quantities import layer_count
from planner.core.rounding import DECIMALS
from planner.model.campaign import Campaign
from planner.model.identifiers import Goal, ZoneId
from planner.model.progress import Done, left_m3
from planner.model.zone import Zone
from planner.plan.costs import cost, cost_lines
from planner.plan.plan import Plan, Run

__all__ = [
    "cost",
    "cost_lines",
    "finish_min",
    "gap",
    "joints",
    "late_days",
    "night_runs",
    "planned_m3",
    "relocations",
    "unplanned_m3",
    "value",
]

NIGHT_FROM_TOD = 22 * MINUTES_PER_HOUR
NIGHT_TO_TOD = 6 * MINUTES_PER_HOUR
GAP_FLOOR = 1e-9
"""Least denominator of a gap (contract, section 5)."""


def finish_min(plan: Plan) -> int | None:
    """Return the end of the last spell, or None when nothing is planned [min]."""
    return max((spell.end_min for spell in plan.spells), default=None)


def planned_m3(plan: Plan) -> float:
    """Return the volume of all spells, in place [m³]."""
    return round(math.fsum(spell.volume_m3 for spell in plan.spells), DECIMALS)


def unplanned_m3(campaign: Campaign, plan: Plan) -> float:
    """Return the volume of the zones left out, less what progress says is done [m³]."""
    left_out = {row.zone for row in plan.unplanned}
    left = [_left_m3(campaign, zone) for zone in campaign.zones if zone.zone_id in left_out]
    return round(math.fsum(left), DECIMALS)


def _left_m3(campaign: Campaign, zone: Zone) -> float:
    """Return what is left of a zone; where that depends on its mix, the most it may be [m³]."""
    whole_m3 = zone.in_place_m3(campaign.rules.overbreak)
    rows = [row for row in campaign.done if row.zone_id == zone.zone_id]
    counts = _layer_counts(campaign, zone, rows) if rows else [1]
    return max(_layers_left_m3(whole_m3, count, rows) for count in counts)


def _layer_counts(campaign: Campaign, zone: Zone, rows: list[Done]) -> list[int]:
    process = {rig.rig_id: rig.process for rig in campaign.rigs}
    begun_with = {process[row.rig_id] for row in rows if row.rig_id in process}
    counts = {
        layer_count(zone.depth_mm, face.layer_max_mm)
        for face in campaign.mixes
        if face.orientation is zone.orientation
        and (not zone.mixes or face.mix_id in zone.mixes)
        and (not begun_with or face.process in begun_with)
    }
    return sorted(counts) or [1]


def _layers_left_m3(whole_m3: float, count: int, rows: list[Done]) -> float:
    return math.fsum(
        left_m3(whole_m3 / count, [row for row in rows if row.layer == layer])
        for layer in range(1, count + 1)
    )


def relocations(plan: Plan) -> int:
    """Return how many times a rig is moved [1]."""
    return len(plan.relocations)


def late_days(campaign: Campaign, plan: Plan) -> float:
    """Return the days after the end of ``due``, summed over planned zones [d].

    A zone is done at the end of its last spell; part days count as parts.
    """
    ends: dict[ZoneId, int] = {}
    for spell in plan.spells:
        ends[spell.zone] = max(spell.end_min, ends.get(spell.zone, spell.end_min))
    late_min = sum(
        max(0, ends[zone.zone_id] - zone.due_min)
        for zone in campaign.zones
        if zone.due_min is not None and zone.zone_id in ends
    )
    return late_min / MINUTES_PER_DAY


def night_runs(campaign: Campaign, plan: Plan) -> int:
    """Return how many runs, panels too, touch 22:00-06:00 local [1]."""
    return sum(_touches_night(campaign.clock, run) for run in plan.runs)


def _touches_night(clock: Clock, run: Run) -> bool:
    day = clock.day(run.start_min) - timedelta(days=1)
    last = clock.day(run.end_min)
    while day <= last:
        start, end = clock.daily(day, start_tod=NIGHT_FROM_TOD, end_tod=NIGHT_TO_TOD)
        if run.start_min < end and start < run.end_min:
            return True
        day += timedelta(days=1)
    return False


def joints(plan: Plan) -> int:
    """Return how many pieces there are beyond one per layer [1]."""
    pieces = Counter((spell.zone, spell.layer) for spell in plan.spells)
    return sum(count - 1 for count in pieces.values())


def value(campaign: Campaign, plan: Plan, goal: Goal) -> float:
    """Return what a plan is worth for a goal, smaller being better; finish in hours [goal's]."""
    match goal:
        case Goal.FINISH:
            return (finish_min(plan) or 0) / MINUTES_PER_HOUR
        case Goal.RELOCATIONS:
            return float(relocations(plan))
        case Goal.COST:
            return cost(campaign, plan)
        case Goal.LATE:
            return late_days(campaign, plan)
        case Goal.NIGHT_RUNS:
            return float(night_runs(campaign, plan))
        case Goal.JOINTS:
            return float(joints(plan))
        case _:
            assert_never(goal)


def gap(found: float, bound: float) -> float:
    """Return how far a value may be from the best: abs(value - bound) / max(abs(value), 1e-9)."""
    return abs(found - bound) / max(abs(found), GAP_FLOOR)
