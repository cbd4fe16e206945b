"""A plan laid out for questions: who is where when, and what each row hangs on."""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from functools import cached_property

from planner.access.closures import Closures, Target
from planner.access.windows import Access
from planner.core.spans import Spans
from planner.model.campaign import Campaign
from planner.model.identifiers import (
    CrewId,
    CrewKind,
    Orientation,
    PositionId,
    Process,
    RigId,
    ZoneId,
)
from planner.model.limits import ClosureScope
from planner.model.mix import MixFace
from planner.model.zone import Zone
from planner.options.cards import barred
from planner.plan.plan import BreakOut, Plan, Relocation, Run, RunKind, Spell
from planner.plan.sharing import in_use
from planner.reach.hoses import Reach
from planner.trade.quantities import finish_minutes

Work = Run | Relocation | BreakOut


class Ground:
    """A campaign and one of its plans, indexed; everything is worked out when first asked for.

    Parameters
    ----------
    campaign, plan
        A valid plan of the campaign; what is said of one that breaks rules may be wrong.
    """

    def __init__(self, campaign: Campaign, plan: Plan) -> None:
        self.campaign = campaign
        self.plan = plan
        self.clock = campaign.clock
        self.rules = campaign.rules
        self.access = Access(campaign)
        self.reach = Reach(campaign)
        self.zones = {row.zone_id: row for row in campaign.zones}
        self.rigs = {row.rig_id: row for row in campaign.rigs}
        self.crews = {row.crew_id: row for row in campaign.crews}
        self.positions = {row.position_id: row for row in campaign.positions}
        self.runs = {run.run: run for run in plan.runs}
        self.faces = {(row.mix_id, row.orientation): row for row in campaign.mixes}
        self.closures = Closures(campaign.closures, campaign.clock)
        self._barred: dict[tuple[CrewId, Process, Orientation], Spans] = {}

    @property
    def whole(self) -> Spans:
        """Return the time in which a plan may place work [min]."""
        return Spans.whole(self.campaign.start_min, self.clock.horizon_min)

    @cached_property
    def spells_of_run(self) -> dict[str, list[Spell]]:
        """Return the spells of each run in time order."""
        found: dict[str, list[Spell]] = {run.run: [] for run in self.plan.runs}
        for spell in sorted(self.plan.spells, key=lambda row: row.start_min):
            found.setdefault(spell.run, []).append(spell)
        return found

    @cached_property
    def spells_of_zone(self) -> dict[ZoneId, list[Spell]]:
        """Return the spells of each zone in time order."""
        found: defaultdict[ZoneId, list[Spell]] = defaultdict(list)
        for spell in sorted(self.plan.spells, key=lambda row: row.start_min):
            found[spell.zone].append(spell)
        return found

    @cached_property
    def broken_out_of(self) -> dict[ZoneId, list[BreakOut]]:
        """Return the break-out pieces of each zone in time order."""
        found: defaultdict[ZoneId, list[BreakOut]] = defaultdict(list)
        for piece in sorted(self.plan.break_outs, key=lambda row: row.start_min):
            found[piece.zone].append(piece)
        return found

    @cached_property
    def work_of_rig(self) -> dict[RigId, list[Run | Relocation]]:
        """Return the runs and relocations of each rig in time order."""
        found: defaultdict[RigId, list[Run | Relocation]] = defaultdict(list)
        rows: list[Run | Relocation] = [*self.plan.runs, *self.plan.relocations]
        for row in sorted(rows, key=lambda row: row.start_min):
            found[row.rig].append(row)
        return found

    @cached_property
    def work_of_crew(self) -> dict[CrewId, list[Work]]:
        """Return what each crew does, in time order."""
        found: defaultdict[CrewId, list[Work]] = defaultdict(list)
        rows: list[Work] = [*self.plan.runs, *self.plan.relocations, *self.plan.break_outs]
        for row in sorted(rows, key=lambda row: row.start_min):
            if row.crew is not None:
                found[row.crew].append(row)
        return found

    def crew_work_near(self, crew: CrewId, start: int, end: int) -> list[Work]:
        """Return the work of a crew that touches ``[start, end)``; its work never overlaps."""
        rows = self.work_of_crew.get(crew, [])
        first = bisect_left(rows, start, key=lambda row: row.end_min)
        found = []
        for row in rows[first:]:
            if row.start_min >= end:
                break
            if row.end_min > start:
                found.append(row)
        return found

    @cached_property
    def panels(self) -> dict[tuple[CrewId, str, Orientation], Run]:
        """Return the first panel of each crew, mix and orientation."""
        found: dict[tuple[CrewId, str, Orientation], Run] = {}
        for run in sorted(self.plan.runs, key=lambda row: row.end_min):
            if run.kind is RunKind.PANEL and run.orientation is not None:
                found.setdefault((run.crew, run.mix, run.orientation), run)
        return found

    def face(self, spell: Spell) -> MixFace | None:
        """Return the mix of a spell on the face of its zone."""
        run = self.runs[spell.run]
        return self.faces.get((run.mix, self.zones[spell.zone].orientation))

    def finish_after(self, spell: Spell) -> int:
        """Return the trimming after a spell; only a zone's last has any [min]."""
        face = self.face(spell)
        if face is None or self.spells_of_zone[spell.zone][-1] != spell:
            return 0
        return finish_minutes(self.zones[spell.zone], face)

    def get_in_min(self, zone: Zone) -> int:
        """Return how long people take to get to a face [min]."""
        return self.rules.get_in_min if zone.get_in_min is None else zone.get_in_min

    def closed(self, scope: ClosureScope, target: str, minute: int) -> str | None:
        """Return in words which closure of a target holds at a minute; None: none does."""
        key: Target = (scope, target)
        for shut in self.closures.rows(key):
            if minute in shut.spans:
                what = "the site" if scope is ClosureScope.SITE else f"{scope} {target}"
                return f"{what} is closed" + (f" ({shut.why})" if shut.why else "")
        return None

    def spray_crews(self, rig: RigId) -> list[CrewId]:
        """Return the crews that may serve a rig, in table order."""
        process = self.rigs[rig].process
        return [
            crew.crew_id
            for crew in self.campaign.crews
            if crew.kind is CrewKind.SPRAY and (not crew.processes or process in crew.processes)
        ]

    def crew_hours(self, crew_id: CrewId) -> Spans:
        """Return when a crew is on site and on shift [min]; shifts that touch are joined."""
        crew = self.crews[crew_id]
        return Spans(self.access.shifts(crew.shift_id)) & self.access.crew_open(crew)

    def barred(self, crew_id: CrewId, process: Process, way: Orientation) -> Spans:
        """Return the shifts in which cards keep a crew from spraying so (rule 4) [min]."""
        key = (crew_id, process, way)
        if key not in self._barred:
            crew = self.crews[crew_id]
            self._barred[key] = barred(self.access, self.campaign, crew, process, way)
        return self._barred[key]

    @cached_property
    def in_use(self) -> dict[tuple[str, str], Spans]:
        """Return when each zone, position, rig and crew is in use (rule 16) [min]."""
        found = in_use(self.campaign, self.plan)
        return {(kind, str(name)): Spans(spans) for (kind, name), spans in found.items()}

    @cached_property
    def last_done(self) -> dict[ZoneId, int]:
        """Return when each zone of progress.csv was last worked on [min]."""
        found: dict[ZoneId, int] = {}
        for row in self.campaign.done:
            found[row.zone_id] = max(row.at_min, found.get(row.zone_id, 0))
        return found

    def stands_at(self, rig_id: RigId, minute: int) -> PositionId | None:
        """Return where a rig stands at a minute, or where it first will; None: nowhere."""
        at = self._starts_at(rig_id)
        for row in self.work_of_rig.get(rig_id, ()):
            if isinstance(row, Relocation):
                if row.start_min > minute:
                    return at or row.from_position
                at = row.to_position
            elif row.start_min > minute and at is not None:
                return at
            else:
                at = row.position
                if row.start_min > minute:
                    return at
        return at

    def _starts_at(self, rig_id: RigId) -> PositionId | None:
        rows = [
            row
            for row in self.campaign.done
            if row.rig_id == rig_id and row.position_id is not None
        ]
        if rows:
            return max(rows, key=lambda row: row.at_min).position_id
        return self.rigs[rig_id].at
