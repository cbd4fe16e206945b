"""Panels, results and inspections as a calendar file (RFC 5545): whole-day events."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import date, timedelta

from planner.model.campaign import Campaign
from planner.trade.quality_trial import TrialKind
from planner.workflow.quality import QualityPlan, Tested

PRODUCT = "-//Ebbwork//tests//EN"
PANELS, DUE, INSPECTIONS = "Spray test panels", "Test results due", "Inspections due"
CAUTION = "From the plan as it stands; the contract and the engineer decide."


def quality_calendar(campaign: Campaign, quality: QualityPlan) -> bytes:
    """Return the days of the quality plan as a calendar file; what has a result is left out.

    The stamp of each event is the campaign's first minute, so that the same plan gives the same
    file.
    """
    from icalendar import Calendar, Event  # noqa: PLC0415 - slow to import, and seldom wanted

    by_day: dict[tuple[date, str], list[str]] = defaultdict(list)
    for one in quality.tested:
        if one.outcome is None:
            for minute, what in _moments(one):
                by_day[campaign.clock.local(minute).date(), what].append(one.trial.name)
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    for (day, what), names in sorted(by_day.items()):
        event = Event()
        event.add("uid", f"{day}-{what.split()[0]}-{campaign.fingerprint[:16]}@ebbwork")
        event.add("dtstamp", campaign.clock.epoch_utc)
        event.add("dtstart", day)
        event.add("dtend", day + timedelta(days=1))
        event.add("summary", f"{what}: {len(names)}")
        event.add("description", f"{campaign.name}: {', '.join(names)}. {CAUTION}")
        event.add("transp", "TRANSPARENT")
        calendar.add_component(event)
    found: bytes = calendar.to_ical()
    return found


def _moments(one: Tested) -> Iterator[tuple[int, str]]:
    """Yield the minutes of a trial that belong into a calendar, and what is to be done."""
    trial = one.trial
    is_panel = trial.kind in {TrialKind.PRE, TrialKind.PRODUCTION}
    if is_panel and trial.made_min is not None:
        yield trial.made_min, PANELS
    if trial.due_min is not None:
        yield trial.due_min, INSPECTIONS if trial.kind is TrialKind.INSPECTION else DUE
