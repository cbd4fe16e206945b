"""Small sprayings and quality figures for the tests of the quality plan."""

from __future__ import annotations

from typing import Any

from planner.model.identifiers import CrewId, MixId, Orientation, ZoneId
from planner.model.quality import Quality
from planner.trade.quality_trial import Placed

DAY = 24 * 60


def placed(day: int = 0, /, volume_m3: float = 2.0, **changes: Any) -> Placed:
    """Crew C1 sprays 2 m³ of mix dry overhead in zone Z1 from 08:00 to 09:00 of a day."""
    fields: dict[str, Any] = {
        "crew": CrewId("C1"),
        "mix": MixId("dry"),
        "orientation": Orientation.OVERHEAD,
        "zone": ZoneId("Z1"),
        "layer": 1,
        "start_min": day * DAY + 480,
        "end_min": day * DAY + 540,
        "day": f"2026-03-{day + 2:02d}",
        "volume_m3": volume_m3,
    }
    return Placed(**(fields | changes))


def quality(**changes: Any) -> Quality:
    """f'c 40 MPa, all else by default."""
    return Quality(**({"strength_mpa": 40.0} | changes))
