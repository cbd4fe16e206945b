"""What has really been done."""

from __future__ import annotations

from collections.abc import Iterable
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


def left_m3(share_m3: float, rows: Iterable[Done]) -> float:
    """Return what is left of one layer after its rows of progress, never below nothing [m³].

    A row with ``left_m3`` says what is left at its time; a row without takes its ``done_m3`` off
    what was left before (contract, progress.csv).

    Parameters
    ----------
    share_m3
        The layer's share of the zone's volume [m³].
    rows
        Rows of that layer alone, in any order.
    """
    left = share_m3
    for row in sorted(rows, key=lambda row: row.at_min):
        left = left - row.done_m3 if row.left_m3 is None else row.left_m3
    return max(0.0, left)
