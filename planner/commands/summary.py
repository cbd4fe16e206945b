"""What is said at the end of planning: volume, what is left out, goals and how good they are."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from planner.commands.console import number
from planner.commands.words import count
from planner.core.clock import Clock
from planner.model.campaign import Campaign
from planner.model.identifiers import Goal
from planner.plan import measures
from planner.plan.plan import Plan, Proof, Unplanned
from planner.reports.weather import weather_sentences
from planner.workflow.loading import Loaded
from planner.workflow.planning import Planned
from planner.workflow.quality import quality_plan
from planner.workflow.quality_rows import stop_words

REASONS_SHOWN = 12
ZONES_SHOWN = 6
VOLUME_NOISE_M3 = 0.0005
LEAST_GAP_SHOWN = 0.001

_NAMES = {
    Goal.FINISH: "finish",
    Goal.RELOCATIONS: "relocations",
    Goal.COST: "cost",
    Goal.LATE: "days late",
    Goal.NIGHT_RUNS: "night runs",
    Goal.JOINTS: "joints",
}


def summary_lines(loaded: Loaded, planned: Planned) -> Iterator[str]:
    """Yield the lines that sum up a plan for people."""
    campaign, plan, proof = loaded.campaign, planned.plan, planned.proof
    yield ""
    yield volume_line(campaign, plan, proof)
    yield from unplanned_lines(plan.unplanned)
    if plan.spells:
        yield "Goals, in order, against all valid plans of this volume that keep the goals above:"
        for goal in campaign.goals:
            yield goal_line(campaign, plan, proof, goal)
        yield from weather_sentences(campaign, plan)
        words = stop_words(quality_plan(campaign, plan)) if campaign.quality.holds else ""
        if words:
            yield f"{words[:-1]}: ebbwork tests --stops lists them."
    yield "Every rule was checked once more by code of its own: none is broken."
    if loaded.warnings:
        yield f"The input drew {count(len(loaded.warnings), 'warning')}; see above."


def volume_line(campaign: Campaign, plan: Plan, proof: Proof) -> str:
    """Return how much is planned, and what is proven about more."""
    planned = len({spell.zone for spell in plan.spells})
    complete = len(campaign.zones) - planned - len(plan.unplanned)
    volume_m3 = measures.planned_m3(plan)
    line = f"{planned} of {count(len(campaign.zones), 'zone')} planned, {volume_m3:.2f} m³"
    if complete:
        line += f" ({complete} more complete already)"
    if not plan.unplanned:
        return f"{line}."
    if proof.planned_m3_bound - volume_m3 < VOLUME_NOISE_M3:
        return f"{line}; it is proven that no plan holds more."
    return f"{line}; it is proven that no plan holds more than {proof.planned_m3_bound:.2f} m³."


def unplanned_lines(unplanned: tuple[Unplanned, ...]) -> Iterator[str]:
    """Yield why zones are left out, zones with the same reason together."""
    zones: dict[str, list[str]] = defaultdict(list)
    for row in unplanned:
        zones[row.reason].append(row.zone)
    if zones:
        yield "Not planned:"
    for reason, names in list(zones.items())[:REASONS_SHOWN]:
        more = f" and {len(names) - ZONES_SHOWN} more" if len(names) > ZONES_SHOWN else ""
        yield f"  {', '.join(names[:ZONES_SHOWN])}{more}: {reason}"
    if len(zones) > REASONS_SHOWN:
        yield f"  {count(len(zones) - REASONS_SHOWN, 'more reason')} in unplanned.csv."


def goal_line(campaign: Campaign, plan: Plan, proof: Proof, goal: Goal) -> str:
    """Return a goal's value, and how far at most it is from the best."""
    value = measures.value(campaign, plan, goal)
    shown = goal_text(campaign.clock, goal, value)
    return f"  {_NAMES[goal]:<12}{shown:<24}{gap_text(campaign.clock, goal, value, proof)}"


def goal_text(clock: Clock, goal: Goal, value: float) -> str:
    """Return a goal's value for people: the finish as a civil time, the rest as a number.

    Examples
    --------
    >>> from datetime import date
    >>> clock = Clock(
    ...     time_zone="Europe/London", first_day=date(2027, 3, 1), last_day=date(2027, 4, 1)
    ... )
    >>> goal_text(clock, Goal.FINISH, 30.5), goal_text(clock, Goal.COST, 1234567.4)
    ('Tue 02 Mar 2027 06:30', '1 234 567')
    """
    if goal is Goal.FINISH:
        return f"{clock.local(round(value * 60)):%a %d %b %Y %H:%M}"
    if goal is Goal.COST:
        return f"{value:,.0f}".replace(",", " ")
    return number(value, decimals=2)


def gap_text(clock: Clock, goal: Goal, value: float, proof: Proof) -> str:
    """Return in words how far a goal's value can be from the best."""
    bound = proof.bound.get(goal)
    if bound is None:
        return "no bound is proven"
    apart = abs(value - bound)
    if apart < (1 / 60 if goal is Goal.FINISH else 1e-6):
        return "proven: no valid plan does better"
    gap = apart / max(abs(value), 1e-9)
    shown = f"{gap:.1%}" if gap > LEAST_GAP_SHOWN else "under 0.1%"
    return f"no valid plan does better than {goal_text(clock, goal, bound)} (gap {shown})"
