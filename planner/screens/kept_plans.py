"""Plans of one scenario that were made in this server's life, to choose from and to compare."""

from __future__ import annotations

from dataclasses import dataclass, field

import streamlit as st

from planner.screens.data_folder import now
from planner.screens.state import Workspace
from planner.workflow.loading import Loaded
from planner.workflow.planning import Planned

KEPT_MAX, DRAFTS_MAX = 8, 24


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptPlan:
    """One plan with the scenario it was made for.

    Attributes
    ----------
    name
        What it is called: number, choice, time of day.
    """

    name: str
    planned: Planned
    made_for: Loaded


@dataclass(kw_only=True)
class Kept:
    """The plans of one draft, oldest first, and how many there ever were."""

    plans: list[KeptPlan] = field(default_factory=list)
    made: int = 0


@st.cache_resource
def _shelf() -> dict[str, Kept]:
    return {}


def kept(work: Workspace) -> Kept:
    """Return the plans of the scenario that is open."""
    key = "" if work.head is None else work.head.draft_id
    shelf = _shelf()
    found = shelf.pop(key, None) or Kept()
    shelf[key] = found  # the one used longest ago comes first
    while len(shelf) > DRAFTS_MAX:
        shelf.pop(next(iter(shelf)))
    return found


def keep(work: Workspace, planned: Planned, made_for: Loaded, *, choice: str) -> None:
    """Keep a plan and show it; the oldest go."""
    shelf = kept(work)
    shelf.made += 1
    at = now().astimezone()
    name = f"{shelf.made} · {choice} · {at:%H:%M}"
    shelf.plans.append(KeptPlan(name=name, planned=planned, made_for=made_for))
    del shelf.plans[:-KEPT_MAX]
    work.keep_plan(planned, made_for)


def show_kept(work: Workspace, plan: KeptPlan) -> None:
    """Show one of the plans that were kept."""
    work.keep_plan(plan.planned, plan.made_for)


def name_of(work: Workspace) -> str:
    """Return what the plan that is shown is called; empty: none."""
    return next((p.name for p in kept(work).plans if p.planned is work.planned), "")
