"""What the figures of one plan share: its campaign, windows, water, and looks of positions."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from functools import reduce

import numpy as np

from planner.access.level import LevelSource, source_for
from planner.access.windows import Access
from planner.core.spans import Span, Spans
from planner.model.campaign import Campaign
from planner.model.identifiers import CrewKind, PositionId, RigId, ZoneId
from planner.model.water import WaterKind
from planner.model.zone import Zone
from planner.plan.plan import Plan, Run, Spell
from planner.reports.day_rows import HOURS, DayRows, rows_for
from planner.reports.labels import Look, looks

SAMPLE_MIN = 10
"""Step of a drawn water curve; it is for looking, windows are computed elsewhere [min]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """One plan with everything that is needed to draw it.

    Attributes
    ----------
    campaign, plan
        What is drawn.
    rows
        The days of the campaign as rows.
    looks
        A look for each set-up position that the plan uses.
    spells_of
        The spells of each run, in time order.
    zones
        Zones by identifier.
    access
        Windows of the zones.
    """

    campaign: Campaign
    plan: Plan
    rows: DayRows
    looks: dict[PositionId, Look]
    spells_of: dict[str, list[Spell]]
    zones: dict[ZoneId, Zone]
    access: Access

    def runs_of(self, rig: RigId) -> list[Run]:
        """Return the runs of a rig in time order."""
        found = [run for run in self.plan.runs if run.rig == rig]
        return sorted(found, key=lambda run: run.start_min)

    def zones_of(self, rig: RigId) -> list[Zone]:
        """Return the zones that a rig sprays in this plan, in table order."""
        mine = {spell.zone for spell in self.plan.spells if spell.rig == rig}
        return [zone for zone in self.campaign.zones if zone.zone_id in mine]

    def any_open(self, zones: Iterable[Zone]) -> Spans:
        """Return the minutes in which at least one of some zones has a window."""
        kinds = dict.fromkeys(self.access.windows(zone) for zone in zones)
        return Spans([pair for spans in kinds for pair in spans])

    def all_open(self, zones: Iterable[Zone]) -> Spans:
        """Return the minutes in which every height of face among some zones has a window.

        Zones with the same highest working level are one height; one of them is enough, so
        that a closed berth or section does not blank the rest.
        """
        heights: defaultdict[float | None, list[Zone]] = defaultdict(list)
        for zone in zones:
            heights[zone.water_max_m].append(zone)
        opened = [self.any_open(group) for group in heights.values()]
        return reduce(lambda one, other: one & other, opened) if opened else Spans()

    def on_shift(self, rig: RigId) -> Spans:
        """Return the minutes in which a crew that may serve a rig is on shift and on site."""
        process = next(row.process for row in self.campaign.rigs if row.rig_id == rig)
        found: list[Span] = []
        for crew in self.campaign.crews:
            if crew.kind is CrewKind.SPRAY and (not crew.processes or process in crew.processes):
                hours = Spans(self.access.shifts(crew.shift_id)) & self.access.crew_open(crew)
                found += list(hours)
        return Spans(found)

    def hours_shown(self) -> tuple[float, float]:
        """Return the hours of a row in which anything may happen, to even hours outwards [h]."""
        work = [(row.start_min, row.end_min) for row in self.plan.runs]
        work += [(row.start_min, row.end_min) for row in self.plan.relocations]
        work += [span for rig in self.campaign.rigs for span in self.on_shift(rig.rig_id)]
        pieces = [piece for start, end in work for piece in self.rows.pieces(start, end)]
        if not pieces:
            return 0.0, float(HOURS)
        low = min(piece.start_h for piece in pieces) - 0.5
        high = max(piece.end_h for piece in pieces) + 0.5
        return max(0.0, 2.0 * (low // 2)), min(float(HOURS), 2.0 * -(-high // 2))

    def short(self, zone: ZoneId) -> str:
        """Return a zone's name, without its section where the name begins with it."""
        section = self.zones[zone].section
        if section and str(zone).startswith(f"{section}-"):
            return str(zone)[len(section) + 1 :]
        return str(zone)

    def has_water(self) -> bool:
        """Return whether the campaign knows a water level."""
        return self.campaign.water.kind is not WaterKind.NONE

    def levels(self, section: str | None, start: int, end: int) -> tuple[list[int], list[float]]:
        """Return minutes and water levels of a stretch, for drawing [min, m]."""
        source: LevelSource | None = source_for(self.campaign, section)
        if source is None:
            return [], []
        minutes = np.append(np.arange(start, end, SAMPLE_MIN, dtype=np.float64), float(end))
        level_m = source.level_m(minutes)
        return [round(minute) for minute in minutes], [float(value) for value in level_m]

    def used_positions(self) -> list[PositionId]:
        """Return the set-up positions that the plan uses, in table order."""
        return list(self.looks)


def scene_of(campaign: Campaign, plan: Plan) -> Scene:
    """Return the scene of a plan."""
    used = {run.position for run in plan.runs}
    used |= {move.from_position for move in plan.relocations}
    used |= {move.to_position for move in plan.relocations}
    spells_of: dict[str, list[Spell]] = {run.run: [] for run in plan.runs}
    for spell in sorted(plan.spells, key=lambda row: row.start_min):
        spells_of[spell.run].append(spell)
    return Scene(
        campaign=campaign,
        plan=plan,
        rows=rows_for(campaign.clock, plan),
        looks=looks(row.position_id for row in campaign.positions if row.position_id in used),
        spells_of=spells_of,
        zones={zone.zone_id: zone for zone in campaign.zones},
        access=Access(campaign),
    )
