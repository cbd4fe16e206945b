"""What a new plan changes of an old one: the measure that a re-plan keeps small.

The *open* spells of the old plan are those that begin at or after "now" and whose layer is not
recorded as done.  ``changes`` counts the open spells that the new plan does not have with the
same zone, layer, rig and start, and the relocations that the new plan has beyond the old one's:
each relocation of a rig to a position is set against one of the same rig to the same position
that the old plan begins at or after "now".
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from planner.core.quantities import layer_count
from planner.model.campaign import Campaign
from planner.model.identifiers import MixId, RigId, ZoneId
from planner.model.progress import left_m3
from planner.model.zone import Zone
from planner.plan.plan import Plan, Relocation, Spell

__all__ = ["Baseline", "Changes", "Key", "key_of", "open_spells"]

Key = tuple[ZoneId, int, RigId, int]

NOTHING_LEFT_M3 = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Changes:
    """Old spells that do not stay, and relocations that come on top."""

    moved: tuple[Spell, ...]
    added: tuple[Relocation, ...]

    @property
    def count(self) -> int:
        """Return the value of the goal ``changes`` [1]."""
        return len(self.moved) + len(self.added)


def key_of(spell: Spell) -> Key:
    """Return what a spell is known by in two plans: zone, layer, rig, start."""
    return spell.zone, spell.layer, spell.rig, spell.start_min


def open_spells(campaign: Campaign, before: Plan, now_min: int) -> tuple[Spell, ...]:
    """Return the spells of an old plan that are still to come, of layers not yet done."""
    zones = {zone.zone_id: zone for zone in campaign.zones}
    mixes = {run.run: run.mix for run in before.runs}
    return tuple(
        spell
        for spell in before.spells
        if spell.start_min >= now_min
        and spell.zone in zones
        and _is_left(campaign, zones[spell.zone], spell.layer, mixes.get(spell.run))
    )


class Baseline:
    """An old plan from "now" on, that new plans are held against."""

    def __init__(self, campaign: Campaign, before: Plan, now_min: int) -> None:
        self.open = open_spells(campaign, before, now_min)
        self.moves = Counter(
            (row.rig, row.to_position) for row in before.relocations if row.start_min >= now_min
        )

    def of(self, after: Plan) -> Changes:
        """Return what a new plan changes."""
        kept = Counter(key_of(spell) for spell in after.spells)
        moved = []
        for spell in self.open:
            if kept[key_of(spell)] > 0:
                kept[key_of(spell)] -= 1
            else:
                moved.append(spell)
        known = Counter(self.moves)
        added = []
        for row in after.relocations:
            if known[row.rig, row.to_position] > 0:
                known[row.rig, row.to_position] -= 1
            else:
                added.append(row)
        return Changes(moved=tuple(moved), added=tuple(added))


def _is_left(campaign: Campaign, zone: Zone, layer: int, mix: MixId | None) -> bool:
    rows = [row for row in campaign.done if row.zone_id == zone.zone_id and row.layer == layer]
    if not rows:
        return True
    counts = [
        layer_count(zone.depth_mm, face.layer_max_mm)
        for face in campaign.mixes
        if face.orientation is zone.orientation and mix in (None, face.mix_id)
    ]
    share_m3 = zone.in_place_m3(campaign.rules.overbreak) / max([1, *counts])
    return left_m3(share_m3, rows) > NOTHING_LEFT_M3
