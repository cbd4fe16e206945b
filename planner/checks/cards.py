"""The cards of rule 4: who may spray a process on an orientation, day by day."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from planner.checks.case import Case
from planner.checks.rows import Ran
from planner.checks.violation import Violation
from planner.model.identifiers import Orientation


def without_cards(case: Case, ran: Ran, ways: set[Orientation]) -> Iterator[Violation]:
    """Yield each orientation of a run for which too few of its crew hold a valid card.

    They must be valid on every civil day that the run's shift touches.  A run outside every
    shift is held against its own days.
    """
    if not case.campaign.cards:
        return
    shifts = case.shifts.touched(ran.crew.shift_id, ran.start_min, ran.end_min)
    start = min((low for low, _ in shifts), default=ran.start_min)
    end = max((high for _, high in shifts), default=ran.end_min)
    least = case.rules.cards_min
    for way in sorted(ways):
        day, last = case.clock.day(start), case.clock.day(end - 1)
        while day <= last:
            held = _holders(case, ran, way, day)
            if held < least:
                yield ran.place.breaks(
                    4,
                    f"Crew {ran.row.crew} of run {ran.row.run} sprays {ran.rig.process} {way}; on "
                    f"{day}, which its shift touches, {held} of its people "
                    f"{'hold' if held != 1 else 'holds'} a valid card for it, and {least} must.",
                    least - held,
                )
                break
            day += timedelta(days=1)


def _holders(case: Case, ran: Ran, way: Orientation, day: date) -> int:
    """Return how many people of a run's crew hold a card that is valid on a day."""
    morning, night = case.clock.day_start(day), case.clock.day_end(day)
    return len(
        {
            card.person
            for card in case.campaign.cards
            if card.crew_id == ran.row.crew
            and card.process is ran.rig.process
            and (card.orientation is None or card.orientation is way)
            and (card.from_min is None or card.from_min <= morning)
            and (card.to_min is None or card.to_min >= night)
        }
    )
