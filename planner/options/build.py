"""Every way to spray every zone: one option per zone, mix, rig and position.

An option exists when the hose reaches, the position allows the process, rig and zone allow
the mix, some spraying crew works that process on that orientation, and every layer that may
not be split fits somewhere into a window of the zone and a stretch in which such a crew, the
rig and the position are all free.  What fails is found again, in words, by
:mod:`planner.options.reasons`.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from planner.access.windows import Access
from planner.core.rounding import up
from planner.core.spans import Spans
from planner.model.campaign import Campaign
from planner.model.crew import Crew
from planner.model.identifiers import CrewKind, MixId, Orientation, PositionId, RigId, ZoneId
from planner.model.lock import Lock
from planner.model.mix import MixFace
from planner.model.position import Position
from planner.model.rig import Rig
from planner.model.zone import Zone
from planner.options.cards import barred
from planner.options.sharing import may_share
from planner.reach.hoses import Reach
from planner.trade.faces import faces_for
from planner.trade.quantities import finish_minutes
from planner.trade.rates import placing_rate_m3_h, spell_minutes
from planner.trade.remaining import remaining_layers


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One way to spray one zone.

    Attributes
    ----------
    hose_m, laid_m
        Equivalent and actual hose [m].
    rate_m3_h
        Placing rate in place [m³/h].
    minutes
        Spell minutes of each layer that is left, unsplit [min].
    """

    zone: ZoneId
    mix: MixId
    rig: RigId
    position: PositionId
    hose_m: float
    laid_m: float
    rate_m3_h: float
    minutes: tuple[int, ...]


def may_spray(crew: Crew, face: MixFace) -> bool:
    """Return whether a crew sprays, and is allowed this process on this orientation."""
    return (
        crew.kind is CrewKind.SPRAY
        and (not crew.processes or face.process in crew.processes)
        and (not crew.orientations or face.orientation in crew.orientations)
    )


def rig_takes(rig: Rig, face: MixFace) -> bool:
    """Return whether a rig may spray a mix."""
    return rig.process is face.process and (not rig.mixes or face.mix_id in rig.mixes)


