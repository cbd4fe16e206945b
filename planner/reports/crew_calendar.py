"""The shifts of a crew as a calendar file (RFC 5545), for phones.

An event's identifier is made of campaign, crew, shift and day alone, so that a new plan changes
the events that are there instead of doubling them.  The number of the issue is the event's
sequence number; shifts of plans issued before that are to come and fall away come as cancelled.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from planner.core.clock import Clock
from planner.model.campaign import Campaign
from planner.reports.labels import count
from planner.site.duties import Duty

if TYPE_CHECKING:
    from icalendar import Event

PRODUCT = "-//Ebbwork//shifts//EN"
CAUTION = (
    "Predicted. Board, gauge, gas readings, permits and people on site decide; the shift sheet has"
    " the stops."
)


def crew_calendar(
    campaign: Campaign,
    duties: Sequence[Duty],
    *,
    sequence: int = 0,
    before: Sequence[Duty] = (),
) -> bytes:
    """Return the calendar of one crew's duties.

    The stamp of each event is the campaign's first minute, so that the same plan gives the same
    file.

    Parameters
    ----------
    duties
        What the crew does, shift by shift.
    sequence
        Number of the issue; 0: the plan was not issued.
    before
        Its duties by plans issued before, as far as they are still to come.
    """
    from icalendar import Calendar  # noqa: PLC0415 - slow to import, and seldom wanted

    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    here = {uid(campaign, duty) for duty in duties}
    gone = {uid(campaign, duty): duty for duty in before}
    for duty in duties:
        calendar.add_component(_event(campaign, duty, sequence=sequence, cancelled=False))
    for name, duty in gone.items():
        if name not in here:
            calendar.add_component(_event(campaign, duty, sequence=sequence, cancelled=True))
    made: bytes = calendar.to_ical()
    return made


def uid(campaign: Campaign, duty: Duty) -> str:
    """Return what tells the event of a shift from every other one, plan after plan."""
    text = "\0".join((campaign.name, duty.name, duty.shift_id, duty.day.isoformat()))
    return f"{hashlib.sha256(text.encode()).hexdigest()[:32]}@ebbwork"


def _event(campaign: Campaign, duty: Duty, *, sequence: int, cancelled: bool) -> Event:
    from icalendar import Event  # noqa: PLC0415 - slow to import, and seldom wanted

    clock = campaign.clock
    event = Event()
    event.add("uid", uid(campaign, duty))
    event.add("dtstamp", clock.epoch_utc)
    event.add("sequence", sequence)
    event.add("dtstart", _utc(clock, duty.start_min))
    event.add("dtend", _utc(clock, duty.end_min))
    event.add("summary", _summary(duty))
    event.add("description", _description(campaign, duty))
    places = dict.fromkeys(str(run.position) for run in duty.runs)
    if places:
        event.add("location", ", ".join(places))
    event.add("status", "CANCELLED" if cancelled else "CONFIRMED")
    return event


def _utc(clock: Clock, minute: int) -> datetime:
    return clock.local(minute).astimezone(UTC)


def _summary(duty: Duty) -> str:
    rigs = ", ".join(dict.fromkeys(str(run.rig) for run in duty.runs))
    if duty.spells:
        zones = len({spell.zone for spell in duty.spells})
        return f"{duty.name}: {rigs}, {count(zones, 'zone')}, {duty.volume_m3:.1f} m³"
    if duty.break_outs:
        return f"{duty.name}: break out {count(len(duty.break_outs), 'zone')}"
    if duty.runs:
        return f"{duty.name}: test panels with {rigs}"
    return f"{duty.name}: {count(len(duty.relocations), 'move')}"


def _description(campaign: Campaign, duty: Duty) -> str:
    clock = campaign.clock
    lines = [campaign.name]
    lines += [
        f"{clock.local(move.start_min):%H:%M} move {move.rig} from {move.from_position} to"
        f" {move.to_position}"
        for move in duty.relocations
    ]
    lines += [
        f"{clock.local(run.start_min):%H:%M} to {clock.local(run.end_min):%H:%M} {run.rig} at"
        f" {run.position}, {run.mix}" + (", test panel" if run.kind == "panel" else "")
        for run in duty.runs
    ]
    lines += [
        f"{clock.local(spell.start_min):%H:%M} {spell.zone} layer {spell.layer},"
        f" {spell.volume_m3:.2f} m³"
        for spell in duty.spells
    ]
    lines += [
        f"{clock.local(piece.start_min):%H:%M} break out {piece.zone}" for piece in duty.break_outs
    ]
    return "\n".join([*lines, CAUTION])
