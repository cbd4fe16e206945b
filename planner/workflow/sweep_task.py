"""One task of a sweep: plan one staging with one seed, and say in one row what came of it.

The function stands in a module of its own, so that workers on other machines can import it.
A row holds plain numbers and words; everything in it depends on the task alone, never on the
machine, the time or the order of work, unless the wall clock ended the search (``stopped_early``).
"""

from __future__ import annotations

import hashlib
import json
from collections import defaultdict
from collections.abc import Callable
from dataclasses import asdict, dataclass, replace

from planner import __version__
from planner.access.windows import Access
from planner.core.clock import MINUTES_PER_DAY
from planner.estimate.bill import estimate
from planner.estimate.hours import windows_used
from planner.estimate.line import Estimate
from planner.model.campaign import Campaign
from planner.model.identifiers import Goal
from planner.optimise.engine import NoPlanInTimeError, Settings
from planner.plan import measures
from planner.plan.plan import Plan, Status
from planner.scenario.price_book import price_book_of
from planner.scenario.raw import Tables
from planner.scenario.reader import campaign_of
from planner.workflow.loading import Loaded, with_goals
from planner.workflow.planning import Planned, plan_scenario

Row = dict[str, str | float | int | bool | None]

NO_LIMIT_S = 86_400.0
"""Wall time of a task that is to be ended by its effort alone [s]."""
PLANNER_MONEY = (
    *("day", "rig_day", "crew_shift", "crew_standby", "relocation", "set_up"),
    *("material", "hose", "rebound", "flow_control", "resource"),
)
BOOK_MONEY = (
    *("mobilise", "demobilise", "access", "containment", "break_out", "disposal", "curing"),
    *("tests", "standby", "night", "lifting", "wear", "extra", "on_top", "other"),
)
"""Groups of lines by which rows tell where the money goes, as ``money_day``."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """What to plan, and how hard.

    Attributes
    ----------
    variant, name
        Short name of the staging, and its name in words.
    tables
        The scenario with the staging's changes.
    seed, effort, seconds
        As for ``ebbwork plan``; one worker always.
    goals
        Goals in order; none: the scenario's own.
    axis, at
        What was scaled and to which value; empty where nothing was.
    """

    variant: str
    name: str
    tables: Tables
    seed: int
    effort: float
    seconds: float = NO_LIMIT_S
    goals: tuple[str, ...] = ()
    axis: str = ""
    at: float = 0.0

    def key(self) -> str:
        """Return the hash of everything that the row depends on: same key, same row."""
        tables = self.tables
        parts = {
            "version": __version__,
            "campaign": sorted(tables.campaign.items()),
            "book": sorted(tables.book.items()),
            "tables": {name: asdict(tables.tables[name]) for name in sorted(tables.tables)},
            "how": (self.seed, self.effort, self.seconds, self.goals),
            "what": (self.variant, self.name, self.axis, self.at),
        }
        text = json.dumps(parts, sort_keys=True, ensure_ascii=True, separators=(",", ":"))
        return hashlib.sha256(text.encode("ascii")).hexdigest()


def run_task(task: Task, stop: Callable[[], bool] | None = None) -> Row:
    """Return the row of a task.

    Parameters
    ----------
    task
        What to plan.
    stop
        Asked often where the work is done in this process; true ends the search early.
    """
    campaign, warnings = campaign_of(task.tables)
    loaded = Loaded(campaign=campaign, warnings=tuple(warnings), tables=task.tables)
    if task.goals:
        loaded = with_goals(loaded, tuple(Goal(goal) for goal in task.goals))
    settings = Settings(seed=task.seed, workers=1, effort=task.effort, seconds=task.seconds)
    if stop is not None:
        settings = replace(settings, stop=stop)
    row = _head(task)
    try:
        planned = plan_scenario(loaded, settings)
    except NoPlanInTimeError:
        return {**row, "status": Status.NONE.value, "stopped_early": True}
    return {**row, **row_of(loaded, planned)}


def _head(task: Task) -> Row:
    return {
        "key": task.key(),
        "variant": task.variant,
        "name": task.name,
        "axis": task.axis,
        "at": task.at,
        "seed": task.seed,
        "effort": task.effort,
        "goals": ",".join(task.goals),
    }


def row_of(loaded: Loaded, planned: Planned) -> Row:
    """Return the figures of one plan."""
    campaign, plan, proof = loaded.campaign, planned.plan, planned.proof
    access = Access(campaign)
    priced = estimate(campaign, plan, price_book_of(loaded.tables), access)
    finish = measures.finish_min(plan)
    return {
        "status": proof.status.value,
        "stopped_early": proof.stopped_early,
        "processes": ";".join(sorted(_processes(campaign, plan))),
        "broken_rules": len(planned.violations),
        "planned_m3": measures.planned_m3(plan),
        "planned_m3_bound": _plain(proof.planned_m3_bound),
        "left_out": len(plan.unplanned),
        "finish": None if finish is None else campaign.clock.text(finish),
        "finish_day": None if finish is None else finish / MINUTES_PER_DAY,
        "relocations": measures.relocations(plan),
        "windows_used": windows_used(campaign, plan, access),
        "rebound_m3": _quantity(priced, "rebound"),
        "bought_m3": _quantity(priced, "material"),
        "crew_shifts": sum(time.shifts for time in priced.crew_time),
        "paid_h": _plain(sum(time.paid_h for time in priced.crew_time)),
        "shut_h": _plain(sum(time.shut_h for time in priced.crew_time)),
        "site_days": int(priced.items[1].quantity),
        "night_runs": measures.night_runs(campaign, plan),
        "late_days": _plain(measures.late_days(campaign, plan)),
        "joints": measures.joints(plan),
        "cost": _plain(priced.planner_cost),
        "net": _plain(priced.net),
        "total": _plain(priced.total),
        "total_m3": _plain(priced.total / priced.volume_m3) if priced.volume_m3 else None,
        **_proven(campaign, planned),
        **_money(priced),
    }


def _processes(campaign: Campaign, plan: Plan) -> set[str]:
    process_of = {rig.rig_id: rig.process for rig in campaign.rigs}
    return {process_of[spell.rig].value for spell in plan.spells}


def _proven(campaign: Campaign, planned: Planned) -> Row:
    """Return value, bound and gap of each goal; those that are none of the plan's are empty."""
    row: Row = {}
    for goal in Goal:
        value = bound = gap = None
        if goal in planned.proof.bound:
            value = measures.value(campaign, planned.plan, goal)
            bound = planned.proof.bound[goal]
            gap = measures.gap(value, bound)
        row |= {
            f"value_{goal.value}": _plain(value),
            f"bound_{goal.value}": _plain(bound),
            f"gap_{goal.value}": _plain(gap),
        }
    return row


def _quantity(priced: Estimate, key: str) -> float:
    return _plain(sum(line.quantity for line in priced.lines if line.key == key)) or 0.0


def _money(priced: Estimate) -> Row:
    sums: defaultdict[str, float] = defaultdict(float)
    for line in priced.lines:
        sums[_group(line.key)] += line.amount
    return {f"money_{name}": _plain(sums[name]) for name in (*PLANNER_MONEY, *BOOK_MONEY)}


def _group(key: str) -> str:
    """Return the group of money that a line belongs to."""
    if key in PLANNER_MONEY:
        return key
    start = "wear" if key.startswith("hose.") else key.partition(".")[0]
    return start if start in BOOK_MONEY else "other"


def _plain(value: float | None) -> float | None:
    """Return a number without the noise of its last digits, so that equal rows are equal."""
    return None if value is None else round(float(value), 6)
