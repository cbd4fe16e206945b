"""Pairs of what was planned and what was measured, taken from the journal."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from planner.access.level import source_for
from planner.core.clock import MINUTES_PER_HOUR
from planner.model.campaign import Campaign
from planner.model.identifiers import RigId, ZoneId
from planner.model.material import Supply
from planner.model.mix import MixFace
from planner.model.position import Position
from planner.model.rig import Rig
from planner.model.zone import Zone
from planner.reach.hoses import Reach
from planner.site.entry import Entry, Stored
from planner.trade.faces import faces_for
from planner.trade.material_factors import factors_of
from planner.trade.quantities import through_nozzle_m3
from planner.trade.rates import placing_rate_m3_h


@dataclass(frozen=True, slots=True, kw_only=True)
class RatePair:
    """Placing rate of one spell, planned and measured [m³/h in place]."""

    number: int
    rig: RigId
    planned_m3_h: float
    measured_m3_h: float


@dataclass(frozen=True, slots=True, kw_only=True)
class NozzlePair:
    """Volume through the nozzle for each m³ in place, planned and measured [1]."""

    number: int
    planned: float
    measured: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Loss:
    """Minutes of one crew in one shift: at work, and lost [min]; with the reasons."""

    worked_min: float
    lost_min: float
    reasons: tuple[tuple[str, float], ...] = ()

    @property
    def share(self) -> float:
        """Return the share that was lost [1]."""
        whole = self.worked_min + self.lost_min
        return self.lost_min / whole if whole > 0 else 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Find:
    """Volume of one zone by the survey and by what break-out found, in place [m³]."""

    zone: ZoneId
    surveyed_m3: float
    found_m3: float


class Measured:
    """What the entries that hold now measure of a campaign.

    Parameters
    ----------
    campaign
        Gives what was planned: rates, rebound, surveyed volumes.
    stored
        Entries that hold now (:meth:`planner.site.journal.Journal.current`).
    """

    def __init__(self, campaign: Campaign, stored: Iterable[Stored]) -> None:
        self.campaign = campaign
        self.stored = tuple(stored)
        self._reach = Reach(campaign)
        self._zones = {row.zone_id: row for row in campaign.zones}
        self._rigs = {row.rig_id: row for row in campaign.rigs}
        self._positions = {row.position_id: row for row in campaign.positions}

    def rates(self) -> tuple[RatePair, ...]:
        """Return the spells with volume, times, rig and position, against the plan's rate.

        Lost minutes are taken off: they are looked at on their own.
        """
        found = []
        for row in self.stored:
            entry, minutes = row.entry, row.entry.minutes
            planned = self._planned_rate(entry)
            if planned and entry.placed_m3 and entry.rig and minutes and minutes > 0:
                measured = MINUTES_PER_HOUR * entry.placed_m3 / minutes
                found.append(
                    RatePair(
                        number=row.number,
                        rig=entry.rig,
                        planned_m3_h=planned,
                        measured_m3_h=measured,
                    )
                )
        return tuple(found)

    def nozzle(self) -> tuple[NozzlePair, ...]:
        """Return the spells with bags, against what the mix table says."""
        found = []
        for row in self.stored:
            entry, face = row.entry, self._face(row.entry)
            if face is None or not entry.placed_m3:
                continue
            nozzle_m3 = self._nozzle_m3(entry, face)
            if not nozzle_m3:
                continue
            planned = through_nozzle_m3(1.0, face.rebound, self.campaign.rules.waste)
            measured = nozzle_m3 / entry.placed_m3
            found.append(NozzlePair(number=row.number, planned=planned, measured=measured))
        return tuple(found)

    def losses(self) -> tuple[Loss, ...]:
        """Return worked and lost minutes for each crew and civil day of an entry's stop."""
        worked: dict[tuple[str, int], float] = {}
        reasons: dict[tuple[str, int], list[tuple[str, float]]] = {}
        for row in self.stored:
            entry = row.entry
            if entry.crew is None or entry.stop is None:
                continue
            day = self.campaign.clock.day_index(self.campaign.clock.minute(entry.stop))
            key = (str(entry.crew), day)
            if entry.placed_m3 and entry.minutes:
                worked[key] = worked.get(key, 0.0) + entry.minutes
            if entry.lost_min:
                reasons.setdefault(key, []).append((entry.lost_reason or "", entry.lost_min))
        return tuple(
            Loss(
                worked_min=worked.get(key, 0.0),
                lost_min=sum(minutes for _, minutes in reasons.get(key, [])),
                reasons=tuple(reasons.get(key, [])),
            )
            for key in sorted(worked.keys() | reasons.keys())
        )

    def water(self) -> tuple[tuple[int, float], ...]:
        """Return how much higher than predicted the water was read: entry, difference [1, m]."""
        clock = self.campaign.clock
        found = []
        for row in self.stored:
            entry = row.entry
            if entry.water_m is None or entry.stop is None:
                continue
            zone = self._zones.get(entry.zone) if entry.zone else None
            source = source_for(self.campaign, zone.section if zone else None)
            if source is None:
                continue
            minute = np.array([clock.exact_minute(entry.stop)])
            predicted = float(source.level_m(minute)[0])
            if math.isfinite(predicted):
                found.append((row.number, entry.water_m - predicted))
        return tuple(found)

    def finds(self) -> tuple[Find, ...]:
        """Return surveyed and found volumes, one for each zone measured, by its last measure."""
        latest: dict[ZoneId, Entry] = {}
        for row in self.stored:
            if row.entry.is_find and row.entry.zone in self._zones:
                latest[row.entry.zone] = _joined(latest.get(row.entry.zone), row.entry)
        found = []
        for zone_id, entry in sorted(latest.items()):
            pair = self._find(self._zones[zone_id], entry)
            if pair is not None:
                found.append(pair)
        return tuple(found)

    def _find(self, zone: Zone, entry: Entry) -> Find | None:
        overbreak = self.campaign.rules.overbreak
        surveyed = zone.surveyed_m3
        if surveyed is None:
            surveyed = zone.in_place_m3(overbreak)
        area_m2 = zone.area_m2 if entry.found_area_m2 is None else entry.found_area_m2
        depth_mm = zone.depth_mm if entry.found_depth_mm is None else entry.found_depth_mm
        if area_m2 is None or depth_mm is None:
            return None
        rough = overbreak if entry.found_depth_mm is None else 0.0
        found_m3 = area_m2 * depth_mm / 1000.0 * (1.0 + rough)
        return Find(zone=zone.zone_id, surveyed_m3=surveyed, found_m3=found_m3)

    def _nozzle_m3(self, entry: Entry, face: MixFace) -> float | None:
        """Return what went through the nozzle; a bag's yield from the materials if not told."""
        if entry.bags is None or entry.bag_l is not None:
            return entry.nozzle_m3
        factors = factors_of(self.campaign, face.mix_id)
        if factors.supply is Supply.LOADS:
            return None
        return entry.bags * factors.value("unit_m3")

    def _planned_rate(self, entry: Entry) -> float | None:
        rig, zone, position = self._who(entry)
        face = self._face(entry)
        if rig is None or zone is None or position is None or face is None:
            return None
        run = self._reach.run(position, zone, rig)
        return None if run is None else placing_rate_m3_h(rig, face, run.hose_m)

    def _who(self, entry: Entry) -> tuple[Rig | None, Zone | None, Position | None]:
        rig = self._rigs.get(entry.rig) if entry.rig else None
        zone = self._zones.get(entry.zone) if entry.zone else None
        position = self._positions.get(entry.position) if entry.position else None
        return rig, zone, position

    def _face(self, entry: Entry) -> MixFace | None:
        """Return the mix of an entry: the one it names, or the only one that its rig sprays."""
        rig, zone, _ = self._who(entry)
        if zone is None:
            return None
        faces = faces_for(self.campaign, zone, rig)
        if entry.mix is not None:
            return faces.get(entry.mix)
        return next(iter(faces.values())) if len(faces) == 1 else None


def _joined(before: Entry | None, after: Entry) -> Entry:
    """Return a measure completed by an earlier one of the other quantity."""
    if before is None:
        return after
    area = after.found_area_m2 if after.found_area_m2 is not None else before.found_area_m2
    depth = after.found_depth_mm if after.found_depth_mm is not None else before.found_depth_mm
    return Entry(zone=after.zone, stop=after.stop, found_area_m2=area, found_depth_mm=depth)
