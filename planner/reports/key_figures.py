"""The few figures a plan is judged by, each with its proven bound and gap in plain words."""

from __future__ import annotations

import math
from dataclasses import dataclass

from planner.core.clock import MINUTES_PER_HOUR, Clock
from planner.model.campaign import Campaign
from planner.model.identifiers import Goal
from planner.plan import measures
from planner.plan.plan import Plan, Proof
from planner.reports.labels import GOALS, count, money
from planner.reports.wording import duration, moment

SAME_M3 = 1e-6
PER_CENT = 100.0


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyFigure:
    """One figure of a plan.

    Attributes
    ----------
    name, value
        What it is, and its value in words.
    bound
        What no valid plan can beat, in words; empty where nothing is proven.
    verdict
        What that means for this plan, in plain words.
    proven
        Whether this plan is proven best for this figure.
    """

    name: str
    value: str
    bound: str
    verdict: str
    proven: bool


def key_figures(campaign: Campaign, plan: Plan, proof: Proof) -> list[KeyFigure]:
    """Return the volume planned, then the goals in their order."""
    figures = [_volume(plan, proof)]
    for goal in campaign.goals:
        value = measures.value(campaign, plan, goal)
        bound = proof.bound.get(goal)
        figures.append(_figure(campaign.clock, goal, value, bound))
    return figures


def _volume(plan: Plan, proof: Proof) -> KeyFigure:
    value = measures.planned_m3(plan)
    missing = proof.planned_m3_bound - value
    left_out = len(plan.unplanned)
    if not left_out:
        verdict = "Everything is planned."
    elif missing <= SAME_M3:
        verdict = f"{count(left_out, 'zone')} left out; proven: no plan can hold more."
    else:
        verdict = f"{count(left_out, 'zone')} left out; at most {missing:.1f} m³ more can be."
    return KeyFigure(
        name="In place",
        value=f"{value:.1f} m³",
        bound=f"{proof.planned_m3_bound:.1f} m³",
        verdict=verdict,
        proven=missing <= SAME_M3,
    )


def _figure(clock: Clock, goal: Goal, value: float, bound: float | None) -> KeyFigure:
    if bound is None:
        return KeyFigure(
            name=GOALS[goal],
            value=said(clock, goal, value),
            bound="",
            verdict="No bound is known.",
            proven=False,
        )
    proven = is_best(goal, value, bound)
    return KeyFigure(
        name=GOALS[goal],
        value=said(clock, goal, value),
        bound=said(clock, goal, bound),
        verdict="Proven: no plan does better." if proven else _room(goal, value, bound),
        proven=proven,
    )


def is_best(goal: Goal, value: float, bound: float) -> bool:
    """Return whether a value meets its bound; the finish to less than a minute."""
    slack = 1.0 / MINUTES_PER_HOUR if goal is Goal.FINISH else SAME_M3 * max(1.0, abs(value))
    return abs(value - bound) < slack


def said(clock: Clock, goal: Goal, value: float) -> str:
    """Return a goal's value in words; a finish in hours as a local time."""
    match goal:
        case Goal.FINISH:
            minute = math.ceil(value * MINUTES_PER_HOUR - SAME_M3)
            return moment(clock, minute) if minute else "nothing"
        case Goal.COST:
            return money(value)
        case Goal.LATE:
            return f"{value:.1f} days"
        case Goal.RELOCATIONS | Goal.NIGHT_RUNS | Goal.JOINTS:
            return f"{math.ceil(value - SAME_M3)}"


def _room(goal: Goal, value: float, bound: float) -> str:
    """Return how much better a plan could be at most, as far as is proven."""
    room = abs(value - bound)
    match goal:
        case Goal.FINISH:
            return f"At most {duration(room * MINUTES_PER_HOUR)} earlier is possible."
        case Goal.COST:
            share = PER_CENT * measures.gap(value, bound)
            return f"At most {money(room)} ({share:.1f} %) less is possible."
        case Goal.LATE:
            return f"At most {room:.1f} days less is possible."
        case Goal.RELOCATIONS | Goal.NIGHT_RUNS | Goal.JOINTS:
            fewer = math.floor(room + SAME_M3)
            return f"At most {fewer} fewer is possible."
