"""What progress.csv says is really done, and what that leaves."""

from __future__ import annotations

from collections import defaultdict

from planner.checks.quantities import in_place_m3, layer_count
from planner.model.campaign import Campaign
from planner.model.identifiers import CrewId, Orientation, PositionId, Process, RigId, ZoneId
from planner.model.mix import MixFace
from planner.model.progress import Done
from planner.model.zone import Zone

NOTHING_M3 = 1e-6  # a cubic centimetre: what rounding may leave of a finished layer


class Record:
    """The progress of a campaign, row by row in the order of time.

    Parameters
    ----------
    campaign
        Campaign whose ``done`` rows are read.
    """

    def __init__(self, campaign: Campaign) -> None:
        self._campaign = campaign
        self._rows: dict[ZoneId, list[Done]] = defaultdict(list)
        self._stands: dict[RigId, PositionId] = {}
        for row in sorted(campaign.done, key=lambda row: row.at_min):
            self._rows[row.zone_id].append(row)
            if row.rig_id is not None and row.position_id is not None:
                self._stands[row.rig_id] = row.position_id

    def has(self, zone_id: ZoneId) -> bool:
        """Return whether anything is recorded for a zone; it then counts as broken out."""
        return zone_id in self._rows

    def left_m3(self, zone: Zone, face: MixFace) -> tuple[float, ...]:
        """Return what is left to spray in each layer [m³].

        A row with ``left_m3`` says what is left after it; a row without takes its ``done_m3``
        off what was left before.  A cubic centimetre is nothing.
        """
        count = layer_count(zone, face)
        share = in_place_m3(zone, self._campaign.rules) / count
        left = [share] * count
        for row in self._rows.get(zone.zone_id, ()):
            if 1 <= row.layer <= count:
                before = left[row.layer - 1] - row.done_m3
                left[row.layer - 1] = before if row.left_m3 is None else row.left_m3
        return tuple(0.0 if volume <= NOTHING_M3 else volume for volume in left)

    def faces(self, zone: Zone) -> list[MixFace]:
        """Return every mix that could stand on a zone, in table order."""
        kept = self.processes(zone.zone_id)
        return [
            face
            for face in self._campaign.mixes
            if face.orientation is zone.orientation
            and (not zone.mixes or face.mix_id in zone.mixes)
            and (not kept or face.process in kept)
        ]

    def is_finished(self, zone: Zone) -> bool:
        """Return whether nothing is left to spray, by one at least of the mixes it may have."""
        if not self.has(zone.zone_id):
            return False
        return any(sum(self.left_m3(zone, face)) <= 0.0 for face in self.faces(zone))

    def left_range_m3(self, zone: Zone) -> tuple[float, float]:
        """Return the least and most that may be left, over the mixes it may have [m³].

        The layers, and so what is left beside a layer with ``left_m3``, depend on the mix.
        """
        whole = in_place_m3(zone, self._campaign.rules)
        if not self.has(zone.zone_id):
            return whole, whole
        sums = [sum(self.left_m3(zone, face)) for face in self.faces(zone)] or [whole]
        return min(sums), max(sums)

    def layer_at(self, zone: Zone, face: MixFace, layer: int) -> int | None:
        """Return when a layer was last worked on [min]; None: it is not begun."""
        rows = [row for row in self._rows.get(zone.zone_id, ()) if row.layer == layer]
        left = self.left_m3(zone, face)
        share = in_place_m3(zone, self._campaign.rules) / len(left)
        if not rows or not 1 <= layer <= len(left) or left[layer - 1] >= share - NOTHING_M3:
            return None
        return rows[-1].at_min

    def last_at(self, zone_id: ZoneId) -> int | None:
        """Return when a zone was last worked on [min]; None: never."""
        return max((row.at_min for row in self._rows.get(zone_id, ())), default=None)

    def stands_at(self, rig_id: RigId) -> PositionId | None:
        """Return where the latest row leaves a rig; None: no row says."""
        return self._stands.get(rig_id)

    def processes(self, zone_id: ZoneId) -> frozenset[Process]:
        """Return the processes of the rigs that have sprayed a zone; empty: not recorded."""
        rigs = {row.rig_id for row in self._rows.get(zone_id, ())}
        return frozenset(rig.process for rig in self._campaign.rigs if rig.rig_id in rigs)

    def has_sprayed(self, crew_id: CrewId, process: Process, orientation: Orientation) -> bool:
        """Return whether a crew has already sprayed so; its panel then lies behind it."""
        ways = {zone.zone_id: zone.orientation for zone in self._campaign.zones}
        return any(
            row.crew_id == crew_id
            and ways.get(row.zone_id) is orientation
            and process in self.processes(row.zone_id)
            for row in self._campaign.done
        )
