"""When each crew works, and the rooms in which each piece of work may be done.

The campaign's calendar goes on beyond its last day, for plans that chance makes longer: shifts,
tides and dry-weather flow repeat, people and machines stay on.  Tables that end (high and low
waters, series) leave everything after their end closed.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from dataclasses import dataclass, replace
from threading import Lock

import numpy as np

from planner.access.level import LevelSource, source_for, source_key
from planner.access.windows import Access
from planner.core.clock import MINUTES_PER_HOUR, Clock
from planner.core.rounding import up
from planner.core.spans import Spans
from planner.model.campaign import Campaign
from planner.model.identifiers import CrewId, MixId, PositionId, RigId, ZoneId
from planner.risk.programme import Item, Kind, Programme

DAYS_MORE_MIN = 30
"""The calendar goes on for as many days as the campaign has, and at least these (our choice)."""


@dataclass(frozen=True, kw_only=True)
class Stint:
    """One shift of one crew; crew None: of the lifting gang [min]."""

    index: int
    crew: CrewId | None
    start_min: int
    end_min: int
    day: int
    week: int


@dataclass(frozen=True, kw_only=True)
class Room:
    """A stretch in which an item may be done.

    Attributes
    ----------
    from_min, to_min
        Crew, rig and position are free of closures [min].
    open_min
        Zone changes begin here at the earliest [min].
    spray_from_min, spray_to_min
        Spraying lies in it [min].
    close_min
        Trimming ends by then [min].
    way_in_min, way_out_min
        Taken off the window for people's ways [min].
    window
        Number of the zone's window; -1: none.
    day
        Civil day, counted from the campaign's first.
    """

    from_min: float
    to_min: float
    open_min: float
    spray_from_min: float
    spray_to_min: float
    close_min: float
    way_in_min: float = 0.0
    way_out_min: float = 0.0
    window: int = -1
    day: int = 0


@dataclass(frozen=True, kw_only=True)
class Window:
    """A planned window of zones that share their water, and the true limits [min, m]."""

    source: str | None
    section: str | None
    start_min: int
    end_min: int
    high_m: float | None
    low_m: float | None


class Calendar:
    """Stints, windows and rooms of a programme, each worked out once."""

    def __init__(self, programme: Programme) -> None:
        self.programme = programme
        self.campaign = longer(programme.campaign)
        self.clock = self.campaign.clock
        self.access = Access(self.campaign)
        self._lock = Lock()
        self.windows: list[Window] = []
        self._numbers: dict[Window, int] = {}
        self._sources: dict[str | None, LevelSource | None] = {}
        self._zone_rooms: dict[tuple[ZoneId, MixId | None], list[Room]] = {}
        self._rooms: dict[tuple[int, RigId | None, int], tuple[Room, ...]] = {}
        self._free: dict[tuple[RigId, PositionId], Spans] = {}
        self._zones = {zone.zone_id: zone for zone in self.campaign.zones}
        self._rigs = {rig.rig_id: rig for rig in self.campaign.rigs}
        self._places = {place.position_id: place for place in self.campaign.positions}
        self._crews = {crew.crew_id: crew for crew in self.campaign.crews}
        self._crew_open = {
            crew.crew_id: self.access.crew_open(crew) for crew in self.campaign.crews
        }
        self.midnights = np.array(
            [self.clock.day_start(day) for day in self.clock.calendar()], dtype=float
        )
        self.months = np.array([day.month for day in self.clock.calendar()], dtype=np.intp)
        self.stints = self._stints()
        self.takeover_min = self._takeover_min()

    def day_of(self, minutes: np.ndarray) -> np.ndarray:
        """Return the civil day of each minute, counted from the first [1]."""
        return np.searchsorted(self.midnights, minutes, side="right") - 1

    def _stints(self) -> tuple[Stint, ...]:
        rows: list[tuple[int, int, str, CrewId | None]] = []
        working = [*self.programme.crew_rigs, *self.programme.breaks]
        for name in dict.fromkeys(working):
            spans = self.access.shifts(self._crews[name].shift_id)
            rows.extend((start, end, str(name), name) for start, end in spans)
        gang = self.campaign.rules.relocation_shift
        if gang is not None:
            rows.extend((start, end, "", None) for start, end in self.access.shifts(gang))
        begin = self.campaign.start_min
        rows = sorted(row for row in rows if row[1] > begin)
        monday = self.clock.first_day.weekday()
        found = []
        for index, (start, end, _, crew) in enumerate(rows):
            day = self.clock.day_index(start)
            found.append(
                Stint(
                    index=index,
                    crew=crew,
                    start_min=max(start, begin),
                    end_min=end,
                    day=day,
                    week=(day + monday) // 7,
                )
            )
        return tuple(found)

    def _takeover_min(self) -> np.ndarray:
        """Return when the shift ends in which each item is planned: then others may do it."""
        found = [float(item.release_min + item.minutes) for item in self.programme.items]
        by_crew = {
            crew: [stint for stint in self.stints if stint.crew == crew]
            for crew in {stint.crew for stint in self.stints}
        }
        for k, item in enumerate(self.programme.items):
            for stint in by_crew.get(item.crew, []):
                if stint.start_min <= item.release_min < stint.end_min:
                    found[k] = float(stint.end_min)
        return np.array(found)

    def source(self, window: Window) -> LevelSource | None:
        """Return where the level of a window comes from."""
        with self._lock:
            if window.source not in self._sources:
                self._sources[window.source] = source_for(self.campaign, window.section)
            return self._sources[window.source]

    def rooms(self, number: int, rig: RigId | None, stint: Stint) -> tuple[Room, ...]:
        """Return the rooms of an item in a stint, in time order."""
        key = (number, rig, stint.index)
        with self._lock:
            if key not in self._rooms:
                item = self.programme.items[number]
                self._rooms[key] = tuple(self._make_rooms(item, rig, stint))
            return self._rooms[key]

    def _make_rooms(self, item: Item, rig: RigId | None, stint: Stint) -> list[Room]:
        here = Spans.whole(stint.start_min, stint.end_min)
        if stint.crew is not None:
            here &= self._crew_open[stint.crew]
        if rig is not None and item.position is not None:
            here &= self.free(rig, item.position)
        found: list[Room] = []
        for start, end in here:
            if item.zone is None:
                found.append(
                    Room(
                        from_min=start,
                        to_min=end,
                        open_min=start,
                        spray_from_min=start,
                        spray_to_min=end,
                        close_min=end,
                        day=self.clock.day_index(start),
                    )
                )
                continue
            found.extend(
                replace(
                    room,
                    from_min=start,
                    to_min=end,
                    day=self.clock.day_index(int(max(start, room.open_min))),
                )
                for room in self._within(item, start, end)
            )
        return found

    def free(self, rig: RigId, position: PositionId) -> Spans:
        """Return when neither rig nor position is closed [min]."""
        key = (rig, position)
        if key not in self._free:
            self._free[key] = self.access.rig_open(self._rigs[rig]) & self.access.position_open(
                self._places[position]
            )
        return self._free[key]

    def moving(self, rig: RigId, start: PositionId, end: PositionId, stint: Stint) -> Spans:
        """Return when a rig may be relocated in a stint [min]."""
        here = Spans.whole(stint.start_min, stint.end_min)
        if stint.crew is not None:
            here &= self._crew_open[stint.crew]
        with self._lock:
            return here & self.free(rig, start) & self.free(rig, end)

    def _within(self, item: Item, start: int, end: int) -> list[Room]:
        """Return the rooms of an item's zone that reach into a stretch."""
        rooms = self._of_zone(item)
        first = bisect_right(rooms, float(start), key=lambda room: room.spray_to_min)
        last = bisect_left(rooms, float(end), key=lambda room: room.open_min)
        return rooms[first:last]

    def _of_zone(self, item: Item) -> list[Room]:
        if item.zone is None:
            return []
        key = (item.zone, item.mix)
        if key not in self._zone_rooms:
            self._zone_rooms[key] = self._make_of_zone(item, item.zone)
        return self._zone_rooms[key]

    def _make_of_zone(self, item: Item, zone_id: ZoneId) -> list[Room]:
        zone, rules = self._zones[zone_id], self.campaign.rules
        way_in = rules.get_in_min if zone.get_in_min is None else zone.get_in_min
        way_out = rules.get_out_min if zone.get_out_min is None else zone.get_out_min
        dry = self._dry(item, zone_id)
        found: list[Room] = []
        for start, end in self.access.windows(zone):
            number = self._number(zone_id, start, end)
            pieces = Spans.whole(start + way_in, end - way_out)
            pieces = pieces if dry is None else pieces & dry.clip(start, end)
            found.extend(
                Room(
                    from_min=low,
                    to_min=high,
                    open_min=start + way_in,
                    spray_from_min=low,
                    spray_to_min=high,
                    close_min=end - way_out,
                    way_in_min=way_in,
                    way_out_min=way_out,
                    window=number,
                )
                for low, high in pieces
            )
        return found

    def _dry(self, item: Item, zone_id: ZoneId) -> Spans | None:
        """Return when spraying may go on so that the surface is protected for long enough."""
        if item.kind is not Kind.SPRAY:
            return None
        protect_h = next(
            face.protect_h
            for face in self.campaign.mixes
            if face.mix_id == item.mix and face.orientation is item.orientation
        )
        zone = self._zones[zone_id]
        if zone.wets_at_m is None:
            return None
        return self.access.dry(zone).shrink(last=up(MINUTES_PER_HOUR * (protect_h or 0.0)))

    def _number(self, zone_id: ZoneId, start: int, end: int) -> int:
        zone = self._zones[zone_id]
        window = Window(
            source=source_key(self.campaign.water, zone.section),
            section=zone.section,
            start_min=start,
            end_min=end,
            high_m=zone.water_max_m,
            low_m=zone.water_min_m,
        )
        same = replace(window, section=None)
        if same not in self._numbers:
            self._numbers[same] = len(self.windows)
            self.windows.append(window)
        return self._numbers[same]


def longer(campaign: Campaign) -> Campaign:
    """Return a campaign that goes on beyond its last day, with everybody on it."""
    clock = campaign.clock
    end = clock.horizon_min
    more = max(DAYS_MORE_MIN, clock.days)
    last = clock.day(end + (more - 1) * 24 * MINUTES_PER_HOUR)
    going_on = Clock(time_zone=clock.time_zone, first_day=clock.first_day, last_day=last)
    horizon = going_on.horizon_min
    return replace(
        campaign,
        clock=going_on,
        rigs=tuple(replace(rig, available_to_min=horizon) for rig in campaign.rigs),
        crews=tuple(replace(crew, available_to_min=horizon) for crew in campaign.crews),
    )
