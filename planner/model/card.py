"""Cards: which person may spray which process on which orientation, and until when."""

from __future__ import annotations

from dataclasses import dataclass

from planner.model.identifiers import CrewId, Orientation, Process


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """One card of one person of a crew: a row of cards.csv.

    Attributes
    ----------
    crew_id, person
        Crew the person sprays with, and the person's name or number on site.
    process, orientation
        What the card covers; orientation None: every one.
    from_min, to_min
        Valid in ``[from_min, to_min)``, whole civil days [min]; may reach beyond the campaign;
        None: no such end.
    """

    crew_id: CrewId
    person: str
    process: Process
    orientation: Orientation | None = None
    from_min: int | None = None
    to_min: int | None = None

    def covers(self, process: Process, orientation: Orientation) -> bool:
        """Return whether the card is for a process on an orientation, whatever the day."""
        return self.process is process and self.orientation in (None, orientation)
