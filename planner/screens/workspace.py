"""The work on one scenario: its draft, its campaign, its search and its plan."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from threading import RLock
from typing import TypeVar, cast

from planner.core.problems import Problem
from planner.scenario.raw import Tables
from planner.screens.drafts import Head
from planner.screens.jobs import PlanJob
from planner.screens.sweep_job import SweepJob
from planner.workflow.editing import Look
from planner.workflow.loading import Loaded
from planner.workflow.planning import Planned

T = TypeVar("T")


@dataclass(kw_only=True)
class Workspace:
    """The work on one scenario, shared by every tab that shows it.

    Attributes
    ----------
    head
        The draft: id, name, source, revision; None while nothing is open.
    tables
        The scenario's text.
    loaded
        The scenario as a campaign; None while something in it is wrong.
    problems
        What is wrong or odd in it.
    job
        Latest search, running or ended.
    planned, planned_for
        Latest plan, and the scenario as it was when that plan was made.
    pictures
        What was drawn of the latest plan, by name.
    views
        What was worked out of the scenario as it is now, by name.
    sweeps
        Comparisons, running or ended, by name.
    benches
        What is being set up on a page, by name.
    """

    head: Head | None = None
    tables: Tables | None = None
    loaded: Loaded | None = None
    problems: tuple[Problem, ...] = ()
    job: PlanJob | None = None
    planned: Planned | None = None
    planned_for: Loaded | None = None
    pictures: dict[str, object] = field(default_factory=dict)
    views: dict[str, object] = field(default_factory=dict)
    sweeps: dict[str, SweepJob] = field(default_factory=dict)
    benches: dict[str, object] = field(default_factory=dict)
    lock: RLock = field(default_factory=RLock)

    def remember(self, name: str, make: Callable[[], T]) -> T:
        """Return something drawn of the latest plan, made on its first use."""
        if name not in self.pictures:
            self.pictures[name] = make()
        return cast("T", self.pictures[name])

    def view(self, name: str, make: Callable[[], T]) -> T:
        """Return something worked out of the scenario as it is now, made on its first use."""
        views = self.views
        if name not in views:
            views[name] = make()
        return cast("T", views[name])

    @property
    def source(self) -> str:
        """Return where the scenario came from, in words."""
        return "" if self.head is None else self.head.source

    @property
    def plan_is_old(self) -> bool:
        """Return whether the scenario has been changed since the latest plan was made."""
        if self.planned is None or self.planned_for is None:
            return False
        return self.loaded is None or (
            self.loaded.campaign.fingerprint != self.planned_for.campaign.fingerprint
        )

    def keep_plan(self, planned: Planned, made_for: Loaded) -> None:
        """Keep a plan and the scenario it was made for; what was drawn of the last one goes."""
        self.planned, self.planned_for = planned, made_for
        self.pictures = {}

    def show(self, head: Head, tables: Tables, look: Look) -> None:
        """Take over a later revision of the draft; the plan stays until another is made."""
        self.head, self.tables = head, tables
        self.loaded, self.problems = look.loaded, look.problems
        self.views = {}

    def drop_job(self) -> None:
        """Stop a running search and forget it."""
        if self.job is not None:
            self.job.stop()
        self.job = None

    def drop_sweeps(self) -> None:
        """Stop running comparisons and forget them."""
        for job in self.sweeps.values():
            job.stop()
        self.sweeps = {}