@dataclass(frozen=True)
class Options:
    """All options of a campaign, with what they were made from."""

    campaign: Campaign
    access: Access
    reach: Reach

    @cached_property
    def faces(self) -> Mapping[ZoneId, Mapping[MixId, MixFace]]:
        """Return the mixes each zone may use."""
        return {zone.zone_id: faces_for(self.campaign, zone) for zone in self.campaign.zones}

    @cached_property
    def by_zone(self) -> Mapping[ZoneId, tuple[Option, ...]]:
        """Return every option of every zone, in table order."""
        return {zone.zone_id: tuple(self._of(zone)) for zone in self.campaign.zones}

    def _of(self, zone: Zone) -> list[Option]:
        found: list[Option] = []
        for mix, face in self.faces[zone.zone_id].items():
            left = remaining_layers(self.campaign, zone, face)
            if not left:
                continue
            for rig in self.campaign.rigs:
                if not rig_takes(rig, face):
                    continue
                for position in self._sharing(face, rig, zone):
                    hose = self.reach.run(position, zone, rig)
                    if hose is None:
                        continue
                    rate = placing_rate_m3_h(rig, face, hose.hose_m)
                    minutes = tuple(spell_minutes(part.volume_m3, rate) for part in left)
                    option = Option(
                        zone=zone.zone_id,
                        mix=mix,
                        rig=rig.rig_id,
                        position=position.position_id,
                        hose_m=hose.hose_m,
                        laid_m=hose.laid_m,
                        rate_m3_h=rate,
                        minutes=minutes,
                    )
                    if self._keep(option, self._fits(zone, face, rig, position, minutes)):
                        found.append(option)
        return found

    def _sharing(self, face: MixFace, rig: Rig, zone: Zone) -> list[Position]:
        """Return the positions that reach a zone, and whose needs can be met with it (rule 16)."""
        reaching = self._unlocked(rig, zone)
        if not self.campaign.resources:
            return reaching
        crews = [crew for crew in self.campaign.crews if may_spray(crew, face)]
        return [p for p in reaching if may_share(self.campaign, crews, zone, rig, p)]

    def _unlocked(self, rig: Rig, zone: Zone) -> list[Position]:
        """Return the positions that reach a zone, as far as its lock allows them (rule 17)."""
        return [p for p in self._reaching(rig, zone) if self.allows(zone, rig, p)]

    def allows(self, zone: Zone, rig: Rig, position: Position) -> bool:
        """Return whether a zone's lock, if it has one, lets a rig spray it from a position."""
        lock = self._locks.get(zone.zone_id)
        return lock is None or lock.allows(rig.rig_id, position.position_id)

    def allowed(self, zone: Zone, rig: Rig) -> list[Position]:
        """Return the positions from which a zone's lock lets a rig spray it, in table order."""
        return [p for p in self.campaign.positions if self.allows(zone, rig, p)]

    @cached_property
    def _locks(self) -> Mapping[ZoneId, Lock]:
        return {lock.zone_id: lock for lock in self.campaign.locks}

    def _keep(self, option: Option, fits: tuple[bool, ...]) -> bool:
        """Return whether every layer fits; remember where only some do."""
        if any(fits) and not all(fits):
            self.partly[option.zone, option.mix].append((option, fits))
        return all(fits)

    @cached_property
    def partly(self) -> defaultdict[tuple[ZoneId, MixId], list[tuple[Option, tuple[bool, ...]]]]:
        """Return what is no option because some of a zone's layers fit nowhere, and which do.

        Filled while :attr:`by_zone` is worked out.  A plan may still spray the layers that fit.
        """
        return defaultdict(list)

    def _reaching(self, rig: Rig, zone: Zone) -> list[Position]:
        """Return the positions from which a rig reaches a zone, in table order."""
        if rig.rig_id not in self._masks:
            rows = [self.reach.mask(place, rig) for place in self.campaign.positions]
            self._masks[rig.rig_id] = np.array(rows, dtype=np.bool_).reshape(
                len(rows), len(self.campaign.zones)
            )
        column = self._masks[rig.rig_id][:, self._index[zone.zone_id]]
        return [self.campaign.positions[int(k)] for k in np.flatnonzero(column)]

    @cached_property
    def _masks(self) -> dict[RigId, NDArray[np.bool_]]:
        return {}

    @cached_property
    def _index(self) -> Mapping[ZoneId, int]:
        return {zone.zone_id: k for k, zone in enumerate(self.campaign.zones)}

    def _fits(
        self, zone: Zone, face: MixFace, rig: Rig, position: Position, minutes: tuple[int, ...]
    ) -> tuple[bool, ...]:
        """Return for each layer whether a spell of it fits anywhere."""
        room = self.longest_stretch(zone, face, rig, position, last=False)
        floor = self.campaign.rules.spell_min_min
        need = [min(m, floor) if zone.joint_allowed else m for m in minutes]
        last = room - finish_minutes(zone, face) >= need[-1] or (
            self.longest_stretch(zone, face, rig, position, last=True) >= need[-1]
        )
        return (*(room >= m for m in need[:-1]), last)

    def longest_stretch(
        self, zone: Zone, face: MixFace, rig: Rig, position: Position, *, last: bool
    ) -> int:
        """Return the longest spell that could be placed anywhere [min].

        With ``last``, trimming after the zone's last spell must fit as well.
        """
        spans = self.spray_spans(zone, face, last=last)
        free = self.working_time(face.orientation, rig, position)
        key = (spans, free)
        cache = self._stretches
        if key not in cache:
            both = spans & free
            cache[key] = max((end - start for start, end in both), default=0)
        return cache[key]

    def spray_spans(self, zone: Zone, face: MixFace, *, last: bool) -> Spans:
        """Return the spans inside which a spell of a zone must lie, by rules 1, 2 and 3.

        The zone change before a spell lies inside the shortened window (rule 2), so a spell
        starts at the earliest ``zone_change_min`` after the window's start.  From the start of
        the spell until ``protect_h`` after its end the surface stays dry (rule 3).  With
        ``last``, trimming after the zone's last spell still fits into the window (rule 1).
        """
        after = finish_minutes(zone, face) if last else 0
        windows = self.access.shortened(zone)
        dry = None if zone.wets_at_m is None else self.access.dry(zone)
        protect = 0 if dry is None else up(60 * (face.protect_h or 0.0))
        start = max(self.campaign.start_min, zone.ready_from_min or 0)
        key = (windows, dry, after, protect, start)
        if key not in self._sprayable:
            change = self.campaign.rules.zone_change_min
            spans = windows.shrink(first=change, last=after)
            if dry is not None:
                spans = spans & dry.shrink(last=protect)
            self._sprayable[key] = spans.clip(start, self.campaign.clock.horizon_min)
        return self._sprayable[key]

    @cached_property
    def _sprayable(self) -> dict[tuple[object, ...], Spans]:
        return {}

    @cached_property
    def _stretches(self) -> dict[tuple[object, ...], int]:
        return {}

    @cached_property
    def _working(self) -> dict[tuple[object, ...], Spans]:
        return {}

    def working_time(self, orientation: Orientation, rig: Rig, position: Position) -> Spans:
        """Return when spraying itself is possible: some crew, the rig and the position are free.

        Start-up, the first zone change and clean-up are taken off every stretch.  Stretches of
        different crews are joined, so the result is an outer limit, not a promise.
        """
        place = self.access.position_open(position)
        key = (orientation, rig.rig_id, place)
        if key not in self._working:
            lead = rig.start_up_min + self.campaign.rules.zone_change_min
            free = self.access.rig_open(rig) & place
            found: list[tuple[int, int]] = []
            for crew in self.campaign.crews:
                if (
                    crew.kind is not CrewKind.SPRAY
                    or (crew.processes and rig.process not in crew.processes)
                    or (crew.orientations and orientation not in crew.orientations)
                ):
                    continue
                hours = self.access.crew_open(crew) & free
                hours -= barred(self.access, self.campaign, crew, rig.process, orientation)
                for start, end in self.access.shifts(crew.shift_id):
                    for a, b in hours.clip(max(start, self.campaign.start_min), end):
                        found.append((a + lead, b - rig.clean_up_min))
            self._working[key] = Spans(found)
        return self._working[key]
