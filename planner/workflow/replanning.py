"""Re-plan: the old plan's future, what is done, and a new plan that changes little of it."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from planner.checks.check import check_plan
from planner.core.problems import InputRefusedError, Problem
from planner.core.progress import Listener, silent
from planner.optimise.engine import Settings
from planner.optimise.replan import Replanned, replan
from planner.plan import measures
from planner.plan.compare import differences
from planner.plan.plan import Plan
from planner.plan.search_log import SEARCH, SearchLog, search_csv
from planner.plan.store import read_plan, write_plan
from planner.plan.summary import summary
from planner.reports.changes import HEADING, change_rows, change_sentences
from planner.workflow.loading import Loaded
from planner.workflow.planning import Planned, PlannerFaultError

CHANGES = "changes.csv"
FIGURES = "replan.json"


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """What is asked of a re-plan.

    Attributes
    ----------
    now
        From when on, local where naive; None: the latest ``at`` of progress.csv.
    keep_days
        Shifts that begin within so many days from now are issued [d].
    may_change
        Changes beyond the fewest found that the goals may use [1].
    """

    now: datetime | None = None
    keep_days: float = 7.0
    may_change: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class NewPlan:
    """A re-plan with the old plan beside it, checked."""

    loaded: Loaded
    before: Plan
    made: Replanned
    planned: Planned
    ask: Ask

    def sentences(self) -> tuple[str, ...]:
        """Return what changes, in words: the figures of the plan first, then row by row."""
        campaign = self.loaded.campaign
        rest = self._rest_of_old()
        figures = [
            text
            for text in differences(campaign, rest, self.made.plan)
            if not text.startswith(("Zone ", "Only "))
        ]
        return (*figures, *change_sentences(campaign.clock, self.before, self.made))

    def _rest_of_old(self) -> Plan:
        """Return what the old plan had still to come, so that like is set beside like."""
        now = self.loaded.campaign.start_min
        spells = tuple(row for row in self.before.spells if row.start_min >= now)
        used = {spell.run for spell in spells}
        runs = (row for row in self.before.runs if row.start_min >= now or row.run in used)
        return Plan(
            spells=spells,
            runs=tuple(runs),
            relocations=tuple(row for row in self.before.relocations if row.start_min >= now),
            break_outs=tuple(row for row in self.before.break_outs if row.start_min >= now),
        )


def replan_scenario(
    loaded: Loaded,
    old: Path,
    ask: Ask,
    settings: Settings,
    listener: Listener = silent,
) -> NewPlan:
    """Return a new plan from now on, checked by code that knows no optimiser.

    Raises
    ------
    planner.core.problems.InputRefusedError
        If the old plan cannot be read, or now lies before what is done or after the end.
    planner.optimise.engine.NoPlanInTimeError
        If no plan was found before the time or the stop flag ended the search.
    """
    loaded = _from_now(loaded, ask.now)
    campaign = loaded.campaign
    before, _ = read_plan(old, campaign)
    log = SearchLog(listener)
    made = replan(
        campaign,
        before,
        keep_days=ask.keep_days,
        settings=settings,
        may_change=ask.may_change,
        listener=log,
    )
    figures = summary(campaign, made.plan, made.proof, version="")
    planned = Planned(
        plan=made.plan,
        proof=made.proof,
        violations=tuple(check_plan(campaign, made.plan, figures)),
        search=log.steps,
    )
    return NewPlan(loaded=loaded, before=before, made=made, planned=planned, ask=ask)


def _from_now(loaded: Loaded, now: datetime | None) -> Loaded:
    campaign = loaded.campaign
    if now is None:
        return loaded
    clock = campaign.clock
    at_min = clock.minute(now)
    if at_min < campaign.start_min:
        latest = clock.text(campaign.start_min)
        _refuse(f"{now} is before {latest}, the start or the latest progress; write a later time")
    if at_min >= clock.horizon_min:
        _refuse(
            f"{now} is after the campaign's last day; write a time on {clock.last_day} at most"
        )
    return replace(loaded, campaign=replace(campaign, not_before_min=at_min))


def _refuse(message: str) -> None:
    raise InputRefusedError(
        [Problem(file="--now", row=None, column="", message=message, code="now")]
    )


def write_new_plan(new: NewPlan, folder: Path, *, version: str) -> None:
    """Write the new plan's folder with ``changes.csv`` and ``replan.json``, or nothing.

    Raises
    ------
    PlannerFaultError
        If the plan breaks a rule; nothing is written.
    """
    planned, campaign = new.planned, new.loaded.campaign
    if planned.violations:
        msg = f"the plan breaks {len(planned.violations)} rules; it is not written"
        raise PlannerFaultError(msg)
    extra = {CHANGES: changes_csv(new), FIGURES: json.dumps(figures_of(new), indent=2) + "\n"}
    if planned.search:
        extra[SEARCH] = search_csv(planned.search)
    write_plan(folder, campaign, planned.plan, planned.proof, version, extra=extra)


def changes_csv(new: NewPlan) -> str:
    """Return the before/after list as CSV."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(HEADING)
    writer.writerows(change_rows(new.loaded.campaign.clock, new.before, new.made))
    return text.getvalue()


def figures_of(new: NewPlan) -> dict[str, object]:
    """Return the figures of the goal ``changes``, with its bound and gap as for the others."""
    made, clock = new.made, new.loaded.campaign.clock
    return {
        "now": clock.text(new.loaded.campaign.start_min),
        "keep_days": new.ask.keep_days,
        "issued_until": clock.text(made.issued_until_min),
        "changes": made.changes.count,
        "spells_moved": len(made.changes.moved),
        "issued_spells_moved": sum(row.issued for row in made.moved),
        "relocations_added": len(made.changes.added),
        "changes_bound": made.changes_bound,
        "changes_gap": measures.gap(float(made.changes.count), float(made.changes_bound)),
        "may_change": new.ask.may_change,
    }
