"""The plan's own shifts in their windows, and how often each of them holds."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from planner.model.identifiers import CrewId, ZoneId
from planner.risk.calendar import Calendar, Room, Stint
from planner.risk.programme import Kind, Programme
from planner.risk.site import Site
from planner.risk.state import NOWHERE, Ints


@dataclass(frozen=True, kw_only=True)
class Outing:
    """A crew's planned work in one window.

    Attributes
    ----------
    crew, zones
        Who, and where.
    start_min, end_min
        The window, cut to the shift [min].
    items
        Numbers of the items planned in it.
    stint, room
        Shift and room.
    """

    crew: CrewId
    zones: tuple[ZoneId, ...]
    start_min: int
    end_min: int
    items: tuple[int, ...]
    stint: Stint
    room: Room


@dataclass(frozen=True, kw_only=True, eq=False)
class Tally:
    """How many runs each outing held in, and what took it in the others; an entry each.

    Attributes
    ----------
    runs
        Runs counted [1].
    held
        Water and weather left the whole window to people [1].
    kept
        Its planned work was done by the end of its shift [1].
    opened_late, closed_early, never_open, weather
        What took the window, or part of it [1].
    breakdowns
        Breakdowns in that shift [1].
    """

    runs: int
    held: Ints
    kept: Ints
    opened_late: Ints
    closed_early: Ints
    never_open: Ints
    weather: Ints
    breakdowns: Ints

    def __add__(self, other: Tally) -> Tally:
        return Tally(
            runs=self.runs + other.runs,
            held=self.held + other.held,
            kept=self.kept + other.kept,
            opened_late=self.opened_late + other.opened_late,
            closed_early=self.closed_early + other.closed_early,
            never_open=self.never_open + other.never_open,
            weather=self.weather + other.weather,
            breakdowns=self.breakdowns + other.breakdowns,
        )


def outings(programme: Programme, calendar: Calendar) -> tuple[Outing, ...]:
    """Return the plan's outings in time order."""
    found: dict[tuple[int, int], list[int]] = {}
    rooms: dict[tuple[int, int], tuple[Stint, Room]] = {}
    for k, item in enumerate(programme.items):
        planned = None if item.extra or item.kind is not Kind.SPRAY else _planned(k, calendar)
        if planned is not None:
            key = (planned[0].index, planned[1].window)
            found.setdefault(key, []).append(k)
            rooms.setdefault(key, planned)
    rows = []
    for key in sorted(found):
        stint, room = rooms[key]
        window = calendar.windows[room.window]
        zones = dict.fromkeys(zone for k in found[key] if (zone := programme.items[k].zone))
        if stint.crew is not None:
            rows.append(
                Outing(
                    crew=stint.crew,
                    zones=tuple(zones),
                    start_min=max(window.start_min, stint.start_min),
                    end_min=min(window.end_min, stint.end_min),
                    items=tuple(found[key]),
                    stint=stint,
                    room=room,
                )
            )
    return tuple(rows)


def _planned(number: int, calendar: Calendar) -> tuple[Stint, Room] | None:
    """Return the shift and the room in which an item is planned."""
    item = calendar.programme.items[number]
    for stint in calendar.stints:
        if stint.crew != item.crew or not stint.start_min <= item.release_min < stint.end_min:
            continue
        for room in calendar.rooms(number, item.rig, stint):
            if room.spray_from_min <= item.release_min < room.spray_to_min:
                return stint, room
    return None


def tally(site: Site, found: tuple[Outing, ...]) -> Tally:
    """Return how the outings went in the runs of a site that has lived."""
    rows = [_one(site, outing) for outing in found]
    table = np.array(rows, dtype=np.intp).reshape(len(rows), 7)
    return Tally(
        runs=site.state.runs,
        held=table[:, 0],
        kept=table[:, 1],
        opened_late=table[:, 2],
        closed_early=table[:, 3],
        never_open=table[:, 4],
        weather=table[:, 5],
        breakdowns=table[:, 6],
    )


def _one(site: Site, outing: Outing) -> tuple[int, ...]:
    runs = site.state.runs
    window = site.calendar.windows[outing.room.window]
    wet = site.draws.wet[:, outing.room.day]
    late = early = never = np.zeros(runs, dtype=bool)
    if site.fitter.water is not None and outing.room.window != NOWHERE:
        opened, closed = site.fitter.water.of(outing.room.window)
        never = ~np.isfinite(opened)
        late = ~never & (opened > window.start_min + outing.room.way_in_min)
        early = ~never & (closed < window.end_min - outing.room.way_out_min)
    kept = (site.state.end[:, list(outing.items)] <= outing.stint.end_min).all(axis=1)
    held = ~(late | early | never | wet)
    return (
        *(int(np.count_nonzero(one)) for one in (held, kept, late, early, never, wet)),
        int(site.broken_in[outing.stint.index]),
    )
