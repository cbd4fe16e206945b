"""The audit of a plan: every rule of contract section 4, every figure of summary.json."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from planner.checks.amounts import rule_8, rule_9
from planner.checks.case import Case
from planner.checks.duty import rule_15
from planner.checks.locks import rule_17
from planner.checks.moves import rule_6, rule_7
from planner.checks.openness import rule_11
from planner.checks.order import rule_10
from planner.checks.preparation import rule_12, rule_13
from planner.checks.runs import rule_4, rule_5
from planner.checks.sharing import rule_16
from planner.checks.structure import structure
from planner.checks.summary import summary_figures
from planner.checks.violation import Violation
from planner.checks.whole import rule_14
from planner.checks.windows import rule_1, rule_2, rule_3
from planner.model.campaign import Campaign
from planner.plan.plan import Plan

RULES: tuple[Callable[[Case], Iterator[Violation]], ...] = (
    structure,
    rule_1,
    rule_2,
    rule_3,
    rule_4,
    rule_5,
    rule_6,
    rule_7,
    rule_8,
    rule_9,
    rule_10,
    rule_11,
    rule_12,
    rule_13,
    rule_14,
    rule_15,
    rule_16,
    rule_17,
)


def check_plan(
    campaign: Campaign, plan: Plan, summary: Mapping[str, object] | None
) -> list[Violation]:
    """Return every rule that a plan breaks, by rule and then by row.

    Parameters
    ----------
    campaign
        Scenario of the plan.
    plan
        Plan to audit; nothing about it is believed.
    summary
        Content of summary.json, checked figure by figure; None: there is none to check.
    """
    case = Case(campaign, plan)
    found: list[Violation] = []
    for rule in RULES:
        found.extend(sorted(rule(case), key=_where))
    if summary is not None:
        found.extend(summary_figures(case, summary))
    return found


def _where(violation: Violation) -> tuple[str, int]:
    return violation.table, violation.row or 0
