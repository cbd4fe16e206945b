"""Paper and calendars of a plan, as files by name."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property
from pathlib import Path
from typing import Any

from planner.access.windows import Access
from planner.core.clock import Clock
from planner.core.wording import day_name
from planner.model.campaign import Campaign
from planner.model.identifiers import Goal
from planner.plan.plan import Plan, Proof, Status
from planner.plan.store import read_plan
from planner.reports.crew_calendar import crew_calendar
from planner.reports.plan_book import plan_workbook
from planner.reports.sheets.campaign_report import campaign_pdf
from planner.reports.sheets.ground import DueTest, SheetGround
from planner.reports.sheets.shift_sheet import cautions_pdf, shift_pdf
from planner.reports.sheets.week_sheet import DAYS, week_pdf
from planner.reports.standing import standing_sentences
from planner.scenario.replace import replace_file
from planner.site.duties import Duty, duties, moved
from planner.site.export import by_hand
from planner.site.forecast import forecast, learnt
from planner.site.issued import Issue, read_issue
from planner.site.later import between
from planner.site.lookahead import Ahead
from planner.site.ready import ready_rows
from planner.workflow.ahead import panel_rows
from planner.workflow.issuing import issued_plans
from planner.workflow.quality import quality_plan
from planner.workflow.site import journal_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """Which papers are wanted.

    Attributes
    ----------
    crew
        Only this crew's; None: everybody's.
    first_day, last_day
        Civil days on which shifts start; None: from the first, to the last.
    shifts, weeks, calendars, workbook, report
        Sheets of shifts with the crews' cautions, sheets of weeks, a calendar for each crew, the
        plan as a workbook, the report of the campaign.
    """

    crew: str | None = None
    first_day: date | None = None
    last_day: date | None = None
    shifts: bool = True
    weeks: bool = True
    calendars: bool = False
    workbook: bool = False
    report: bool = False

    def wants(self, duty: Duty) -> bool:
        """Return whether a duty is asked for."""
        return (
            self.crew in {None, duty.name}
            and (self.first_day is None or duty.day >= self.first_day)
            and (self.last_day is None or duty.day <= self.last_day)
        )


class Papers:
    """The papers of one plan of one scenario, made one by one as they are asked for.

    Parameters
    ----------
    scenario
        Where journal and history lie.
    campaign
        The campaign.
    plan, summary
        The plan, which keeps every rule, and its summary.json.
    """

    def __init__(
        self, scenario: Path, campaign: Campaign, plan: Plan, summary: Mapping[str, Any]
    ) -> None:
        self._scenario, self._campaign, self._plan = scenario, campaign, plan
        self._summary = summary
        self._stored = journal_of(scenario).current()
        self._issues = issued_plans(scenario)
        self.issue = _issue_of(self._issues, campaign, plan)
        number = None if self.issue is None else self.issue.number
        tests = tuple(due_tests(campaign, plan))
        self.ground = SheetGround(campaign, plan, issue=number, tests=tests)

    @classmethod
    def of_folder(cls, scenario: Path, campaign: Campaign, folder: Path) -> Papers:
        """Return the papers of a plan folder.

        Raises
        ------
        InputRefusedError
            If the folder cannot be read as a plan.
        """
        plan, summary = read_plan(folder, campaign)
        return cls(scenario, campaign, plan, summary)

    @property
    def crews(self) -> tuple[str, ...]:
        """Return the names of everybody with work, the lifting gang too."""
        return tuple(dict.fromkeys(duty.name for duty in self.ground.duties))

    def files(self, order: Order) -> Iterator[tuple[str, bytes]]:
        """Yield the files that are asked for, each with its name."""
        wanted = [duty for duty in self.ground.duties if order.wants(duty)]
        names = list(dict.fromkeys(duty.name for duty in wanted))
        if order.shifts:
            yield from self._shifts(wanted, names)
        if order.weeks:
            for monday in dict.fromkeys(_monday(duty.day) for duty in wanted):
                yield f"week-{monday.isoformat()}.pdf", self.week(monday)
        if order.calendars:
            yield from ((f"crew-{plain(name)}.ics", self.calendar(name)) for name in names)
        if order.workbook:
            yield "plan.xlsx", plan_workbook(self.ground)
        if order.report:
            yield "report.pdf", self.report()

    def _shifts(self, wanted: Iterable[Duty], names: Iterable[str]) -> Iterator[tuple[str, bytes]]:
        for duty in wanted:
            yield self.shift_name(duty), shift_pdf(self.ground, duty)
        for name in names:
            yield f"cautions-{plain(name)}.pdf", cautions_pdf(self.ground, name)

    def shift_name(self, duty: Duty) -> str:
        """Return the file name of a shift's sheet."""
        return f"shift-{duty.day.isoformat()}-{plain(duty.name)}-{plain(duty.shift_id)}.pdf"

    def week(self, monday: date) -> bytes:
        """Return the foreman's sheet of a week."""
        ahead = Ahead(first_day=monday, last_day=monday + timedelta(days=DAYS - 1))
        ready = ready_rows(
            self._campaign,
            self._plan,
            ahead,
            self._stored,
            access=self.ground.access,
            more=panel_rows(self._campaign, self._plan),
        )
        return week_pdf(self.ground, monday, ready)

    def calendar(self, name: str) -> bytes:
        """Return the calendar of a crew, with the shifts that fell away since the issue before."""
        mine = [duty for duty in self.ground.duties if duty.name == name]
        number = 0 if self.issue is None else self.issue.number
        before = [duty for duty in self._before if duty.name == name]
        return crew_calendar(self._campaign, mine, sequence=number, before=before)

    @cached_property
    def _before(self) -> list[Duty]:
        if self.issue is None:
            return []
        return _duties_before(self._issues, self.issue, self._campaign)

    def report(self) -> bytes:
        """Return the report of the campaign."""
        records: list[str] = []
        if self._stored:
            rest = by_hand(self._campaign, journal_of(self._scenario).stored())
            told = forecast(rest, self._plan, self._stored, self.ground.access)
            known = learnt(self._campaign, self._stored)
            records = standing_sentences(self._campaign, self._stored, known, told)
        return campaign_pdf(self.ground, proof_of(self._summary), self._issues, records)


