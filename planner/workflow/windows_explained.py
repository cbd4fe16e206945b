"""Rows that explain windows: what took the rest, the best weeks, windows against layers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

from planner.access.windows import Access
from planner.core.clock import Clock
from planner.core.spans import Span, Spans
from planner.model.campaign import Campaign
from planner.model.identifiers import CrewKind, MixId, PositionId, RigId, ZoneId
from planner.model.zone import Zone
from planner.reach.hoses import Reach
from planner.trade.faces import faces_for
from planner.trade.quantities import layer_volumes
from planner.trade.rates import placing_rate_m3_h, spell_minutes


@dataclass(frozen=True, slots=True, kw_only=True)
class LostRow:
    """A stretch outside a zone's windows and what took it: civil times, length [min]."""

    zone: ZoneId
    start: str
    end: str
    minutes: int
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TotalRow:
    """What one sort of cause took of one zone in one month [min].

    Attributes
    ----------
    zone, month
        Whose time, and when (``YYYY-MM``).
    cause
        Sort of cause.
    minutes
        Time that it took, alone or together with others; ``minutes`` of several causes overlap.
    alone_min
        Time that nothing else took: what would be left without it, windows that are then too
        short included.
    """

    zone: ZoneId
    month: str
    cause: str
    minutes: int
    alone_min: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekRow:
    """What one week offers, zones added up [min].

    Attributes
    ----------
    week
        Its Monday.
    zones
        How many zones a spray crew can work in.
    open_min
        Shortened windows.
    staffed_min
        The part of them in which a spray crew is on shift.
    longest_min
        Longest stretch of that in one zone.
    """

    week: str
    zones: int
    open_min: int
    staffed_min: int
    longest_min: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LongestRow:
    """The longest window of a zone against its longest layer [min].

    Attributes
    ----------
    zone
        Zone looked at.
    start
        When its longest shortened window begins; empty: it has none.
    window_min, staffed_min
        Length of that window; of the longest stretch in which a spray crew is on shift.
    layer_min
        Zone change and spraying of its longest layer the quickest way there is; empty: none.
    position, rig, mix
        That way.
    fits
        ``yes``; ``split``: only in pieces, which the zone allows; ``no``; ``no way``: nothing
        reaches it.
    """

    zone: ZoneId
    start: str
    window_min: int
    staffed_min: int
    layer_min: int | str
    position: PositionId | str
    rig: RigId | str
    mix: MixId | str
    fits: str


def lost_rows(campaign: Campaign, zone_id: ZoneId | None = None) -> Iterator[LostRow]:
    """Yield every stretch outside the windows of one zone, or of all, with what took it."""
    access, clock = Access(campaign), campaign.clock
    for zone in _chosen(campaign, zone_id):
        for start, end, why in access.lost(zone):
            yield LostRow(
                zone=zone.zone_id,
                start=clock.text(start),
                end=clock.text(end),
                minutes=end - start,
                why=why,
            )


def total_rows(campaign: Campaign, zone_id: ZoneId | None = None) -> Iterator[TotalRow]:
    """Yield what each sort of cause took of one zone, or of all, month by month."""
    access = Access(campaign)
    months = _months(campaign.clock)
    for zone in _chosen(campaign, zone_id):
        taken = _by_group(access, zone)
        alone = {name: spans - _others(taken, name) for name, spans in taken.items()}
        for month, start, end in months:
            for name, spans in taken.items():
                minutes = spans.clip(start, end).minutes()
                if minutes:
                    yield TotalRow(
                        zone=zone.zone_id,
                        month=month,
                        cause=name,
                        minutes=minutes,
                        alone_min=alone[name].clip(start, end).minutes(),
                    )


def _by_group(access: Access, zone: Zone) -> dict[str, Spans]:
    """Return the lost minutes of a zone by sort of cause."""
    found: dict[str, list[Spans]] = {}
    for layer in access.layers(zone):
        found.setdefault(layer.group, []).append(layer.spans)
    windows = access.windows(zone)
    return {name: _union(spans) - windows for name, spans in sorted(found.items())}


def _others(taken: dict[str, Spans], name: str) -> Spans:
    return _union(spans for other, spans in taken.items() if other != name)


def _union(parts: Iterable[Spans]) -> Spans:
    return Spans(span for part in parts for span in part)


def _months(clock: Clock) -> list[tuple[str, int, int]]:
    """Return each month of the campaign with its first and last minute."""
    firsts = [day for day in clock.calendar() if day.day == 1 or day == clock.first_day]
    edges = [*(clock.day_start(day) for day in firsts), clock.horizon_min]
    return [
        (day.isoformat()[:7], start, end)
        for day, (start, end) in zip(firsts, pairwise(edges), strict=True)
    ]


