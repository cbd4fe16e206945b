"""What a plan takes of shared resources, and what that costs (rule 16).

A thing (zone, position, rig, crew) in use takes its needs once, however many runs use it at a
minute.  A zone is in use from the zone change before a spell to its end, after its last spell
also while it is trimmed, and while it is broken out; a position while a run goes on there; a rig
in its runs and relocations; a crew in its runs, relocations and break-out pieces.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from datetime import date, timedelta
from itertools import pairwise

from planner.core.rounding import DECIMALS, up
from planner.core.spans import Span, Spans
from planner.model.campaign import Campaign
from planner.model.identifiers import ResourceId
from planner.model.resource import Need
from planner.plan.plan import Plan

Thing = tuple[str, str]
"""What takes resources: its kind and its identifier."""


def resource_line(campaign: Campaign, plan: Plan) -> dict[str, float]:
    """Return the cost line of the resources, where the scenario has any [money].

    For each resource and civil day the most in use at once, times its price.
    """
    if not campaign.resources:
        return {}
    price = {one.resource_id: one.price_day for one in campaign.resources}
    if not any(price.values()):
        return {"resource": 0.0}
    amounts = [
        price[name] * most
        for name, days in most_by_day(campaign, plan).items()
        for most in days.values()
    ]
    return {"resource": round(math.fsum(amounts), DECIMALS)}


def most_by_day(campaign: Campaign, plan: Plan) -> dict[ResourceId, dict[date, int]]:
    """Return the most of each resource in use at once on each civil day; 0 left out [1]."""
    found: dict[ResourceId, dict[date, int]] = {}
    clock = campaign.clock
    for name, stretches in levels(campaign, plan).items():
        days = found.setdefault(name, {})
        for start, end, count in stretches:
            day, last = clock.day(start), clock.day(end - 1)
            while day <= last:
                days[day] = max(count, days.get(day, 0))
                day += timedelta(days=1)
    return found


def levels(campaign: Campaign, plan: Plan) -> dict[ResourceId, list[tuple[int, int, int]]]:
    """Return for each resource the stretches in which it is in use, and how many [min, min, 1]."""
    needs = _needs(campaign)
    steps: defaultdict[ResourceId, defaultdict[int, int]] = defaultdict(lambda: defaultdict(int))
    for thing, spans in in_use(campaign, plan).items():
        for need in needs.get(thing, ()):
            for start, end in Spans(spans):
                steps[need.resource_id][start] += need.count
                steps[need.resource_id][end] -= need.count
    return {one.resource_id: list(_levels(steps[one.resource_id])) for one in campaign.resources}


def _levels(steps: dict[int, int]) -> Iterator[tuple[int, int, int]]:
    count = 0
    for start, end in pairwise(sorted(steps)):
        count += steps[start]
        if count:
            yield start, end, count


def in_use(campaign: Campaign, plan: Plan) -> dict[Thing, list[Span]]:
    """Return when each thing is in use by a plan [min]."""
    found: defaultdict[Thing, list[Span]] = defaultdict(list)
    for run in plan.runs:
        things: tuple[Thing, ...] = (
            ("position", run.position),
            ("rig", run.rig),
            ("crew", run.crew),
        )
        for thing in things:
            found[thing].append((run.start_min, run.end_min))
    for move in plan.relocations:
        found["rig", move.rig].append((move.start_min, move.end_min))
        if move.crew is not None:
            found["crew", move.crew].append((move.start_min, move.end_min))
    for piece in plan.break_outs:
        found["crew", piece.crew].append((piece.start_min, piece.end_min))
        found["zone", piece.zone].append((piece.start_min, piece.end_min))
    trimming = _trimming(campaign, plan)
    change = campaign.rules.zone_change_min
    for spell in plan.spells:
        after = trimming.get((spell.zone, spell.end_min), 0)
        found["zone", spell.zone].append((spell.start_min - change, spell.end_min + after))
    return dict(found)


def _trimming(campaign: Campaign, plan: Plan) -> dict[tuple[str, int], int]:
    """Return the minutes of trimming by zone and the end of its last spell [min]."""
    faces = {(face.mix_id, face.orientation): face for face in campaign.mixes}
    zones = {zone.zone_id: zone for zone in campaign.zones}
    mixes = {run.run: run.mix for run in plan.runs}
    found: dict[tuple[str, int], int] = {}
    ends: dict[str, int] = {}
    for spell in plan.spells:
        if spell.end_min >= ends.get(spell.zone, spell.end_min):
            ends[spell.zone] = spell.end_min
            zone = zones[spell.zone]
            face = faces[mixes[spell.run], zone.orientation]
            minutes = up(face.finish_min_m2 * (zone.area_m2 or 0.0))
            found[spell.zone, spell.end_min] = minutes
    return {key: minutes for key, minutes in found.items() if key[1] == ends[key[0]]}


def _needs(campaign: Campaign) -> dict[Thing, tuple[Need, ...]]:
    found: dict[Thing, tuple[Need, ...]] = {}
    for zone in campaign.zones:
        found["zone", zone.zone_id] = zone.needs
    for position in campaign.positions:
        found["position", position.position_id] = position.needs
    for rig in campaign.rigs:
        found["rig", rig.rig_id] = rig.needs
    for crew in campaign.crews:
        found["crew", crew.crew_id] = crew.needs
    return {thing: needs for thing, needs in found.items() if needs}
