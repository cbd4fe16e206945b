"""Issue a plan: check it, keep it with its scenario, and say what changed since the last."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from planner.checks.violation import Violation
from planner.core.clock import Clock
from planner.plan.compare import differences
from planner.site.entry import current
from planner.site.export import by_hand
from planner.site.forecast import forecast
from planner.site.issued import (
    Issue,
    Told,
    issue,
    issue_numbered,
    issues,
    read_issue,
)
from planner.site.later import at_clock
from planner.site.place import history_folder
from planner.workflow.checking import check_folder
from planner.workflow.loading import Loaded
from planner.workflow.site import Writer, journal_of


class BrokenPlanError(Exception):
    """The plan breaks rules of the scenario as it is now; nobody should be told to work to it."""

    def __init__(self, violations: tuple[Violation, ...]) -> None:
        self.violations = violations
        super().__init__(f"{len(violations)} broken rules")


@dataclass(frozen=True, slots=True, kw_only=True)
class Issued:
    """The issue, and whether it is a new one."""

    issue: Issue
    is_new: bool
    same_scenario: bool


def issue_plan(scenario: Path, loaded: Loaded, plan: Path, writer: Writer, *, note: str) -> Issued:
    """Keep a plan as the next issue, with the forecast of the records so far.

    Raises
    ------
    BrokenPlanError
        If the plan breaks a rule of the scenario as it is now.
    InputRefusedError
        If there is no plan, or nobody issues it.
    """
    checked = check_folder(loaded, plan)
    if checked.violations:
        raise BrokenPlanError(checked.violations)
    campaign = loaded.campaign
    clock = campaign.clock
    ever = journal_of(scenario).stored()
    known = forecast(by_hand(campaign, ever), checked.plan, current(ever))
    before = issues(history_folder(scenario))
    made = issue(
        history_folder(scenario),
        plan,
        loaded.tables,
        Told(
            by=writer.by,
            issued_at=writer.at,
            scenario_sha256=campaign.fingerprint,
            note=note,
            forecast=_local(clock, known.finish_min),
            forecast_low=_local(clock, known.finish_low_min),
            forecast_high=_local(clock, known.finish_high_min),
        ),
    )
    return Issued(
        issue=made,
        is_new=all(row.number != made.number for row in before),
        same_scenario=checked.same_scenario,
    )


def _local(clock: Clock, minute: int | None) -> datetime | None:
    return None if minute is None else clock.local(minute)


def issued_plans(scenario: Path) -> tuple[Issue, ...]:
    """Return every plan issued for a scenario, in order."""
    return issues(history_folder(scenario))


def issue_differences(scenario: Path, before: int, after: int) -> tuple[str, ...]:
    """Return in words what differs between two issues; times are those of the later scenario.

    Raises
    ------
    InputRefusedError
        If there is no such issue, or it cannot be read.
    """
    history = history_folder(scenario)
    old_campaign, old = read_issue(issue_numbered(history, before))
    campaign, new = read_issue(issue_numbered(history, after))
    old = at_clock(old, old_campaign.clock, campaign.clock)
    gone = sorted({spell.zone for spell in old.spells} - {zone.zone_id for zone in campaign.zones})
    words = [f"Zone {zone} is not in the scenario any more." for zone in gone]
    return (*words, *differences(campaign, old, new))
