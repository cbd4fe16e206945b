"""Usable hours of each day, and where the rest of the time goes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import pandas as pd

from planner.access.windows import Access
from planner.core.clock import MINUTES_PER_HOUR
from planner.core.spans import Spans
from planner.model.campaign import Campaign
from planner.model.identifiers import CrewKind
from planner.model.zone import Zone


@dataclass(frozen=True, slots=True, kw_only=True)
class DayHours:
    """One civil day: hours in which people can be at some face, and those with a crew [h].

    Attributes
    ----------
    open_h
        Time in which at least one of the zones is open, getting in and out taken off.
    staffed_h
        The part of it in which a spray crew is on shift and on site.
    longest_h
        Longest stretch of that.
    closed
        What closes the whole site on that day, in words.
    """

    day: date
    open_h: float
    staffed_h: float
    longest_h: float
    closed: str


def day_hours(campaign: Campaign, access: Access, zones: Sequence[Zone]) -> list[DayHours]:
    """Return each day of the campaign with its usable hours."""
    kinds = set(map(access.shortened, zones))
    open_ = Spans(span for spans in kinds for span in spans)
    crews = [crew for crew in campaign.crews if crew.kind is CrewKind.SPRAY]
    on_shift = Spans(
        span
        for crew in crews
        for span in Spans(access.shifts(crew.shift_id)) & access.crew_open(crew)
    )
    staffed = open_ & on_shift
    clock = campaign.clock
    found = []
    for day in clock.calendar():
        start, end = clock.day_start(day), clock.day_end(day)
        here = staffed.clip(start, end)
        found.append(
            DayHours(
                day=day,
                open_h=open_.clip(start, end).minutes() / MINUTES_PER_HOUR,
                staffed_h=here.minutes() / MINUTES_PER_HOUR,
                longest_h=max((b - a for a, b in here), default=0) / MINUTES_PER_HOUR,
                closed="; ".join(_site_closed(campaign, start, end)),
            )
        )
    return found


def _site_closed(campaign: Campaign, start: int, end: int) -> list[str]:
    return [
        row.why or "site closed"
        for row in campaign.closures
        if row.scope == "site"
        and row.from_min < end
        and start < row.to_min
        and row.start_tod is None
        and row.weekdays is None
    ]


def days_frame(days: Sequence[DayHours]) -> pd.DataFrame:
    """Return the days as a table."""
    return pd.DataFrame(
        [
            {
                "Day": pd.Timestamp(one.day),
                "Open (h)": round(one.open_h, 1),
                "Open with a crew (h)": round(one.staffed_h, 1),
                "Longest stretch (h)": round(one.longest_h, 1),
                "Site closed": one.closed,
            }
            for one in days
        ]
    )


def lost_frame(access: Access, zones: Sequence[Zone], horizon_min: int) -> pd.DataFrame:
    """Return what took the time outside windows, by cause, for some zones together [h].

    Hours are means over the zones.  Several causes may hold at once, so the first column of
    hours adds up to more than is lost; the second counts only what nothing else took.
    """
    taken: dict[tuple[str, str], list[int]] = {}
    for zone in zones:
        layers = access.layers(zone)
        lost = access.windows(zone).complement(0, horizon_min)
        by_cause: dict[tuple[str, str], Spans] = {}
        for layer in layers:
            key = (layer.group, layer.cause)
            by_cause[key] = by_cause.get(key, Spans()) | (layer.spans & lost)
        for key, spans in by_cause.items():
            others = Spans(s for other in by_cause if other != key for s in by_cause[other])
            sums = taken.setdefault(key, [0, 0])
            sums[0] += spans.minutes()
            sums[1] += (spans - others).minutes()
    count = max(len(zones), 1) * MINUTES_PER_HOUR
    rows = [
        {
            "Sort": group,
            "Cause": cause,
            "Hours for a zone": round(whole / count, 1),
            "Of these by it alone": round(alone / count, 1),
        }
        for (group, cause), (whole, alone) in sorted(taken.items(), key=lambda item: -item[1][0])
        if whole
    ]
    return pd.DataFrame(
        rows, columns=["Sort", "Cause", "Hours for a zone", "Of these by it alone"]
    )