def week_rows(campaign: Campaign, zone_id: ZoneId | None = None) -> list[WeekRow]:
    """Return the weeks of the campaign from now on, the best first."""
    access, clock = Access(campaign), campaign.clock
    ahead = Spans.whole(campaign.start_min, clock.horizon_min)
    turns = _turns(campaign, access)
    staffed = Spans(turns)
    open_ = [access.shortened(zone) & ahead for zone in _chosen(campaign, zone_id)]
    worked = [spans & staffed for spans in open_]
    rows = [
        _week(monday, _within(clock, monday), open_=open_, worked=worked, turns=turns)
        for monday in _mondays(clock)
        if clock.day_end(monday + timedelta(days=6)) > campaign.start_min
    ]
    return sorted(rows, key=lambda row: (-row.staffed_min, row.week))


def _mondays(clock: Clock) -> list[date]:
    first = clock.first_day - timedelta(days=clock.first_day.weekday())
    count = (clock.last_day - first).days // 7 + 1
    return [first + timedelta(weeks=week) for week in range(count)]


def _within(clock: Clock, monday: date) -> Span:
    return clock.day_start(monday), clock.day_end(monday + timedelta(days=6))


def _week(
    monday: date, within: Span, *, open_: list[Spans], worked: list[Spans], turns: list[Span]
) -> WeekRow:
    start, end = within
    here = [spans.clip(start, end) for spans in worked]
    now = [turn for turn in turns if turn[0] < end and turn[1] > start]
    return WeekRow(
        week=monday.isoformat(),
        zones=sum(1 for spans in here if spans),
        open_min=sum(spans.clip(start, end).minutes() for spans in open_),
        staffed_min=sum(spans.minutes() for spans in here),
        longest_min=max((_longest(spans, now) for spans in set(here)), default=0),
    )


def _turns(campaign: Campaign, access: Access) -> list[Span]:
    """Return every stretch in which one spray crew is on site and on one shift."""
    return sorted(
        {
            span
            for crew in campaign.crews
            if crew.kind is CrewKind.SPRAY
            for turn in access.shifts(crew.shift_id)
            for span in access.crew_open(crew).clip(*turn)
        }
    )


def _longest(spans: Spans, turns: list[Span]) -> int:
    """Return the longest stretch that lies in one turn: a spell is sprayed in one shift [min]."""
    return max((b - a for turn in turns for a, b in spans.clip(*turn)), default=0)


def longest_rows(campaign: Campaign, zone_id: ZoneId | None = None) -> Iterator[LongestRow]:
    """Yield the longest window of one zone, or of each, against its longest layer."""
    access, reach = Access(campaign), Reach(campaign)
    turns = _turns(campaign, access)
    for zone in _chosen(campaign, zone_id):
        windows = access.shortened(zone)
        start, end = max(windows, key=lambda span: (span[1] - span[0], -span[0]), default=(0, 0))
        worked = _longest(windows, turns)
        way = min(_ways(campaign, reach, zone), default=None)
        yield LongestRow(
            zone=zone.zone_id,
            start=campaign.clock.text(start) if end > start else "",
            window_min=end - start,
            staffed_min=worked,
            layer_min="" if way is None else way[0],
            position="" if way is None else way[1],
            rig="" if way is None else way[2],
            mix="" if way is None else way[3],
            fits=_fits(zone, worked, None if way is None else way[0]),
        )


def _fits(zone: Zone, worked_min: int, layer_min: int | None) -> str:
    if layer_min is None:
        return "no way"
    if layer_min <= worked_min:
        return "yes"
    return "split" if zone.joint_allowed and worked_min else "no"


def _ways(
    campaign: Campaign, reach: Reach, zone: Zone
) -> Iterator[tuple[int, PositionId, RigId, MixId]]:
    """Yield the minutes of the longest layer by each position, rig and mix that reach it."""
    for rig in campaign.rigs:
        faces = faces_for(campaign, zone, rig)
        for position in campaign.positions:
            run = reach.run(position, zone, rig)
            if run is None or not reach.reaches(position, zone, rig):
                continue
            for mix, face in faces.items():
                volume = max(layer_volumes(zone, face, campaign.rules))
                spell = spell_minutes(volume, placing_rate_m3_h(rig, face, run.hose_m))
                minutes = campaign.rules.zone_change_min + spell
                yield minutes, position.position_id, rig.rig_id, mix


def _chosen(campaign: Campaign, zone_id: ZoneId | None) -> list[Zone]:
    return [zone for zone in campaign.zones if zone_id in (None, zone.zone_id)]
