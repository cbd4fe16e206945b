"""Cards decide shift by shift what a crew may spray; the scene's shift is 06:00-18:00."""

from __future__ import annotations

from typing import Any

from planner.access.windows import Access
from planner.core.spans import Spans
from planner.model.card import Card
from planner.model.identifiers import CrewId, Orientation, Process, ZoneId
from planner.model.rules import Rules
from planner.options.build import Options
from planner.options.cards import barred, covered
from planner.options.reasons import why_unplanned
from planner.reach.hoses import Reach
from tests import builders as make

DAY = 24 * 60
WHOLE = Spans.whole(0, make.HORIZON_MIN)


def card(person: str = "N1", /, **changes: Any) -> Card:
    """Crew C1, dry, overhead, without an end."""
    fields: dict[str, Any] = {
        "crew_id": CrewId("C1"),
        "person": person,
        "process": Process.DRY,
        "orientation": Orientation.OVERHEAD,
    }
    return Card(**(fields | changes))


def days(*cards: Card, least: int = 1, way: Orientation = Orientation.OVERHEAD) -> Spans:
    """The days on which crew C1 may spray dry."""
    scene = make.campaign(cards=cards, rules=Rules(cards_min=least))
    return covered(scene, scene.crews[0], Process.DRY, way)


def shut(*cards: Card, **changes: Any) -> Spans:
    """The shifts in which crew C1 may not spray dry overhead."""
    scene = make.campaign(cards=cards, **changes)
    crew = scene.crews[0]
    return barred(Access(scene), scene, crew, Process.DRY, Orientation.OVERHEAD)


def test_without_any_card_nothing_is_limited():
    assert days() == WHOLE
    assert shut() == Spans()


def test_a_card_counts_from_its_first_day_to_its_last():
    assert days(card(from_min=2 * DAY, to_min=5 * DAY)) == Spans([(2 * DAY, 5 * DAY)])
    assert days(card(from_min=-9 * DAY)) == WHOLE


def test_a_card_counts_for_its_own_crew_process_and_orientation_only():
    assert days(card(crew_id=CrewId("C2"))) == Spans()
    assert days(card(process=Process.WET)) == Spans()
    assert days(card(), way=Orientation.FLOOR) == Spans()
    assert days(card(orientation=None), way=Orientation.FLOOR) == WHOLE


def test_the_number_asked_counts_people_not_cards():
    twice = (card("N1", to_min=4 * DAY), card("N1", from_min=3 * DAY))
    assert days(*twice, least=1) == WHOLE
    assert days(*twice, least=2) == Spans()
    assert days(*twice, card("N2", from_min=5 * DAY), least=2) == Spans(
        [(5 * DAY, make.HORIZON_MIN)]
    )


def test_shifts_after_the_last_day_of_the_card_are_barred():
    late = shut(card(to_min=12 * DAY))
    assert late == Spans([(12 * DAY + 360, 12 * DAY + 1080), (13 * DAY + 360, 13 * DAY + 1080)])


def test_a_night_shift_into_the_day_after_the_card_is_barred_whole():
    night = (make.shift(start_tod=22 * 60, end_tod=360),)
    # shifts begin on the eve at 22:00; the card ends with the first midnight
    found = shut(card(to_min=DAY), shifts=night)
    assert (0, 360) not in list(found)
    assert found.starts[0] == 22 * 60


def test_a_zone_that_no_card_covers_says_so():
    scene = make.campaign(cards=(card(orientation=Orientation.FLOOR),))
    options = Options(campaign=scene, access=Access(scene), reach=Reach(scene))
    assert options.by_zone[ZoneId("Z1")] == ()
    reason = why_unplanned(options, scene.zones[0], frozenset())
    assert reason == (
        "No spraying crew has the cards for overhead faces (cards.csv) in any of its shifts."
    )
