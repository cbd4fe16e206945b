"""When cards let a crew spray: whole shifts, by process and orientation (docs/rules.md, rule 4).

Without any card in the scenario nothing is limited.  With cards, a spray crew may spray a
process on an orientation in a shift only if, on every civil day which that shift touches, at
least ``rules.cards_min`` of its people hold a valid card for it.  A card that ends at midnight
in the middle of a night shift so does not count for that night: nobody plans half a shift for
somebody who must then put the nozzle down.
"""

from __future__ import annotations

from itertools import pairwise

from planner.access.windows import Access
from planner.core.spans import Span, Spans
from planner.model.campaign import Campaign
from planner.model.card import Card
from planner.model.crew import Crew
from planner.model.identifiers import Orientation, Process


def covered(campaign: Campaign, crew: Crew, process: Process, orientation: Orientation) -> Spans:
    """Return the civil days of the campaign on which enough of a crew's people hold a card.

    Everything, where the scenario has no cards [min].
    """
    whole = Spans.whole(0, campaign.clock.horizon_min)
    if not campaign.cards:
        return whole
    people: dict[str, list[Span]] = {}
    for card in campaign.cards:
        if card.crew_id == crew.crew_id and card.covers(process, orientation):
            people.setdefault(card.person, []).append(_valid(card, campaign))
    return _held_by(campaign.rules.cards_min, [Spans(spans) for spans in people.values()])


def _valid(card: Card, campaign: Campaign) -> Span:
    horizon = campaign.clock.horizon_min
    start = 0 if card.from_min is None else max(0, card.from_min)
    return start, horizon if card.to_min is None else min(horizon, card.to_min)


def _held_by(least: int, people: list[Spans]) -> Spans:
    """Return the minutes that at least so many of several sets hold."""
    edges = sorted({edge for spans in people for pair in spans for edge in pair})
    return Spans(
        (a, b) for a, b in pairwise(edges) if sum(spans.touches(a, b) for spans in people) >= least
    )


def barred(
    access: Access, campaign: Campaign, crew: Crew, process: Process, orientation: Orientation
) -> Spans:
    """Return the shifts in which cards keep a crew from spraying so [min]."""
    if not campaign.cards:
        return Spans()
    days = covered(campaign, crew, process, orientation)
    return Spans(
        shift for shift in access.shifts(crew.shift_id) if not days.covers(shift[0], shift[1])
    )
