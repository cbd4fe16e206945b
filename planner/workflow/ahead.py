"""The weeks ahead of a plan: its work, what must be ready, and the months beyond."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from planner.access.windows import Access
from planner.core.wording import day_name
from planner.model.campaign import Campaign
from planner.plan.plan import Plan
from planner.site.forecast import now_of
from planner.site.lookahead import Ahead, MonthRow, WorkRow, first_day_of, month_rows, work_rows
from planner.site.ready import ReadyRow, State, ready_rows
from planner.trade.quality_trial import TrialKind
from planner.trade.quality_verdict import Verdict
from planner.workflow.quality import Tested, quality_plan
from planner.workflow.site import journal_of


@dataclass(frozen=True, slots=True, kw_only=True)
class LookAhead:
    """The stretch, its work, what must be ready for it, and the months after it."""

    ahead: Ahead
    work: tuple[WorkRow, ...]
    ready: tuple[ReadyRow, ...]
    months: tuple[MonthRow, ...]


def look_ahead(
    scenario: Path,
    campaign: Campaign,
    plan: Plan,
    *,
    weeks: int,
    first_day: date | None = None,
    ahead_zones: int = 0,
) -> LookAhead:
    """Return what the weeks ahead ask for.

    Parameters
    ----------
    scenario
        Where the journal lies.
    first_day
        First day of the stretch; None: that of the last record, or of the campaign.
    ahead_zones
        Zones that break-out is wanted to be ahead of spraying [1].
    """
    stored = journal_of(scenario).current()
    access = Access(campaign)
    first = first_day or first_day_of(campaign, now_of(campaign, stored))
    ahead = Ahead.weeks(first, weeks)
    return LookAhead(
        ahead=ahead,
        work=tuple(work_rows(campaign, plan, ahead, access)),
        ready=tuple(
            ready_rows(
                campaign,
                plan,
                ahead,
                stored,
                access=access,
                ahead_zones=ahead_zones,
                more=panel_rows(campaign, plan),
            )
        ),
        months=tuple(month_rows(campaign, plan, access, after=ahead.last_day)),
    )


def panel_rows(campaign: Campaign, plan: Plan) -> Iterator[ReadyRow]:
    """Yield the panels before production, and whether results.csv shows that they were met."""
    firsts = _first_spells(campaign, plan)
    for one in quality_plan(campaign, plan).tested:
        trial = one.trial
        needed = firsts.get((trial.crew, trial.mix, trial.orientation))
        if trial.kind is not TrialKind.PRE or needed is None:
            continue
        if not campaign.rules.panel_days and one.outcome is None:
            continue  # the contract asks for none before the work
        state, why = _panel_state(one)
        if state is not State.READY and trial.made_min is not None:
            why = f"sprayed {day_name(campaign.clock.day(trial.made_min))} by the plan; {why}"
        yield ReadyRow(item=f"panel {trial.name}", needed_min=needed, state=state, why=why)


def _panel_state(one: Tested) -> tuple[State, str]:
    if one.outcome is None:
        return State.SHOWN, "no result yet; show the approval"
    if one.judged.verdict is Verdict.MET:
        return State.READY, one.judged.sentence or "rule met"
    if one.judged.verdict is Verdict.MISSED:
        return State.NOT, one.judged.sentence or "rule missed"
    return State.SHOWN, one.judged.sentence or "not judged yet"


def _first_spells(campaign: Campaign, plan: Plan) -> dict[tuple[str, str, str], int]:
    zones = {zone.zone_id: zone for zone in campaign.zones}
    mixes = {run.run: run.mix for run in plan.runs}
    found: dict[tuple[str, str, str], int] = {}
    for spell in plan.spells:
        orientation = zones[spell.zone].orientation
        key = (str(spell.crew), str(mixes[spell.run]), str(orientation))
        found[key] = min(found.get(key, spell.start_min), spell.start_min)
    return found
