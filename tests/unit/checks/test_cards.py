"""Rule 4 with cards; the base plan sprays dry overhead on Monday 2 March 2026."""

from dataclasses import replace

import pytest

from planner.model.card import Card
from planner.model.identifiers import CrewId, Orientation, Process, ZoneId
from planner.model.rules import Rules
from planner.plan.plan import RunKind
from tests.builders import campaign, mix, shift, zone
from tests.unit.checks.plans import around, broken, only, plan, rules, run, spell

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


def test_too_few_people_are_counted_in_the_amount_and_in_words():
    wrong = only(campaign(cards=(card(),), rules=Rules(cards_min=3)), plan())
    assert wrong.amount == 2
    assert "1 of its people holds a valid card for it, and 3 must" in wrong.message


def test_a_shift_that_ends_at_midnight_does_not_touch_the_next_day():
    late = (shift(start_tod=12 * 60, end_tod=0),)
    scene = campaign(shifts=late, cards=(card(to_min=DAY),))
    assert rules(scene, plan(spell(13 * 60))) == set()
    # a minute longer, and it does
    longer = (shift(start_tod=12 * 60, end_tod=1),)
    assert rules(campaign(shifts=longer, cards=(card(to_min=DAY),)), plan(spell(13 * 60))) == {"4"}


def test_a_run_outside_every_shift_is_held_against_its_own_days():
    scene = campaign(shifts=(shift(weekdays=frozenset({1})),), cards=(card(to_min=DAY),))
    (outside,) = broken(scene, plan())  # Monday: no shift, but the card is valid
    assert "outside every single shift" in outside.message
    lapsed = replace(scene, cards=(card(to_min=0),))
    assert len(broken(lapsed, plan())) == 2


def test_each_orientation_without_a_card_is_told():
    wall = zone("Z2", orientation=Orientation.VERTICAL)
    scene = campaign(
        zones=(zone(), wall),
        mixes=(mix(), mix(orientation=Orientation.VERTICAL)),
        cards=(card(orientation=Orientation.FLOOR),),
    )
    spells = spell(390), spell(390 + 66 + 10, zone=ZoneId("Z2"))
    found = [one for one in broken(scene, plan(*spells)) if "valid card" in one.message]
    assert [("overhead" in one.message, "vertical" in one.message) for one in found] == [
        (True, False),
        (False, True),
    ]
