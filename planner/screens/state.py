"""What the pages remember: the only code that touches Streamlit's state.

A workspace is kept on the server under a short id that stands in the address, so that a
reloaded page finds its scenario, its running search and its plan again.
"""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TypeVar, cast

import streamlit as st

from planner.core.problems import Problem
from planner.screens.jobs import PlanJob
from planner.workflow.loading import Loaded
from planner.workflow.planning import Planned

T = TypeVar("T")

WORKSPACES_MAX = 24
PARAMETER = "w"


@dataclass(kw_only=True)
class Workspace:
    """One user's work.

    Attributes
    ----------
    source
        Where the scenario came from, in words.
    loaded
        Scenario, once it is read.
    problems
        What is wrong with the last scenario that was tried.
    job
        Latest search, running or ended.
    planned
        Latest plan.
    pictures
        What was drawn of the latest plan, by name.
    """

    source: str = ""
    loaded: Loaded | None = None
    problems: tuple[Problem, ...] = ()
    job: PlanJob | None = None
    planned: Planned | None = None
    pictures: dict[str, object] = field(default_factory=dict)

    def remember(self, name: str, make: Callable[[], T]) -> T:
        """Return something drawn of the latest plan, made on its first use."""
        if name not in self.pictures:
            self.pictures[name] = make()
        return cast("T", self.pictures[name])

    def take(self, source: str, loaded: Loaded) -> None:
        """Work with another scenario from now on."""
        self.drop_job()
        self.source = source
        self.loaded = loaded
        self.problems = ()
        self.planned = None
        self.pictures.clear()

    def refuse(self, source: str, problems: tuple[Problem, ...]) -> None:
        """Remember what is wrong with a scenario; there is none to work with."""
        self.drop_job()
        self.source = source
        self.loaded = None
        self.problems = problems
        self.planned = None

    def drop_job(self) -> None:
        """Stop a running search and forget it."""
        if self.job is not None:
            self.job.stop()
        self.job = None


@dataclass(kw_only=True)
class _Shelf:
    """The workspaces of this server, oldest first."""

    found: dict[str, Workspace] = field(default_factory=dict)


@st.cache_resource
def _shelf() -> _Shelf:
    return _Shelf()


def workspace() -> Workspace:
    """Return the workspace of this browser tab, new on its first visit."""
    name = st.session_state.get(PARAMETER) or st.query_params.get(PARAMETER)
    shelf = _shelf().found
    if name not in shelf:
        name = secrets.token_urlsafe(6)
        shelf[name] = Workspace()
        _tidy(shelf)
    st.session_state[PARAMETER] = name
    if st.query_params.get(PARAMETER) != name:
        st.query_params[PARAMETER] = name
    return shelf[name]


def _tidy(shelf: dict[str, Workspace]) -> None:
    """Drop the oldest workspaces beyond the number kept; running searches are stopped."""
    while len(shelf) > WORKSPACES_MAX:
        oldest = next(iter(shelf))
        shelf.pop(oldest).drop_job()
