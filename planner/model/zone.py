"""A repair zone: one patch of concrete to be replaced."""

from __future__ import annotations

from dataclasses import dataclass

from planner.core.quantities import in_place_m3
from planner.model.identifiers import MixId, Orientation, ZoneId
from planner.model.resource import Need


@dataclass(frozen=True, slots=True, kw_only=True)
class Zone:
    """One zone of the defect survey (contract, zones.csv).

    Attributes
    ----------
    zone_id
        Identifier.
    x_m, y_m, z_m
        Place in site coordinates, z above site datum [m].
    area_m2, depth_mm
        Surface and mean depth of the repair [m², mm]; None where only a volume is given.
    volume_m3
        In-place volume as given [m³]; None: worked out from area and depth with overbreak.
    surveyed_m3
        In-place volume by the survey, where break-out found another [m³]; the volumes above are
        then the found ones.  None: nothing was measured anew.
    orientation
        Which way the face looks.
    water_max_m, water_min_m
        People can work while the water lies between these levels [m]; None: no such limit.
    wets_at_m
        Water at or above this level reaches the fresh surface [m]; None: never.
    mixes
        Mixes allowed; empty: any.
    joint_allowed
        Whether a layer may be sprayed in several spells.
    after
        Zones that must be complete first.
    ready_from_min
        Neither spraying nor break-out before this minute [min]; None: from the start.
    due_min
        End of the day on which the zone is due [min]; None: no due date.
    priority
        1 is planned first.
    get_in_min, get_out_min
        Minutes lost at each end of a window [min]; None: as the rules say.
    section
        Grouping; id in sewer.csv or levels.csv where those are used.
    chainage_m, clock_from, clock_to
        Place on a wall or pipe, looking downstream, for charts [m, h, h].
    broken_out
        Whether the zone is already broken out.
    needs
        Resources it takes while it is worked on (rule 16).
    closed_space
        Whether the face lies in a closed space; every zone of a live sewer does.
    """

    zone_id: ZoneId
    x_m: float
    y_m: float
    z_m: float
    area_m2: float | None = None
    depth_mm: float | None = None
    volume_m3: float | None = None
    orientation: Orientation
    water_max_m: float | None = None
    water_min_m: float | None = None
    wets_at_m: float | None = None
    mixes: tuple[MixId, ...] = ()
    joint_allowed: bool = False
    after: tuple[ZoneId, ...] = ()
    ready_from_min: int | None = None
    due_min: int | None = None
    priority: int = 1
    get_in_min: int | None = None
    get_out_min: int | None = None
    section: str | None = None
    chainage_m: float | None = None
    clock_from: float | None = None
    clock_to: float | None = None
    broken_out: bool = False
    surveyed_m3: float | None = None
    needs: tuple[Need, ...] = ()
    closed_space: bool = False

    def in_place_m3(self, overbreak: float) -> float:
        """Return the volume in place, progress not taken off [m³].

        The volume given, or area x depth x (1 + overbreak) (contract, section 3).

        Raises
        ------
        ValueError
            If the zone has neither a volume nor both an area and a depth.
        """
        if self.volume_m3 is not None:
            return self.volume_m3
        if self.area_m2 is None or self.depth_mm is None:
            msg = f"zone {self.zone_id} needs volume_m3, or both area_m2 and depth_mm"
            raise ValueError(msg)
        return in_place_m3(area_m2=self.area_m2, depth_mm=self.depth_mm, overbreak=overbreak)
