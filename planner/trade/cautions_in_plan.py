"""What in a plan asks for a second look, though it breaks no rule.

Fresh overhead concrete counts from the start of its spell until ``rules.no_entry_h`` after it;
where that is not given, until the end of the same run, which is fresh beyond doubt.
"""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import hypot, sqrt
from typing import Protocol

from planner.core.clock import MINUTES_PER_HOUR
from planner.core.rounding import up
from planner.model.campaign import Campaign
from planner.model.identifiers import CrewId, Orientation, PositionId, RigId, ZoneId
from planner.model.zone import Zone
from planner.trade.chainage import Line, lines_of

REST_H = 11.0
"""Daily rest in the European directive 2003/88/EC [h]; from memory."""
PAUSE_H = 4.0
"""A gap below this is a pause, not a rest [h]; a judgement."""
NAMED = 4


class Stint(Protocol):
    """A spell, as far as it matters here."""

    @property
    def run(self) -> str:
        """Return its run."""

    @property
    def rig(self) -> RigId:
        """Return its rig."""

    @property
    def crew(self) -> CrewId:
        """Return its crew."""

    @property
    def position(self) -> PositionId:
        """Return where the rig stands."""

    @property
    def zone(self) -> ZoneId:
        """Return the zone that is sprayed."""

    @property
    def layer(self) -> int:
        """Return its layer, from 1."""

    @property
    def start_min(self) -> int:
        """Return when spraying starts [min]."""

    @property
    def end_min(self) -> int:
        """Return when spraying ends [min]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanCaution:
    """A spell that asks for a second look; no rule is broken.

    Attributes
    ----------
    code
        Stable kebab-case word.
    zone, rig, crew, start_min
        The spell that it is about [min].
    text
        What was seen.
    follow
        Who decides.
    """

    code: str
    zone: ZoneId
    rig: RigId
    crew: CrewId
    start_min: int
    text: str
    follow: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _Fresh:
    """Overhead concrete that people must not be under, in a stretch of time [min]."""

    zone: Zone
    from_min: int
    to_min: int


def cautions_in_plan(campaign: Campaign, spells: Sequence[Stint]) -> tuple[PlanCaution, ...]:
    """Return what in a plan's spells asks for a second look, in time order.

    ``way-out``: in a closed space people pass fresh overhead concrete between the set-up position
    of their rig and the face.  ``below-fresh``: people work below an overhead zone that is fresh.
    ``next-layer``: a layer is sprayed on overhead concrete that nobody may be under yet.
    ``short-rest``: a crew's rest is shorter than 11 h.
    """
    look = _Look(campaign, spells)
    found = [*look.ways_out(), *look.below_fresh(), *look.next_layers(), *look.short_rests()]
    return tuple(sorted(found, key=lambda row: (row.start_min, row.zone, row.code)))


class _Look:
    """One look through a plan."""

    def __init__(self, campaign: Campaign, spells: Sequence[Stint]) -> None:
        self._campaign = campaign
        self._zones = {zone.zone_id: zone for zone in campaign.zones}
        self._spells = sorted(spells, key=lambda row: (row.start_min, row.zone))
        self._run_starts: dict[str, int] = {}
        self._run_ends: dict[str, int] = {}
        for row in self._spells:
            self._run_starts.setdefault(row.run, row.start_min)
            self._run_ends[row.run] = max(row.end_min, self._run_ends.get(row.run, row.end_min))
        self._fresh = self._fresh_ones()
        self._longest_min = max((row.to_min - row.from_min for row in self._fresh), default=0)
        self._starts = [row.from_min for row in self._fresh]

    def ways_out(self) -> Iterable[PlanCaution]:
        """Yield spells whose people pass fresh overhead concrete on their way."""
        places = {place.position_id: place for place in self._campaign.positions}
        closed = [zone for zone in self._campaign.zones if zone.closed_space]
        line_of = {name: line for line in lines_of(closed) for name in line.sections}
        for stint in self._spells:
            zone, place = self._zones[stint.zone], places[stint.position]
            line = line_of.get(zone.section)
            if line is None or zone.chainage_m is None or not zone.closed_space:
                continue
            way = sorted((line.chainage_m(place.x_m, place.y_m), zone.chainage_m))
            passed = [row.zone for row in self._fresh_at(stint) if _lies_on(row.zone, line, way)]
            if passed:
                yield self._caution(
                    "way-out",
                    stint,
                    f"people on the way between {stint.position} and {stint.zone} pass fresh"
                    f" overhead concrete of {_names(passed)}{self._until()}",
                    "Spray from the far end back to the shaft, or show another way out; follow"
                    " your local code for means of escape in confined spaces.",
                )

    def below_fresh(self) -> Iterable[PlanCaution]:
        """Yield spells whose people work below fresh overhead concrete."""
        for stint in self._spells:
            zone = self._zones[stint.zone]
            above = [row.zone for row in self._fresh_at(stint) if _hangs_over(row.zone, zone)]
            if above:
                yield self._caution(
                    "below-fresh",
                    stint,
                    f"people at {stint.zone} work below fresh overhead concrete of"
                    f" {_names(above)}{self._until()}",
                    "Keep them out from under it; follow your local code for work below loads"
                    " that may fall, the mix's maker and the structure's engineer.",
                )

    def next_layers(self) -> Iterable[PlanCaution]:
        """Yield layers sprayed on overhead concrete that nobody may be under yet."""
        hours = self._campaign.rules.no_entry_h
        before: dict[ZoneId, Stint] = {}
        for stint in self._spells if hours is not None else ():
            last = before.get(stint.zone)
            before[stint.zone] = stint
            if last is None or self._zones[stint.zone].orientation is not Orientation.OVERHEAD:
                continue
            gap_h = (stint.start_min - last.end_min) / MINUTES_PER_HOUR
            if stint.layer > last.layer and hours is not None and gap_h < hours:
                yield self._caution(
                    "next-layer",
                    stint,
                    f"layer {stint.layer} of {stint.zone} starts {gap_h:.1f} h after the layer"
                    f" before, and nobody may be under that for {hours:g} h: who stands where must"
                    " be arranged",
                    "Spray it from the side or wait; follow your local code for work below loads"
                    " that may fall, the mix's maker and the structure's engineer.",
                )

    def short_rests(self) -> Iterable[PlanCaution]:
        """Yield the first spell after each rest of a crew that is short."""
        of_crew: dict[CrewId, list[Stint]] = defaultdict(list)
        for stint in self._spells:
            of_crew[stint.crew].append(stint)
        for crew, stints in of_crew.items():
            for last, stint in pairwise(stints):
                gap_h = (stint.start_min - last.end_min) / MINUTES_PER_HOUR
                if PAUSE_H <= gap_h < REST_H:
                    yield self._caution(
                        "short-rest",
                        stint,
                        f"crew {crew} stops spraying for only {gap_h:.1f} h before it, less than"
                        f" {REST_H:g} h; clean-up and travel come off that",
                        "Follow your local code for working time and rest.",
                    )

    def _fresh_ones(self) -> list[_Fresh]:
        """Return fresh overhead concrete in order of time."""
        hours = self._campaign.rules.no_entry_h
        found = []
        for stint in self._spells:
            zone = self._zones[stint.zone]
            if zone.orientation is Orientation.OVERHEAD:
                to_min = (
                    self._run_ends[stint.run]
                    if hours is None
                    else stint.end_min + up(hours * MINUTES_PER_HOUR)
                )
                found.append(_Fresh(zone=zone, from_min=stint.start_min, to_min=to_min))
        return found

    def _fresh_at(self, stint: Stint) -> Iterable[_Fresh]:
        """Yield fresh concrete of other zones while people go to a face and work there.

        They come from the set-up position before the first spell of a run and go back to it after
        the last; in between they come from the face before.
        """
        zone, rules = self._zones[stint.zone], self._campaign.rules
        get_in = rules.get_in_min if zone.get_in_min is None else zone.get_in_min
        get_out = rules.get_out_min if zone.get_out_min is None else zone.get_out_min
        from_min = stint.start_min - rules.zone_change_min
        if stint.start_min == self._run_starts[stint.run]:
            from_min -= get_in
        to_min = stint.end_min
        if stint.end_min == self._run_ends[stint.run]:
            to_min += get_out
        first = bisect_left(self._starts, from_min - self._longest_min)
        last = bisect_left(self._starts, to_min)
        for row in self._fresh[first:last]:
            if row.zone.zone_id != stint.zone and row.to_min > from_min:
                yield row

    def _until(self) -> str:
        hours = self._campaign.rules.no_entry_h
        if hours is None:
            return " of the same run; how long it stays so is not given (rules.no_entry_h)"
        return f", less than {hours:g} h old (rules.no_entry_h)"

    def _caution(self, code: str, stint: Stint, text: str, follow: str) -> PlanCaution:
        return PlanCaution(
            code=code,
            zone=stint.zone,
            rig=stint.rig,
            crew=stint.crew,
            start_min=stint.start_min,
            text=text,
            follow=follow,
        )


def _lies_on(zone: Zone, line: Line, way: Sequence[float]) -> bool:
    at_m = zone.chainage_m
    return at_m is not None and zone.section in line.sections and way[0] <= at_m <= way[1]


def _hangs_over(above: Zone, below: Zone) -> bool:
    """Return whether an overhead zone, taken as a square of its area, lies above a place."""
    if above.area_m2 is None or below.z_m >= above.z_m:
        return False
    away_m = hypot(above.x_m - below.x_m, above.y_m - below.y_m)
    return away_m <= sqrt(above.area_m2) / 2.0


def _names(zones: Iterable[Zone]) -> str:
    names = list(dict.fromkeys(str(zone.zone_id) for zone in zones))
    more = f" and {len(names) - NAMED} more" if len(names) > NAMED else ""
    return ", ".join(names[:NAMED]) + more
