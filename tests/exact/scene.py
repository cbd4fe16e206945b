"""A campaign on a grid: everything that does not depend on a rig, in grid steps."""

from dataclasses import dataclass
from functools import cached_property

from planner.model.campaign import Campaign
from planner.model.crew import Crew
from planner.model.identifiers import CrewId, CrewKind, MixId, PositionId, ZoneId
from planner.model.mix import MixFace
from planner.model.zone import Zone
from tests.exact import quantities
from tests.exact.calendar import Calendar, Slots, Stretch

NIGHT_FROM_MIN, NIGHT_TO_MIN = 22 * 60, 6 * 60  # contract, section 5


class OffGridError(Exception):
    """A duration is not a whole number of grid steps."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """One zone with one mix."""

    zone: Zone
    face: MixFace
    layers: int
    finish: int
    protect_min: float


@dataclass(frozen=True)
class Scene:
    """A campaign on a grid."""

    campaign: Campaign
    grid: int

    @cached_property
    def calendar(self) -> Calendar:
        """Return what is open when."""
        return Calendar(self.campaign, self.grid)

    @cached_property
    def positions_open(self) -> dict[PositionId, Slots]:
        """Return the open slots of the positions."""
        return self.calendar.positions()

    @cached_property
    def windows(self) -> dict[ZoneId, list[Stretch]]:
        """Return the shortened windows of the zones."""
        return {z.zone_id: self.calendar.zone_windows(z) for z in self.campaign.zones}

    @cached_property
    def jobs(self) -> dict[tuple[ZoneId, MixId], Job]:
        """Return every zone with every mix it may use."""
        return {
            (zone.zone_id, face.mix_id): Job(
                zone=zone,
                face=face,
                layers=quantities.layers(zone, face),
                finish=self.steps(quantities.finish_min(zone, face), "trimming"),
                protect_min=0.0 if zone.wets_at_m is None else 60.0 * (face.protect_h or 0.0),
            )
            for zone in self.campaign.zones
            for face in quantities.faces(self.campaign, zone)
        }

    @cached_property
    def sprayers(self) -> list[Crew]:
        """Return the spray crews."""
        return [crew for crew in self.campaign.crews if crew.kind is CrewKind.SPRAY]

    @cached_property
    def crew_shifts(self) -> dict[CrewId, list[Stretch]]:
        """Return the shift occurrences of each crew."""
        return {c.crew_id: self.calendar.shifts(c.shift_id) for c in self.campaign.crews}

    @cached_property
    def crews_open(self) -> dict[CrewId, Slots]:
        """Return the open slots of each crew."""
        return {crew.crew_id: self.calendar.crew(crew) for crew in self.campaign.crews}

    @cached_property
    def gang_shifts(self) -> list[Stretch] | None:
        """Return the shifts of the lifting gang; None where spray crews relocate."""
        shift = self.campaign.rules.relocation_shift
        return None if shift is None else self.calendar.shifts(shift)

    def steps(self, minutes: float, what: str) -> int:
        """Return a duration in grid steps."""
        whole, rest = divmod(round(minutes, 6), self.grid)
        if rest:
            msg = f"{what}: {minutes} min is no multiple of {self.grid} min"
            raise OffGridError(msg)
        return int(whole)

    def hours(self, hours: float, what: str) -> int:
        """Return hours in grid steps."""
        return self.steps(60.0 * hours, what)

    def night(self, start: int, end: int) -> bool:
        """Return whether slots touch 22:00-06:00 local."""
        for slot in range(start, end):
            local = self.campaign.clock.local(slot * self.grid)
            minute = local.hour * 60 + local.minute
            if minute >= NIGHT_FROM_MIN or minute < NIGHT_TO_MIN:
                return True
            if minute + self.grid > NIGHT_FROM_MIN:
                return True
        return False

    def fits(self, job: Job, *, start: int, spray_from: int, end: int, last: bool) -> bool:
        """Return whether a spell suits the windows and the water of its zone (rules 1-3)."""
        zone = job.zone
        tail = job.finish if last else 0
        if not any(a <= start and end + tail <= b for a, b in self.windows[zone.zone_id]):
            return False
        if zone.ready_from_min is not None and spray_from * self.grid < zone.ready_from_min:
            return False
        dry = self.dry[zone.zone_id]
        return dry is None or any(
            a <= spray_from * self.grid and end * self.grid + job.protect_min <= b for a, b in dry
        )

    @cached_property
    def dry(self) -> dict[ZoneId, list[tuple[float, float]] | None]:
        """Return when fresh work in each zone stays dry [min]."""
        return {zone.zone_id: self.calendar.dry(zone) for zone in self.campaign.zones}

    def piece_steps(self, zone: Zone, whole: int) -> list[tuple[int, bool]]:
        """Return the lengths of the pieces of a layer, and whether a piece may be the last."""
        if not zone.joint_allowed:
            return [(whole, True)]
        least = min(whole, -(-self.campaign.rules.spell_min_min // self.grid))
        return [
            (length, last)
            for length in range(max(1, least), whole + 1)
            for last in (True, False)
            if last or length + least <= whole
        ]
