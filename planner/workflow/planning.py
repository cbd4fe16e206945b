"""The middle steps: a campaign becomes a plan, and the plan is checked before it is kept."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from planner.checks.check import check_plan
from planner.checks.violation import Violation
from planner.core.progress import Listener, silent
from planner.model.campaign import Campaign
from planner.optimise.engine import Settings, optimise
from planner.plan.plan import Plan, Proof
from planner.plan.search_log import SEARCH, SearchLog, SearchStep, search_csv
from planner.plan.store import write_plan
from planner.plan.summary import summary
from planner.workflow.loading import Loaded


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """A plan, what is proven about it, and what the auditor found.

    Attributes
    ----------
    plan, proof
        As the optimiser gave them.
    violations
        Broken rules; any at all is a fault of the planner, not of the input.
    search
        How values and bounds came to be; empty where nobody kept it.
    """

    plan: Plan
    proof: Proof
    violations: tuple[Violation, ...]
    search: tuple[SearchStep, ...] = ()


class PlannerFaultError(Exception):
    """The optimiser made a plan that breaks a rule; such a plan is not kept as a plan."""


def plan_scenario(loaded: Loaded, settings: Settings, listener: Listener = silent) -> Planned:
    """Return the best plan found, checked against every rule by code that knows no optimiser.

    Raises
    ------
    planner.optimise.engine.NoPlanInTimeError
        If no plan was found before the time or the stop flag ended the search.
    """
    campaign = loaded.campaign
    log = SearchLog(listener)
    plan, proof = optimise(campaign, settings=settings, listener=log)
    figures = summary(campaign, plan, proof, version="")
    violations = tuple(check_plan(campaign, plan, figures))
    return Planned(plan=plan, proof=proof, violations=violations, search=log.steps)


def closing_s(campaign: Campaign) -> float:
    """Return the time kept back for the last step of the search, checking, writing and ending [s].

    Measured on two busy cores, in all: 0.4 s with 60 zones, 0.6 s with 120, 2.9 s with 1200.
    """
    return 1.0 + 0.003 * len(campaign.zones)


def write_result(loaded: Loaded, planned: Planned, folder: Path, *, version: str) -> None:
    """Write a plan folder, whole or not at all.

    Raises
    ------
    PlannerFaultError
        If the plan breaks a rule; nothing is written.
    planner.core.problems.InputRefusedError
        If the folder holds something other than a plan.
    OSError
        If the folder cannot be written.
    """
    if planned.violations:
        msg = f"the plan breaks {len(planned.violations)} rules; it is not written"
        raise PlannerFaultError(msg)
    _write(loaded, planned, folder, version)


def write_faulty(loaded: Loaded, planned: Planned, folder: Path, *, version: str) -> None:
    """Keep a plan that breaks rules for a report, in a folder where nobody works to it."""
    _write(loaded, planned, folder, version)


def _write(loaded: Loaded, planned: Planned, folder: Path, version: str) -> None:
    """Write plan and search; a plan whose search nobody kept has no search.csv."""
    extra = {SEARCH: search_csv(planned.search)} if planned.search else {}
    write_plan(folder, loaded.campaign, planned.plan, planned.proof, version, extra=extra)
