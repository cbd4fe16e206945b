"""Closures as the figures show them: stretches of time, and a few words on what and why."""

from __future__ import annotations

from dataclasses import dataclass

from planner.access.closures import SITE, Closures, closure_spans
from planner.core.spans import Spans
from planner.model.campaign import Campaign
from planner.model.identifiers import RigId
from planner.model.limits import Closure, ClosureScope


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """A closure on one day: when, and in words what is closed and why."""

    spans: Spans
    text: str


def rig_closed(campaign: Campaign, rig: RigId) -> Spans:
    """Return the minutes in which the site, a rig or its process is closed."""
    process = next(row.process for row in campaign.rigs if row.rig_id == rig)
    closures = Closures(campaign.closures, campaign.clock)
    targets = (SITE, (ClosureScope.RIG, str(rig)), (ClosureScope.PROCESS, str(process)))
    return closures.shut(targets)


def notes_on(campaign: Campaign, start: int, end: int) -> list[Note]:
    """Return the closures that touch a stretch, in table order, each cut to it."""
    notes: list[Note] = []
    for closure in campaign.closures:
        spans = closure_spans(closure, campaign.clock, start=start, end=end)
        if spans:
            notes.append(Note(spans=spans, text=_text(closure)))
    return notes


def _text(closure: Closure) -> str:
    what = closure.target if closure.scope is not ClosureScope.SITE else "site"
    return f"{what} closed: {closure.why}" if closure.why else f"{what} closed"