def write_papers(papers: Papers, order: Order, folder: Path) -> list[str]:
    """Write the files that are asked for into a folder and return their names.

    Each file is whole or not there; what else lies in the folder stays.

    Raises
    ------
    OSError
        If the disk does not let us.
    """
    names = []
    for name, data in papers.files(order):
        replace_file(folder / name, data)
        names.append(name)
    return names


def due_tests(campaign: Campaign, plan: Plan) -> Iterator[DueTest]:
    """Yield the tests and inspections of the quality plan, when they are made."""
    for one in quality_plan(campaign, plan).tested:
        trial = one.trial
        if trial.made_min is None:
            continue
        pieces = f", {trial.pieces} pieces" if trial.pieces else ""
        words = f"{trial.name} ({trial.kind}{pieces}{_result(campaign.clock, trial.due_min)})"
        yield DueTest(
            crew=trial.crew,
            zone=trial.zone,
            at_min=trial.made_min,
            short=trial.kind.value,
            words=words,
        )


def _result(clock: Clock, due_min: int | None) -> str:
    if due_min is None or not 0 <= due_min < clock.horizon_min:
        return ""
    return f", result {day_name(clock.day(due_min))}"


def proof_of(summary: Mapping[str, Any]) -> Proof:
    """Return what a summary.json says is proven; goals it does not know are passed over."""
    goals = set(Goal)
    bound = summary.get("bound") or {}
    return Proof(
        status=Status(summary.get("status", Status.FEASIBLE)),
        planned_m3_bound=float(summary.get("planned_m3_bound", 0.0)),
        bound={Goal(name): float(value) for name, value in bound.items() if name in goals},
        seed=int(summary.get("seed", 0)),
        workers=int(summary.get("workers", 1)),
        seconds=float(summary.get("seconds", 0.0)),
        stopped_early=bool(summary.get("stopped_early", False)),
    )


def _issue_of(issues: tuple[Issue, ...], campaign: Campaign, plan: Plan) -> Issue | None:
    """Return the latest issue that holds this very plan, or None."""
    for row in reversed(issues):
        if row.scenario_sha256 == campaign.fingerprint and read_issue(row)[1] == plan:
            return row
    return None


def _duties_before(issues: Iterable[Issue], issue: Issue, campaign: Campaign) -> list[Duty]:
    """Return the shifts of earlier issues that were still to come when this plan begins."""
    found: list[Duty] = []
    for row in issues:
        if row.number < issue.number:
            old, plan = read_issue(row)
            later = between(old.clock, campaign.clock)
            known = (moved(duty, later) for duty in duties(old, plan, Access(old)))
            found += [duty for duty in known if duty.start_min >= campaign.start_min]
    return found


def _monday(day: date) -> date:
    return day - timedelta(days=day.weekday())


def plain(name: str) -> str:
    """Return a name as part of a file's name: letters, digits, dots, hyphens."""
    letters = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()
    return re.sub(r"[^A-Za-z0-9.-]+", "-", letters).strip("-.") or "x"
