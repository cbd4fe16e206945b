"""A plan laid out for the audit: every row with the records it names."""

from __future__ import annotations

from collections.abc import Iterator

from planner.checks.closures import Closures
from planner.checks.gauge import Gauge
from planner.checks.hoses import Hose, Hoses
from planner.checks.openings import Opening, Openings
from planner.checks.quantities import (
    finishing_minutes,
    get_in_out,
    is_volume,
    placing_rate_m3_h,
)
from planner.checks.record import Record
from planner.checks.rows import Broken, Moved, Ran, Sprayed, Work, grouped, in_time
from planner.checks.shifts import Shifts
from planner.checks.violation import BREAK_OUTS, RELOCATIONS, RUNS, SPELLS, Place, place
from planner.model.campaign import Campaign
from planner.model.identifiers import CrewId, MixId, Orientation, ZoneId
from planner.model.mix import MixFace
from planner.plan.plan import Plan


class Case:
    """A campaign and a plan of it, ready for the rules.

    Rows that name something unknown, that end before they start, or that have no volume are left
    out; the structure check tells of them, and nothing is said of the sums of their zones.

    Parameters
    ----------
    campaign, plan
        What is audited.
    """

    def __init__(self, campaign: Campaign, plan: Plan) -> None:
        self.campaign = campaign
        self.plan = plan
        self.clock = campaign.clock
        self.rules = campaign.rules
        self.record = Record(campaign)
        self.shifts = Shifts(campaign)
        self.closures = Closures(campaign)
        self.gauge = Gauge(campaign)
        self.hoses = Hoses(campaign)
        self._openings = Openings(campaign, self.gauge, self.closures)
        self.zones = {zone.zone_id: zone for zone in campaign.zones}
        self.positions = {position.position_id: position for position in campaign.positions}
        self.rigs = {rig.rig_id: rig for rig in campaign.rigs}
        self.crews = {crew.crew_id: crew for crew in campaign.crews}
        self._faces = {(face.mix_id, face.orientation): face for face in campaign.mixes}
        self.mixes = {face.mix_id for face in campaign.mixes}
        self.runs = tuple(self._lay_out_runs())
        self.spells = tuple(self._lay_out_spells())
        self.moves = tuple(self._lay_out_moves())
        self.pieces = tuple(self._lay_out_pieces())
        self.spells_by_run = grouped(self.spells, lambda spell: spell.row.run)
        self.spells_by_zone = grouped(self.spells, lambda spell: spell.row.zone)
        self.pieces_by_zone = grouped(self.pieces, lambda piece: piece.row.zone)
        self.doubtful = self._doubtful_zones()
        self._opened: dict[Place, Opening] = {}

    def _lay_out_runs(self) -> Iterator[Ran]:
        seen: set[str] = set()
        for index, row in enumerate(self.plan.runs):
            rig, crew = self.rigs.get(row.rig), self.crews.get(row.crew)
            position = self.positions.get(row.position)
            is_known = row.mix in self.mixes and row.run not in seen
            seen.add(row.run)
            if rig and crew and position and is_known and row.start_min < row.end_min:
                yield Ran(place=place(RUNS, index), row=row, rig=rig, crew=crew, position=position)

    def _lay_out_spells(self) -> Iterator[Sprayed]:
        runs = {ran.row.run: ran for ran in self.runs}
        for index, row in enumerate(self.plan.spells):
            ran, zone = runs.get(row.run), self.zones.get(row.zone)
            is_made = row.start_min < row.end_min and is_volume(row.volume_m3)
            if ran and zone and is_made and not ran.is_panel:
                face = self.face(ran.row.mix, zone.orientation)
                yield Sprayed(place=place(SPELLS, index), row=row, ran=ran, zone=zone, face=face)

    def _lay_out_moves(self) -> Iterator[Moved]:
        for index, row in enumerate(self.plan.relocations):
            rig, crew = self.rigs.get(row.rig), self.crews.get(row.crew) if row.crew else None
            start, end = self.positions.get(row.from_position), self.positions.get(row.to_position)
            is_made = row.crew is None or crew is not None
            if rig and start and end and is_made and row.start_min < row.end_min:
                yield Moved(
                    place=place(RELOCATIONS, index),
                    row=row,
                    rig=rig,
                    crew=crew,
                    start=start,
                    end=end,
                )

    def _lay_out_pieces(self) -> Iterator[Broken]:
        for index, row in enumerate(self.plan.break_outs):
            crew, zone = self.crews.get(row.crew), self.zones.get(row.zone)
            is_made = row.start_min < row.end_min and is_volume(row.volume_m3)
            if crew and zone and is_made:
                yield Broken(place=place(BREAK_OUTS, index), row=row, crew=crew, zone=zone)

    def _doubtful_zones(self) -> frozenset[ZoneId]:
        """Return the zones of rows that were left out: nothing is said of their sums."""
        sound = {row.place for row in self.spells} | {row.place for row in self.pieces}
        named = [(place(SPELLS, k), row.zone) for k, row in enumerate(self.plan.spells)]
        named += [(place(BREAK_OUTS, k), row.zone) for k, row in enumerate(self.plan.break_outs)]
        return frozenset(zone for where, zone in named if where not in sound)

    @property
    def works(self) -> tuple[Work, ...]:
        """Return runs, relocations and break-out pieces together."""
        return (*self.runs, *self.moves, *self.pieces)

    def works_by_crew(self) -> dict[CrewId, list[Work]]:
        """Return what each crew does, in time order; the lifting gang is no crew."""
        found: dict[CrewId, list[Work]] = {}
        for work in in_time(self.works):
            if work.crew is not None:
                found.setdefault(work.crew.crew_id, []).append(work)
        return found

    def face(self, mix_id: MixId, orientation: Orientation) -> MixFace | None:
        """Return a mix on an orientation; None: it is not sprayed so."""
        return self._faces.get((mix_id, orientation))

    def is_planned(self, zone_id: ZoneId) -> bool:
        """Return whether the plan sprays a zone."""
        return zone_id in self.spells_by_zone

    def hose(self, spell: Sprayed) -> Hose | None:
        """Return the hose run of a spell; None: there is no way."""
        return self.hoses.run(spell.ran.position, spell.zone, spell.ran.rig)

    def rate_m3_h(self, spell: Sprayed) -> float | None:
        """Return the placing rate of a spell [m³/h]; None: it cannot be sprayed at all."""
        hose = self.hose(spell)
        if hose is None or spell.face is None:
            return None
        return placing_rate_m3_h(spell.ran.rig, spell.face, hose.equivalent_m)

    def finishing_min(self, spell: Sprayed) -> int:
        """Return the minutes of finishing that follow a spell: only a zone's last has any."""
        last = max(self.spells_by_zone[spell.row.zone], key=lambda one: one.end_min)
        if spell.face is None or last is not spell:
            return 0
        return finishing_minutes(spell.zone, spell.face)

    def opening(self, work: Sprayed | Broken) -> Opening:
        """Return the window around a spell or a break-out piece."""
        found = self._opened.get(work.place)
        if found is None:
            get_in, get_out = get_in_out(work.zone, self.rules)
            is_spell = isinstance(work, Sprayed)
            found = self._openings.around(
                work.zone,
                work.start_min,
                work.end_min,
                before_min=get_in + (self.rules.zone_change_min if is_spell else 0),
                after_min=get_out + (self.finishing_min(work) if isinstance(work, Sprayed) else 0),
            )
            self._opened[work.place] = found
        return found

    def text(self, minute: int) -> str:
        """Return a campaign minute for people: local date and time, to the minute, and offset."""
        return self.clock.local(minute).isoformat(sep=" ", timespec="minutes")
