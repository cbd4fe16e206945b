"""Rule 4 with cards; the base plan sprays dry overhead on Monday 2 March 2026."""

import pytest

from planner.model.card import Card
from planner.model.identifiers import CrewId, Orientation, Process
from planner.model.rules import Rules
from planner.plan.plan import RunKind
from tests.builders import campaign, shift
from tests.unit.checks.plans import around, only, plan, rules, run, spell

DAY = 24 * 60


def card(person="N1", **changes):
    fields = {"crew_id": CrewId("C1"), "person": person, "process": Process.DRY}
    return Card(**(fields | changes))


@pytest.mark.parametrize(
    ("changes", "amount"),
    [
        ({}, None),
        ({"orientation": Orientation.OVERHEAD}, None),
        ({"orientation": Orientation.FLOOR}, 1),
        ({"process": Process.WET}, 1),
        ({"crew_id": CrewId("C2")}, 1),
        ({"to_min": DAY}, None),
        ({"to_min": 0}, 1),
        ({"from_min": DAY}, 1),
    ],
)
def test_a_run_needs_a_card_that_is_valid_on_its_day(changes, amount):
    scene = campaign(cards=(card(**changes),))
    assert rules(scene, plan()) == ({"4"} if amount else set())


def test_the_message_says_who_holds_what_when():
    wrong = only(campaign(cards=(card(to_min=0),)), plan())
    assert wrong.message == (
        "Crew C1 of run 1 sprays dry overhead; on 2026-03-02, which its shift touches, 0 of its "
        "people hold a valid card for it, and 1 must."
    )


def test_two_cards_of_one_person_are_one_person():
    two = Rules(cards_min=2)
    assert rules(campaign(cards=(card(), card()), rules=two), plan()) == {"4"}
    assert rules(campaign(cards=(card(), card("N2")), rules=two), plan()) == set()


def test_a_night_shift_asks_for_both_its_days():
    # 22:00 on Monday to 06:00 on Tuesday; the spell lies before midnight
    nights = (shift(start_tod=22 * 60, end_tod=360),)
    late = plan(spell(22 * 60 + 30))
    assert rules(campaign(shifts=nights, cards=(card(to_min=2 * DAY),)), late) == set()
    assert rules(campaign(shifts=nights, cards=(card(to_min=DAY),)), late) == {"4"}


def test_a_panel_is_spraying_too():
    panel = run(
        start=DAY + 360,
        end=DAY + 360 + 95,
        run="2",
        kind=RunKind.PANEL,
        orientation=Orientation.OVERHEAD,
    )
    both = plan(spell(), runs=[around(spell()), panel])
    assert rules(campaign(cards=(card(),)), both) == set()
    assert rules(campaign(cards=(card(to_min=DAY),)), both) == {"4"}
