"""Paid hours of each crew: at work, waiting while the faces are shut, waiting otherwise."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import timedelta

from planner.access.windows import Access
from planner.core.clock import MINUTES_PER_HOUR, Clock
from planner.core.spans import Span, Spans
from planner.estimate.line import CrewTime
from planner.model.campaign import Campaign
from planner.model.identifiers import CrewId, RigId, ZoneId
from planner.plan.costs import crew_shifts, crew_work
from planner.plan.measures import NIGHT_FROM_TOD, NIGHT_TO_TOD
from planner.plan.plan import Plan


@dataclass(frozen=True, slots=True, kw_only=True)
class Hours:
    """The paid time of a plan.

    Attributes
    ----------
    shifts
        Shift occurrences in which each crew works, by crew id.
    night_shifts
        How many of them hold work between 22:00 and 06:00.
    crew_time
        What the paid hours go into, by crew id.
    rig_shut_h
        Hours in which each rig waits with a crew because the crew's faces are shut [h].
    """

    shifts: dict[CrewId, int]
    night_shifts: dict[CrewId, int]
    crew_time: tuple[CrewTime, ...]
    rig_shut_h: dict[RigId, float]


def paid_hours(campaign: Campaign, plan: Plan, access: Access) -> Hours:
    """Return the paid hours of a plan.

    A crew is paid whole shifts, so the hours of a shift in which it has no run, relocation or
    break-out are waiting.  Its faces are those that its own spells and break-outs are on; they
    are shut while none of their windows is open.
    """
    nights = _nights(campaign.clock)
    shifts: dict[CrewId, int] = {}
    night_shifts: dict[CrewId, int] = {}
    times: list[CrewTime] = []
    rig_shut_min: defaultdict[RigId, int] = defaultdict(int)
    for crew, work in crew_work(plan).items():
        paid = crew_shifts(campaign, crew, work)
        busy = Spans(work)
        faces = _faces(campaign, plan, access, crew)
        shifts[crew] = len(paid)
        night_shifts[crew] = sum(_touch(busy.clip(*span), nights) for span in paid)
        shut_min = 0
        for span in paid:
            idle = Spans([span]) - busy - faces
            shut_min += idle.minutes()
            for rig in _rigs(plan, crew, span):
                rig_shut_min[rig] += idle.minutes()
        whole = Spans(paid)
        work_min = (whole & busy).minutes()
        times.append(
            CrewTime(
                crew=crew,
                shifts=len(paid),
                paid_h=whole.minutes() / MINUTES_PER_HOUR,
                work_h=work_min / MINUTES_PER_HOUR,
                shut_h=shut_min / MINUTES_PER_HOUR,
                open_h=(whole.minutes() - work_min - shut_min) / MINUTES_PER_HOUR,
            )
        )
    return Hours(
        shifts=shifts,
        night_shifts=night_shifts,
        crew_time=tuple(times),
        rig_shut_h={rig: rig_shut_min[rig] / MINUTES_PER_HOUR for rig in sorted(rig_shut_min)},
    )


def windows_used(campaign: Campaign, plan: Plan, access: Access) -> int:
    """Return in how many stretches the plan sprays [1].

    A stretch is a maximal time in which some planned face is open and some spray crew of the
    plan is on shift: a low water within a shift, or a whole shift where there is no water.
    """
    sprayed = {spell.zone for spell in plan.spells}
    crews = {spell.crew for spell in plan.spells}
    open_faces = _union(access, campaign, sprayed)
    shifts = {crew.shift_id for crew in campaign.crews if crew.crew_id in crews}
    on_shift = Spans(span for shift in sorted(shifts) for span in access.shifts(shift))
    stretches = open_faces & on_shift
    return sum(
        any(start <= spell.start_min < end for spell in plan.spells) for start, end in stretches
    )


def _faces(campaign: Campaign, plan: Plan, access: Access, crew: CrewId) -> Spans:
    zones = {spell.zone for spell in plan.spells if spell.crew == crew}
    zones |= {row.zone for row in plan.break_outs if row.crew == crew}
    return _union(access, campaign, zones)


def _union(access: Access, campaign: Campaign, zones: set[ZoneId]) -> Spans:
    found = {access.windows(zone) for zone in campaign.zones if zone.zone_id in zones}
    return Spans(span for spans in found for span in spans)


def _rigs(plan: Plan, crew: CrewId, span: Span) -> list[RigId]:
    start, end = span
    return sorted(
        {
            run.rig
            for run in plan.runs
            if run.crew == crew and run.start_min < end and start < run.end_min
        }
    )


def _nights(clock: Clock) -> Spans:
    days = [clock.first_day - timedelta(days=1), *clock.calendar()]
    return Spans(clock.daily(day, start_tod=NIGHT_FROM_TOD, end_tod=NIGHT_TO_TOD) for day in days)


def _touch(spans: Spans, others: Spans) -> bool:
    return bool(spans & others)
