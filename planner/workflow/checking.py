"""Judge a plan folder, however it was made, against a scenario."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from planner.checks.check import check_plan
from planner.checks.violation import Violation
from planner.model.campaign import Campaign
from planner.plan.plan import Plan
from planner.plan.store import read_plan
from planner.workflow.loading import Loaded


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """What the auditor says of a plan folder.

    Attributes
    ----------
    plan, summary
        The folder's rows, and its own figures.
    violations
        Every broken rule; none: the plan is valid.
    same_scenario
        Whether the plan says that it was made from this very scenario.
    """

    plan: Plan
    summary: Mapping[str, Any]
    violations: tuple[Violation, ...]
    same_scenario: bool


def check_folder(loaded: Loaded, folder: Path) -> Checked:
    """Return every rule that a plan folder breaks, its own figures included.

    Raises
    ------
    planner.core.problems.InputRefusedError
        If the folder cannot be read as a plan.
    """
    campaign: Campaign = loaded.campaign
    plan, summary = read_plan(folder, campaign)
    return Checked(
        plan=plan,
        summary=summary,
        violations=tuple(check_plan(campaign, plan, summary)),
        same_scenario=summary.get("scenario_sha256") == campaign.fingerprint,
    )
