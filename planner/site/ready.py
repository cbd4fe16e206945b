"""What must be ready for the weeks ahead, and whether it is, as a plain list.

The tables, the plan and the journal tell: nothing is asked for that they cannot know.  What nobody
has confirmed is "to be shown"; a record with ``item`` (``ebbwork progress SCENARIO add --item``)
confirms it, and the list then says who did.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from enum import StrEnum

from planner.access.closures import closure_spans
from planner.access.windows import Access
from planner.core.clock import MINUTES_PER_DAY
from planner.core.wording import day_name, moment
from planner.model.campaign import Campaign
from planner.model.identifiers import CrewId, CrewKind, Orientation, Process, ZoneId
from planner.model.limits import ClosureScope
from planner.options.cards import covered
from planner.plan.plan import Plan, Run
from planner.site.entry import Stored
from planner.site.export import found_of
from planner.site.lookahead import Ahead, days_between
from planner.trade.quantities import through_nozzle_m3

NEAR_DAYS = 2
"""A closure of a position this soon after its last run is told [d] (from memory)."""


class State(StrEnum):
    """Whether something is ready."""

    READY = "ready"
    BY_PLAN = "by the plan"
    SHOWN = "to be shown"
    NOT = "not ready"


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadyRow:
    """One thing that must be ready.

    Attributes
    ----------
    item
        Its name; a record with it confirms it.
    needed_min
        By when [min].
    state, why
        Whether it is, and how that is known.
    """

    item: str
    needed_min: int
    state: State
    why: str


def ready_rows(
    campaign: Campaign,
    plan: Plan,
    ahead: Ahead,
    stored: Sequence[Stored],
    *,
    access: Access,
    ahead_zones: int = 0,
    more: Iterable[ReadyRow] = (),
) -> list[ReadyRow]:
    """Return what must be ready in a stretch, by the time it is needed.

    Parameters
    ----------
    stored
        Entries that hold now.
    ahead_zones
        Zones that break-out is wanted to be ahead of spraying [1].
    more
        Rows that other rooms add, such as test panels.
    """
    start, end = days_between(campaign, ahead)
    looked = _Look(campaign, plan, start, end, stored=stored, access=access)
    found = [
        *looked.positions(),
        *looked.faces(),
        *looked.zones_before(),
        *looked.cards(),
        *looked.materials(),
        *looked.lead(ahead_zones),
        *(row for row in more if start <= row.needed_min < end),
    ]
    ticks = {row.entry.item: row for row in stored if row.entry.item}
    told = [_ticked(row, ticks) for row in found]
    return sorted(told, key=lambda row: (row.needed_min, row.item))


def _ticked(row: ReadyRow, ticks: Mapping[str, Stored]) -> ReadyRow:
    tick = ticks.get(row.item)
    if tick is None or row.state is State.READY:
        return row
    why = f"{row.why}; confirmed by {tick.by} (entry {tick.number})"
    return replace(row, state=State.READY, why=why)


class _Look:
    """One stretch of a plan, looked at from several sides."""

    def __init__(
        self,
        campaign: Campaign,
        plan: Plan,
        start: int,
        end: int,
        *,
        stored: Sequence[Stored],
        access: Access,
    ) -> None:
        self.campaign, self.plan = campaign, plan
        self.start, self.end = start, end
        self.stored, self.access = stored, access
        self.clock = campaign.clock
        self.zones = {zone.zone_id: zone for zone in campaign.zones}
        self.mixes = {run.run: run.mix for run in plan.runs}
        self.runs = [run for run in plan.runs if self._within(run.start_min)]
        self.spells = [spell for spell in plan.spells if self._within(spell.start_min)]

    def _within(self, minute: int) -> bool:
        return self.start <= minute < self.end

    def positions(self) -> Iterator[ReadyRow]:
        """Yield each position that is used: free by the tables, and until when."""
        uses: defaultdict[str, list[Run]] = defaultdict(list)
        for run in self.runs:
            uses[str(run.position)].append(run)
        for name, runs in uses.items():
            first = min(run.start_min for run in runs)
            last = max(run.end_min for run in runs)
            rigs = ", ".join(dict.fromkeys(str(run.rig) for run in runs))
            booked = self._booked(name, last)
            yield ReadyRow(
                item=f"position {name}",
                needed_min=first,
                state=State.SHOWN,
                why=(
                    f"free for {rigs} until {self._day(last)} by the closures of the scenario"
                    f"{booked}; show that nobody else stands there"
                ),
            )

    def _booked(self, name: str, last: int) -> str:
        until = last + NEAR_DAYS * MINUTES_PER_DAY
        for closure in self.campaign.closures:
            mine = closure.scope is ClosureScope.SITE or (
                closure.scope is ClosureScope.POSITION and closure.target == name
            )
            if mine:
                spans = closure_spans(closure, self.clock, start=last, end=until)
                if spans:
                    why = f" ({closure.why})" if closure.why else ""
                    return f", closed from {self._moment(spans.starts[0])}{why}"
        return ""

    def faces(self) -> Iterator[ReadyRow]:
        """Yield each zone that is begun: broken out and ready, as far as anybody has said."""
        seen = found_of(self.stored)
        begun = {row.zone_id for row in self.campaign.done}
        begun |= {row.entry.zone for row in self.stored if row.entry.is_work and row.entry.zone}
        planned = self._break_out_ends()
        for zone_id, first in self._first_layers().items():
            zone = self.zones[zone_id]
            if zone_id in begun:
                continue
            if zone.broken_out or zone_id in seen:
                state, why = State.READY, "broken out by the tables or measured"
            elif zone_id in planned:
                state = State.BY_PLAN
                why = f"break-out ends {self._moment(planned[zone_id])} by the plan"
            else:
                state = State.SHOWN
                why = "break-out is not planned here; show that the face is broken out and clean"
            if zone.ready_from_min is not None and zone.ready_from_min > first:
                state, why = State.NOT, f"ready only from {self._moment(zone.ready_from_min)}"
            yield ReadyRow(item=f"face {zone_id}", needed_min=first, state=state, why=why)

    def _break_out_ends(self) -> dict[ZoneId, int]:
        ends: dict[ZoneId, int] = {}
        for piece in self.plan.break_outs:
            ends[piece.zone] = max(ends.get(piece.zone, 0), piece.end_min)
        return ends

    def _first_layers(self) -> dict[ZoneId, int]:
        """Return the zones whose first spell lies in the stretch, with its start."""
        firsts: dict[ZoneId, int] = {}
        for spell in self.plan.spells:
            firsts[spell.zone] = min(firsts.get(spell.zone, spell.start_min), spell.start_min)
        return {zone: at for zone, at in firsts.items() if self._within(at)}

    def zones_before(self) -> Iterator[ReadyRow]:
        """Yield the zones that must be complete before one that is begun."""
        ends: dict[ZoneId, int] = {}
        for spell in self.plan.spells:
            ends[spell.zone] = max(ends.get(spell.zone, 0), spell.end_min)
        for zone_id, first in self._first_layers().items():
            for before in self.zones[zone_id].after:
                end = ends.get(before)
                late = end is not None and end > first
                why = (
                    "complete by the records"
                    if end is None
                    else f"complete {self._moment(end)} by the plan"
                )
                yield ReadyRow(
                    item=f"zone {before} before {zone_id}",
                    needed_min=first,
                    state=State.NOT if late else State.BY_PLAN,
                    why=why,
                )

    def cards(self) -> Iterator[ReadyRow]:
        """Yield the cards of each crew and kind of work, valid to the end of the stretch."""
        kinds: dict[tuple[CrewId, Process, Orientation], list[int]] = {}
        process = {rig.rig_id: rig.process for rig in self.campaign.rigs}
        for spell in self.spells:
            key = (spell.crew, process[spell.rig], self.zones[spell.zone].orientation)
            kinds.setdefault(key, []).append(spell.start_min)
        crews = {crew.crew_id: crew for crew in self.campaign.crews}
        for (crew, kind, orientation), starts in sorted(kinds.items()):
            item = f"cards of {crew} for {kind} {orientation}"
            first, last = min(starts), max(starts)
            if not self.campaign.cards:
                why = "the scenario has no cards.csv; show valid cards"
                yield ReadyRow(item=item, needed_min=first, state=State.SHOWN, why=why)
                continue
            held = covered(self.campaign, crews[crew], kind, orientation)
            lacking = [start for start in starts if start not in held]
            if lacking:
                state, why = State.NOT, f"too few valid cards on {self._day(min(lacking))}"
            else:
                until = (held.around(last) or (last, last))[1]
                state, why = State.READY, f"valid until {self._day(until - 1)} by cards.csv"
            yield ReadyRow(item=item, needed_min=first, state=state, why=why)

    def materials(self) -> Iterator[ReadyRow]:
        """Yield what goes through the nozzles, by mix and week, to be called off."""
        rebound = {(f.mix_id, f.orientation): f.rebound for f in self.campaign.mixes}
        waste = self.campaign.rules.waste
        weeks: defaultdict[tuple[str, date], list[tuple[int, float]]] = defaultdict(list)
        for spell in self.spells:
            key = (self.mixes[spell.run], self.zones[spell.zone].orientation)
            day = self.clock.day(spell.start_min)
            volume = through_nozzle_m3(spell.volume_m3, rebound[key], waste)
            monday = day - timedelta(days=day.weekday())
            weeks[str(key[0]), monday].append((spell.start_min, volume))
        for (mix, monday), parts in sorted(weeks.items()):
            whole = math.fsum(volume for _, volume in parts)
            yield ReadyRow(
                item=f"{mix} for the week of {monday.isoformat()}",
                needed_min=min(at for at, _ in parts),
                state=State.SHOWN,
                why=f"{whole:.1f} m³ through the nozzle; show that it is called off",
            )

    def lead(self, wanted: int) -> Iterator[ReadyRow]:
        """Yield the first day on which break-out is ahead by fewer zones than wanted."""
        crews = any(crew.kind is CrewKind.BREAK_OUT for crew in self.campaign.crews)
        if wanted < 1 or not crews:
            return
        out = self._break_out_ends()
        begun: dict[ZoneId, int] = {}
        for spell in sorted(self.plan.spells, key=lambda row: row.start_min):
            begun.setdefault(spell.zone, spell.start_min)
        to_come = [zone for zone, at in begun.items() if at >= self.start]
        for at in sorted(begun[zone] for zone in to_come if self._within(begun[zone])):
            waiting = [zone for zone in to_come if begun[zone] > at]
            ready = [
                zone
                for zone in waiting
                if out.get(zone, 0 if self.zones[zone].broken_out else at + 1) <= at
            ]
            if len(ready) < min(wanted, len(waiting)):
                yield ReadyRow(
                    item=f"break-out {wanted} zones ahead",
                    needed_min=at,
                    state=State.NOT,
                    why=f"only {len(ready)} of the zones to come are broken out by then",
                )
                return
        yield ReadyRow(
            item=f"break-out {wanted} zones ahead",
            needed_min=self.start,
            state=State.BY_PLAN,
            why="kept by the plan throughout",
        )

    def _day(self, minute: int) -> str:
        return day_name(self.clock.day(minute))

    def _moment(self, minute: int) -> str:
        return moment(self.clock, minute)
