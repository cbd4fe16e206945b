"""What a planner has fixed by hand before the search: who sprays a zone, from where, when."""

from __future__ import annotations

from dataclasses import dataclass

from planner.model.identifiers import PositionId, RigId, ZoneId


@dataclass(frozen=True, slots=True, kw_only=True)
class Lock:
    """One row of locks.csv.

    Attributes
    ----------
    zone_id
        Zone that is tied down.
    rigs, positions
        Rigs that may spray it, and positions from which; empty: any.
    from_min, to_min
        Stretch in which it may be worked at, break-out included [min]; None: any time.  The
        reader turns it into closures of the zone, so that everybody keeps it.
    why
        Reason, for people.
    """

    zone_id: ZoneId
    rigs: tuple[RigId, ...] = ()
    positions: tuple[PositionId, ...] = ()
    from_min: int | None = None
    to_min: int | None = None
    why: str = ""

    def allows(self, rig: RigId, position: PositionId) -> bool:
        """Return whether a rig at a position may spray the zone."""
        return (not self.rigs or rig in self.rigs) and (
            not self.positions or position in self.positions
        )
