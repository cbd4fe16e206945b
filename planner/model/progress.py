"""What has really been done."""

from __future__ import annotations

from dataclasses import dataclass

from planner.model.identifiers import CrewId, PositionId, RigId, ZoneId


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """One row of progress.csv.

    Attributes
    ----------
    zone_id, layer
        Zone, and layer counted from 1.
    done_m3, left_m3
        In-place volume done; given: what is really left in that layer [m³].
    at_min
        When it was done [min].
    rig_id, crew_id, position_id
        By whom and from where; None where not recorded.
    """

    zone_id: ZoneId
    layer: int
    done_m3: float
    left_m3: float | None = None
    at_min: int
    rig_id: RigId | None = None
    crew_id: CrewId | None = None
    position_id: PositionId | None = None
