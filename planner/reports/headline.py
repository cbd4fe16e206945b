"""A plan in three sentences and five figures, to be read before anything else."""

from __future__ import annotations

from planner.model.campaign import Campaign
from planner.model.identifiers import Goal
from planner.plan import measures
from planner.plan.plan import Plan, Proof
from planner.reports.key_figures import KeyFigure, key_figures, said
from planner.reports.labels import GOALS
from planner.reports.sentences import story

FIGURES = 5
SENTENCES = 3
EXTRA = (Goal.FINISH, Goal.RELOCATIONS, Goal.COST, Goal.NIGHT_RUNS, Goal.JOINTS)
"""What is told besides the goals, in this order, until there are five figures."""


def headline(campaign: Campaign, plan: Plan, proof: Proof) -> tuple[list[str], list[str]]:
    """Return the three sentences that matter most, and the rest of the story.

    How much is planned and what is left out; when it ends and what no plan can beat; what is
    proven.
    """
    told = story(campaign, plan, proof)
    if not plan.spells:
        return told[:SENTENCES], told[SENTENCES:]
    first = " ".join(told[: 2 if plan.unplanned else 1])
    finish = next(text for text in told if text.startswith("Spraying ends"))
    head = [first, finish, told[-1]]
    rest = [text for text in told if text not in (*head, *told[: 2 if plan.unplanned else 1])]
    return head, rest


def five_figures(campaign: Campaign, plan: Plan, proof: Proof) -> list[KeyFigure]:
    """Return the volume and the goals in order, filled up to five with other measures."""
    found = key_figures(campaign, plan, proof)
    for goal in EXTRA:
        if len(found) >= FIGURES:
            break
        if goal in campaign.goals:
            continue
        value = said(campaign.clock, goal, measures.value(campaign, plan, goal))
        if goal is Goal.COST and not measures.cost(campaign, plan):
            continue
        found.append(
            KeyFigure(
                name=GOALS[goal],
                value=value,
                bound="",
                verdict="Not a goal of this plan.",
                proven=False,
            )
        )
    return found[:FIGURES]
