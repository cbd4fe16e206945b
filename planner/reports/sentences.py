"""A plan told in plain sentences."""

from __future__ import annotations

import math
from collections.abc import Iterable

from planner.core.clock import MINUTES_PER_HOUR
from planner.model.campaign import Campaign
from planner.model.identifiers import Goal
from planner.model.rig import Rig
from planner.plan import measures
from planner.plan.plan import Plan, Proof, Status
from planner.reports.key_figures import is_best, said
from planner.reports.labels import COST_LINES, count, money
from planner.reports.stays import stays
from planner.reports.weather import weather_sentences
from planner.reports.wording import duration, moment

SAFETY = (
    "A plan is a proposal: tide boards, gas readings, permits, the structure's engineer and "
    "local codes decide on site."
)
DEAREST = 3
NAMED = 6


def story(campaign: Campaign, plan: Plan, proof: Proof) -> list[str]:
    """Return the plan in a few sentences: how much, until when, by whom, at what price."""
    if not plan.spells:
        return ["Nothing can be planned.", *_left_out(campaign, plan)]
    found = [_volume(campaign, plan), *_left_out(campaign, plan), _finish(campaign, plan, proof)]
    found += weather_sentences(campaign, plan)
    found += [_rig(plan, rig) for rig in campaign.rigs]
    found += _due(campaign, plan)
    found += _money(campaign, plan)
    found.append(_proof(proof))
    return found


def _volume(campaign: Campaign, plan: Plan) -> str:
    zones = len({spell.zone for spell in plan.spells})
    volume = f"{measures.planned_m3(plan):.1f} m³"
    everything = "All" if not plan.unplanned else f"{zones} of"
    return (
        f"{everything} {count(len(campaign.zones), 'zone')} are planned: {volume} in place in "
        f"{count(len(plan.spells), 'spell')}."
    )


def _left_out(campaign: Campaign, plan: Plan) -> list[str]:
    if not plan.unplanned:
        return []
    names = _named(str(row.zone) for row in plan.unplanned)
    volume = measures.unplanned_m3(campaign, plan)
    return [f"Left out: {names}, together {volume:.1f} m³; the table says why."]


def _named(names: Iterable[str]) -> str:
    found = list(names)
    if len(found) <= NAMED:
        return ", ".join(found)
    return f"{', '.join(found[:NAMED])} and {len(found) - NAMED} more"


def _finish(campaign: Campaign, plan: Plan, proof: Proof) -> str:
    clock = campaign.clock
    end_min = measures.finish_min(plan) or 0
    spare = duration(clock.horizon_min - end_min)
    text = f"Spraying ends on {moment(clock, end_min)}, {spare} before the campaign does"
    bound = proof.bound.get(Goal.FINISH)
    if bound is None:
        return f"{text}."
    if is_best(Goal.FINISH, end_min / MINUTES_PER_HOUR, bound):
        return f"{text}; no plan can end earlier."
    return f"{text}; no plan can end before {said(clock, Goal.FINISH, bound)}."


def _rig(plan: Plan, rig: Rig) -> str:
    spells = [spell for spell in plan.spells if spell.rig == rig.rig_id]
    if not spells:
        return f"Rig {rig.rig_id} ({rig.process}) is not used."
    minutes = sum(spell.end_min - spell.start_min for spell in spells)
    volume = math.fsum(spell.volume_m3 for spell in spells)
    found = stays(plan, rig.rig_id)
    runs = count(sum(stay.runs for stay in found), "run")
    way = " → ".join(str(stay.position) for stay in found)
    return (
        f"Rig {rig.rig_id} ({rig.process}) sprays {volume:.1f} m³ in {minutes / 60:.1f} h of "
        f"nozzle time and {runs}, at {way}."
    )


def _due(campaign: Campaign, plan: Plan) -> list[str]:
    if not any(zone.due_min is not None for zone in campaign.zones):
        return []
    late = measures.late_days(campaign, plan)
    if late > 0.0:
        return [f"Zones with a due date are {late:.1f} days late in sum."]
    return ["Every planned zone with a due date is done in time."]


def _money(campaign: Campaign, plan: Plan) -> list[str]:
    lines = measures.cost_lines(campaign, plan)
    total = measures.cost(campaign, plan)
    if total <= 0.0:
        return []
    dearest = sorted(lines.items(), key=lambda item: -item[1])[:DEAREST]
    parts = ", ".join(
        f"{COST_LINES[name].lower()} {money(amount)}" for name, amount in dearest if amount > 0.0
    )
    return [f"It costs {money(total)} in the campaign's own currency; most of it: {parts}."]


def _proof(proof: Proof) -> str:
    early = " The search was stopped early; a longer one may find better." * proof.stopped_early
    if proof.status is Status.OPTIMAL:
        return "Every goal meets its proven bound, so no plan is better."
    return f"For some goals a better plan is not ruled out.{early}"
