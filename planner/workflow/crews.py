"""Crews: who may spray what, until when, how many people, how long they may work."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from planner.core.clock import MINUTES_PER_HOUR
from planner.model.campaign import Campaign
from planner.model.card import Card
from planner.model.crew import Crew
from planner.model.identifiers import CrewKind, Orientation, Process
from planner.model.machine import Trait
from planner.options.cards import covered
from planner.plan.plan import Plan
from planner.trade.machine_figures import machine_of


@dataclass(frozen=True, slots=True, kw_only=True)
class CrewRow:
    """A crew and a kind of work, with the cards for it and what to look at.

    ``people`` are those of the crew; ``hours`` its limits; ``valid`` the days of the campaign on
    which enough cards are valid; ``used`` the days on which the plan has it spray so.
    """

    crew: str
    kind: str
    process: str
    orientation: str
    people: int | None
    hours: str
    cards: str
    valid: str
    used: str
    look_at: str


Kind = tuple[Process, Orientation]


def crew_rows(campaign: Campaign, plan: Plan | None) -> Iterator[CrewRow]:
    """Yield each crew: a spray crew with each process and orientation it may spray."""
    for crew in campaign.crews:
        if crew.kind is CrewKind.BREAK_OUT:
            yield _row(campaign, crew, None, plan)
            continue
        for process in crew.processes or _processes(campaign):
            for orientation in crew.orientations or _orientations(campaign, process):
                yield _row(campaign, crew, (process, orientation), plan)


def _processes(campaign: Campaign) -> list[Process]:
    used = {rig.process for rig in campaign.rigs}
    return [process for process in Process if process in used]


def _orientations(campaign: Campaign, process: Process) -> list[Orientation]:
    """Return the orientations that zones have and a mix of the process can spray."""
    mixed = {face.orientation for face in campaign.mixes if face.process is process}
    wanted = {zone.orientation for zone in campaign.zones}
    return [one for one in Orientation if one in mixed & wanted]


def _row(campaign: Campaign, crew: Crew, kind: Kind | None, plan: Plan | None) -> CrewRow:
    cards = [
        card
        for card in campaign.cards
        if card.crew_id == crew.crew_id and kind is not None and card.covers(*kind)
    ]
    return CrewRow(
        crew=crew.crew_id,
        kind=crew.kind.value,
        process="" if kind is None else kind[0].value,
        orientation="" if kind is None else kind[1].value,
        people=crew.people,
        hours=_hours(crew),
        cards="; ".join(_card(campaign, card) for card in cards),
        valid="" if kind is None else _valid(campaign, crew, kind),
        used="" if plan is None else _used(campaign, crew, kind, plan),
        look_at="" if kind is None else "; ".join(_look_at(campaign, crew, kind)),
    )


def _hours(crew: Crew) -> str:
    parts = []
    for name, minutes in (
        ("duty", crew.duty_max_min),
        ("rest", crew.rest_min_min),
        ("week", crew.week_max_min),
    ):
        if minutes is not None:
            parts.append(f"{name} {minutes / MINUTES_PER_HOUR:g} h")
    return ", ".join([f"shift {crew.shift_id}", *parts])


def _card(campaign: Campaign, card: Card) -> str:
    start = "" if card.from_min is None else f" from {_day(campaign, card.from_min)}"
    end = "" if card.to_min is None else f" to {_day(campaign, card.to_min - 1)}"
    return f"{card.person}{start}{end}"


def _day(campaign: Campaign, minute: int) -> str:
    return campaign.clock.local(minute).date().isoformat()


def _valid(campaign: Campaign, crew: Crew, kind: Kind) -> str:
    if not campaign.cards:
        return "no cards asked for"
    spans = covered(campaign, crew, *kind)
    days = [f"{_day(campaign, a)} to {_day(campaign, b - 1)}" for a, b in spans]
    return "; ".join(days) or "never"


def _used(campaign: Campaign, crew: Crew, kind: Kind | None, plan: Plan) -> str:
    """Return the first and last day on which a plan has a crew do one kind of work."""
    if kind is None:
        starts = [one.start_min for one in plan.break_outs if one.crew == crew.crew_id]
    else:
        ways = {zone.zone_id: zone.orientation for zone in campaign.zones}
        rigs = {rig.rig_id: rig.process for rig in campaign.rigs}
        starts = [
            one.start_min
            for one in plan.spells
            if one.crew == crew.crew_id and (rigs[one.rig], ways[one.zone]) == kind
        ]
    return f"{_day(campaign, min(starts))} to {_day(campaign, max(starts))}" if starts else ""


def _look_at(campaign: Campaign, crew: Crew, kind: Kind) -> Iterator[str]:
    yield from _too_few(campaign, crew, kind[0])
    if campaign.cards:
        days = covered(campaign, crew, *kind)
        if not days:
            yield f"no valid card in the campaign, and {campaign.rules.cards_min} must hold one"
        elif days.minutes() < campaign.clock.horizon_min:
            yield "cards do not cover every day of the campaign; the plan keeps to those they do"


def _too_few(campaign: Campaign, crew: Crew, process: Process) -> Iterator[str]:
    """Yield the kinds of machine that want more people than the crew has."""
    if crew.people is None:
        return
    for rig in campaign.rigs:
        machine = machine_of(rig)
        span = None if machine is None else machine.span(Trait.CREW)
        if rig.process is not process or machine is None or span is None:
            continue
        needed = rig.crew_size or span.usual
        least = needed if span.low is None else min(needed, span.low)
        if crew.people < least:
            yield (
                f"{crew.people} people; rig {rig.rig_id}, a {machine.title}, wants {least:g} or"
                f" more ({span.trust})"
            )
