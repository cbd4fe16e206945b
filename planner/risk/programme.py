"""A plan as the site has it in hand: what is to be done, in which order, and what waits for what.

Everything that may wait follows the order of the plan's own times, so no two things ever wait for
each other, whatever chance does:

- the spells of a rig at one position are a *stay*; a rig's stays follow each other;
- a stay begins when the stay that had its place before it in the plan has left the position;
- layers, zones that stand ``after`` others, break-out, zones kept ``apart`` and open limits make a
  spell wait for the ends of earlier ones (and some time after them).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from enum import IntEnum
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from planner.access.curve import Floats
from planner.core.clock import MINUTES_PER_HOUR
from planner.core.quantities import layer_count
from planner.model.campaign import Campaign
from planner.model.crew import Crew
from planner.model.identifiers import CrewId, MixId, Orientation, PositionId, RigId, ZoneId
from planner.model.limits import ApartKind
from planner.model.mix import MixFace
from planner.model.zone import Zone
from planner.options.build import may_spray
from planner.plan.plan import Plan, Run, RunKind, Spell
from planner.trade.quantities import finish_minutes
from planner.trade.rates import placing_rate_m3_h

Ints = NDArray[np.intp]
EXTRA_LAYERS_MAX = 3
"""More layers than these are not added to a zone, however deep it turns out (our choice)."""


class Kind(IntEnum):
    """What an item of work is."""

    SPRAY = 0
    PANEL = 1
    BREAK = 2


@dataclass(kw_only=True)
class Item:
    """One piece of work of the plan, or a layer that may come on top.

    Attributes
    ----------
    volume_m3, rate_m3_h
        In place as planned [m³], and placing rate [m³/h]; panels: no volume.
    minutes
        As planned [min].
    release_min
        Not begun before: the planned start [min].
    waits
        Items that must be done before, each with the time to wait after its end [min].
    extra
        0: planned; k: the k-th layer more than planned.
    trim_min
        Trimming after it, for the item that ends a zone [min].
    share
        Of the zone's planned volume [1].
    """

    kind: Kind
    crew: CrewId
    zone: ZoneId | None
    rig: RigId | None = None
    position: PositionId | None = None
    mix: MixId | None = None
    orientation: Orientation | None = None
    layer: int = 0
    volume_m3: float = 0.0
    rate_m3_h: float = 0.0
    minutes: int = 0
    release_min: int = 0
    waits: list[tuple[int, float]]
    extra: int = 0
    trim_min: int = 0
    share: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Stay:
    """Work of one rig at one position without leaving it in between.

    Attributes
    ----------
    release_min
        Nobody moves the rig there before the planned relocation [min].
    before
        Stay that must have left the position first; None: none.
    """

    rig: RigId
    position: PositionId
    items: tuple[int, ...]
    start_min: int
    release_min: int
    before: int | None


@dataclass(frozen=True, kw_only=True)
class Programme:
    """All work of a plan, with the same things as arrays.

    Attributes
    ----------
    items, stays
        In the order of their planned times.
    breaks
        Items of each break-out crew, in order.
    crew_rigs
        Rigs that each spray crew works in the plan.
    zones
        Planned zones with their last item, in table order.
    """

    campaign: Campaign
    plan: Plan
    items: tuple[Item, ...]
    stays: tuple[Stay, ...]
    breaks: dict[CrewId, tuple[int, ...]]
    crew_rigs: dict[CrewId, tuple[RigId, ...]]
    zones: tuple[Zone, ...]
    last_item: dict[ZoneId, int]

    @property
    def has_panels(self) -> bool:
        """Return whether the plan has test panels."""
        return any(item.kind is Kind.PANEL for item in self.items)

    def wait_arrays(self) -> tuple[Ints, Floats]:
        """Return for each item what it waits for, and how long after [1, min]; -1: nothing."""
        most = max((len(item.waits) for item in self.items), default=0)
        before = np.full((len(self.items), max(most, 1)), -1, dtype=np.intp)
        lag = np.zeros(before.shape)
        for k, item in enumerate(self.items):
            for j, (other, after) in enumerate(item.waits):
                before[k, j] = other
                lag[k, j] = after
        return before, lag


def programme(campaign: Campaign, plan: Plan, *, deepest: float = 1.0) -> Programme:
    """Return a plan as work to be done.

    Parameters
    ----------
    campaign, plan
        The plan must be valid for the campaign.
    deepest
        Greatest factor of a zone's depth, for layers that may come on top [1].
    """
    return _Maker(campaign, plan, deepest).make()


class _Maker:
    """Builds a programme step by step."""

    def __init__(self, campaign: Campaign, plan: Plan, deepest: float) -> None:
        self._campaign = campaign
        self._plan = plan
        self._deepest = deepest
        self._items: list[Item] = []
        self._runs = {run.run: run for run in plan.runs}
        self._rigs = {rig.rig_id: rig for rig in campaign.rigs}
        self._crews = {crew.crew_id: crew for crew in campaign.crews}
        self._zones = {zone.zone_id: zone for zone in campaign.zones}
        self._faces = {(face.mix_id, face.orientation): face for face in campaign.mixes}
        self._of_zone: dict[ZoneId, list[int]] = {}
        self._breaks: dict[ZoneId, list[int]] = defaultdict(list)
        self._of_run: dict[str, list[int]] = defaultdict(list)

    def make(self) -> Programme:
        self._add_breaks()
        for zone_id, spells in self._spells_by_zone().items():
            self._add_zone(zone_id, spells)
        self._add_panels()
        self._wait_for_zones()
        self._wait_apart()
        self._wait_open_limits()
        crew_rigs: dict[CrewId, list[RigId]] = defaultdict(list)
        for run in sorted(self._plan.runs, key=lambda run: run.start_min):
            if run.rig not in crew_rigs[run.crew]:
                crew_rigs[run.crew].append(run.rig)
        breaks: dict[CrewId, list[int]] = defaultdict(list)
        for k, item in enumerate(self._items):
            if item.kind is Kind.BREAK:
                breaks[item.crew].append(k)
        planned = {zone: rows[-1] for zone, rows in self._of_zone.items()}
        return Programme(
            campaign=self._campaign,
            plan=self._plan,
            items=tuple(self._items),
            stays=self._stays(),
            breaks={crew: tuple(rows) for crew, rows in breaks.items()},
            crew_rigs={crew: tuple(rigs) for crew, rigs in crew_rigs.items()},
            zones=tuple(zone for zone in self._campaign.zones if zone.zone_id in planned),
            last_item=planned,
        )

    def _spells_by_zone(self) -> dict[ZoneId, list[Spell]]:
        found: dict[ZoneId, list[Spell]] = defaultdict(list)
        for spell in sorted(self._plan.spells, key=lambda spell: spell.start_min):
            found[spell.zone].append(spell)
        return found

    def _add_breaks(self) -> None:
        for piece in sorted(self._plan.break_outs, key=lambda piece: piece.start_min):
            self._breaks[piece.zone].append(len(self._items))
            self._items.append(
                Item(
                    kind=Kind.BREAK,
                    crew=piece.crew,
                    zone=piece.zone,
                    volume_m3=piece.volume_m3,
                    minutes=piece.end_min - piece.start_min,
                    release_min=piece.start_min,
                    waits=[],
                )
            )

    def _add_zone(self, zone_id: ZoneId, spells: list[Spell]) -> None:
        rows: list[int] = []
        zone = self._zones[zone_id]
        prepare_min = MINUTES_PER_HOUR * self._campaign.rules.prepare_min_h
        planned_m3 = sum(spell.volume_m3 for spell in spells)
        for spell in spells:
            run = self._runs[spell.run]
            face = self._faces[run.mix, zone.orientation]
            rig = self._rigs[spell.rig]
            waits = [(k, prepare_min) for k in self._breaks[zone_id]] if not rows else []
            if rows:
                waits.append((rows[-1], self._gap_min(face, self._items[rows[-1]], spell.layer)))
            rows.append(len(self._items))
            self._of_run[spell.run].append(rows[-1])
            self._items.append(
                Item(
                    kind=Kind.SPRAY,
                    crew=spell.crew,
                    zone=zone_id,
                    rig=spell.rig,
                    position=spell.position,
                    mix=run.mix,
                    orientation=zone.orientation,
                    layer=spell.layer,
                    volume_m3=spell.volume_m3,
                    rate_m3_h=placing_rate_m3_h(rig, face, spell.hose_m),
                    minutes=spell.end_min - spell.start_min,
                    release_min=spell.start_min,
                    waits=waits,
                    share=spell.volume_m3 / planned_m3,
                )
            )
        face = self._faces[self._runs[spells[-1].run].mix, zone.orientation]
        self._items[rows[-1]].trim_min = finish_minutes(zone, face)
        self._add_extra(zone, rows, face)
        self._of_zone[zone_id] = rows

    def _gap_min(self, face: MixFace, last: Item, layer: int) -> float:
        if last.layer == layer:
            return 0.0
        return MINUTES_PER_HOUR * (face.layer_gap_min_h or 0.0)

    def _add_extra(self, zone: Zone, rows: list[int], face: MixFace) -> None:
        """Add the layers that a deeper zone may ask for; they are empty where it does not."""
        last = self._items[rows[-1]]
        if zone.depth_mm is None:
            return
        planned = layer_count(zone.depth_mm, face.layer_max_mm)
        most = layer_count(zone.depth_mm * self._deepest, face.layer_max_mm)
        for extra in range(1, min(most - planned, EXTRA_LAYERS_MAX) + 1):
            gap = MINUTES_PER_HOUR * (face.layer_gap_min_h or 0.0)
            self._items.append(
                Item(
                    kind=Kind.SPRAY,
                    crew=last.crew,
                    zone=zone.zone_id,
                    rig=last.rig,
                    position=last.position,
                    mix=last.mix,
                    orientation=last.orientation,
                    layer=planned + extra,
                    rate_m3_h=last.rate_m3_h,
                    release_min=last.release_min,
                    waits=[(rows[-1], gap)],
                    extra=extra,
                    trim_min=last.trim_min,
                )
            )
            rows.append(len(self._items) - 1)

    def _add_panels(self) -> None:
        for run in self._plan.runs:
            if run.kind is RunKind.PANEL:
                self._of_run[run.run].append(len(self._items))
                self._items.append(
                    Item(
                        kind=Kind.PANEL,
                        crew=run.crew,
                        zone=None,
                        rig=run.rig,
                        position=run.position,
                        mix=run.mix,
                        orientation=run.orientation,
                        minutes=run.end_min - run.start_min,
                        release_min=run.start_min,
                        waits=[],
                    )
                )

    def _first(self, zone_id: ZoneId) -> int:
        """Return the item with which a zone is opened."""
        return (self._breaks[zone_id] or self._of_zone[zone_id])[0]

    def _all_of(self, zone_id: ZoneId) -> list[int]:
        return [*self._breaks[zone_id], *self._of_zone.get(zone_id, ())]

    def _wait(self, item: int, other: int, lag_min: float = 0.0) -> None:
        if all(found != other for found, _ in self._items[item].waits):
            self._items[item].waits.append((other, lag_min))

    def _wait_for_zones(self) -> None:
        for zone_id, rows in self._of_zone.items():
            for other in self._zones[zone_id].after:
                if other in self._of_zone:
                    self._wait(rows[0], self._of_zone[other][-1])

    def _wait_apart(self) -> None:
        hold = MINUTES_PER_HOUR * self._campaign.rules.strength_hold_h
        for row in self._campaign.apart:
            pair = [zone for zone in (row.zone_a, row.zone_b) if zone in self._of_zone]
            if len(pair) < 2:
                continue
            if row.kind is ApartKind.OPEN:
                first, second = sorted(
                    pair, key=lambda zone: self._items[self._first(zone)].release_min
                )
                self._wait(self._first(second), self._of_zone[first][-1], hold)
            else:
                self._wait_in_turn(pair)

    def _wait_in_turn(self, pair: list[ZoneId]) -> None:
        """Make the pieces of two zones follow each other as in the plan."""
        rows = sorted(
            (k for zone in pair for k in self._all_of(zone) if not self._items[k].extra),
            key=lambda k: self._items[k].release_min,
        )
        for before, after in pairwise(rows):
            if self._items[before].zone != self._items[after].zone:
                self._wait(after, before)

    def _wait_open_limits(self) -> None:
        hold = MINUTES_PER_HOUR * self._campaign.rules.strength_hold_h
        for row in self._campaign.open_limits:
            zones = [zone for zone in row.zones if zone in self._of_zone]
            for zone in zones:
                opened = self._items[self._first(zone)].release_min
                for other in zones:
                    end = self._planned_end(other) + hold
                    if other != zone and end <= opened:
                        self._wait(self._first(zone), self._of_zone[other][-1], hold)

    def _planned_end(self, zone_id: ZoneId) -> int:
        rows = [self._items[k] for k in self._of_zone[zone_id] if not self._items[k].extra]
        return max(item.release_min + item.minutes for item in rows)

    def _stays(self) -> tuple[Stay, ...]:
        found: list[tuple[RigId, PositionId, list[Run]]] = []
        current: dict[RigId, int] = {}
        for run in sorted(self._plan.runs, key=lambda run: run.start_min):
            at = current.get(run.rig)
            if at is None or found[at][1] != run.position:
                current[run.rig] = len(found)
                found.append((run.rig, run.position, []))
            found[current[run.rig]][2].append(run)
        visits: dict[PositionId, list[int]] = defaultdict(list)
        most = {place.position_id: place.rigs_max for place in self._campaign.positions}
        stays: list[Stay] = []
        for k, (rig, position, runs) in enumerate(found):
            earlier = visits[position]
            before = earlier[-most[position]] if len(earlier) >= most[position] else None
            visits[position].append(k)
            if before is not None and found[before][0] == rig:
                before = None
            stays.append(
                Stay(
                    rig=rig,
                    position=position,
                    items=tuple(self._of_stay(runs)),
                    start_min=runs[0].start_min,
                    release_min=self._moved_min(rig, runs[0]),
                    before=before,
                )
            )
        return tuple(stays)

    def _of_stay(self, runs: list[Run]) -> list[int]:
        """Return the items of a stay in planned order.

        A layer more comes last, or just before the first thing that waits for its zone.
        """
        rows = [k for run in runs for k in self._of_run[run.run]]
        order = {k: (self._items[k].release_min, 0) for k in rows}
        last = max(self._items[k].release_min for k in rows)
        for k in rows:
            zone = self._items[k].zone
            chain = [] if zone is None else self._of_zone[zone]
            extra = [one for one in chain if self._items[one].extra]
            if extra and self._items[extra[0]].waits[0][0] == k:
                at = min(last + 1, self._waited_for_min(chain[-1]))
                order |= {
                    one: (at, self._items[one].extra - EXTRA_LAYERS_MAX - 1) for one in extra
                }
        return sorted(order, key=lambda k: order[k])

    def _waited_for_min(self, last: int) -> int:
        """Return the planned start of the first item that waits for the end of a zone [min]."""
        waiting = (
            item.release_min for item in self._items if any(k == last for k, _ in item.waits)
        )
        return min(waiting, default=self._campaign.clock.horizon_min)

    def _moved_min(self, rig: RigId, run: Run) -> int:
        moves = [
            row.start_min
            for row in self._plan.relocations
            if row.rig == rig and row.to_position == run.position and row.end_min <= run.start_min
        ]
        return max(moves, default=0)


def may_do(crew: Crew, item: Item, faces: Iterable[MixFace]) -> bool:
    """Return whether a spray crew may do an item, panels of its own aside."""
    if item.kind is Kind.PANEL:
        return crew.crew_id == item.crew
    return any(
        may_spray(crew, face)
        for face in faces
        if face.mix_id == item.mix and face.orientation is item.orientation
    )
