"""summary.json: what a plan achieves, what is proven about it, and how it was made."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from planner.core.clock import MINUTES_PER_HOUR
from planner.core.rounding import up
from planner.model.campaign import Campaign
from planner.model.identifiers import Goal
from planner.plan import measures
from planner.plan.plan import Plan, Proof
from planner.plan.rows import exact


def summary(campaign: Campaign, plan: Plan, proof: Proof, *, version: str) -> dict[str, Any]:
    """Return the keys of summary.json, in the contract's order (section 5).

    ``stopped_early`` is added to them: whether a clock or an interrupt ended the search.
    """
    finish_min = measures.finish_min(plan)
    lines = measures.cost_lines(campaign, plan)
    return {
        "campaign": campaign.name,
        "scenario_sha256": campaign.fingerprint,
        "version": version,
        "seed": proof.seed,
        "workers": proof.workers,
        "seconds": exact(proof.seconds),
        "status": proof.status.value,
        "planned_m3": exact(measures.planned_m3(plan)),
        "planned_m3_bound": exact(proof.planned_m3_bound),
        "unplanned_m3": exact(measures.unplanned_m3(campaign, plan)),
        "finish": None if finish_min is None else campaign.clock.text(finish_min),
        "relocations": measures.relocations(plan),
        "late": exact(measures.late_days(campaign, plan)),
        "night_runs": measures.night_runs(campaign, plan),
        "joints": measures.joints(plan),
        "cost": exact(measures.cost(campaign, plan)),
        "cost_lines": {name: exact(amount) for name, amount in lines.items()},
        "bound": {goal.value: exact(bound) for goal, bound in proof.bound.items()},
        "gap": {
            goal.value: exact(measures.gap(measures.value(campaign, plan, goal), bound))
            for goal, bound in proof.bound.items()
        },
        "finish_bound": _finish_bound(campaign, proof.bound),
        "stopped_early": proof.stopped_early,
    }


def _finish_bound(campaign: Campaign, bound: Mapping[Goal, float]) -> str | None:
    """Return the bound on the finish as a time: plans end on whole minutes, so rounded up."""
    if Goal.FINISH not in bound:
        return None
    return campaign.clock.text(up(bound[Goal.FINISH] * MINUTES_PER_HOUR))
