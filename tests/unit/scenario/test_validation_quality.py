"""Cards, quality keys, results and maturity: what they become, and what is told of them."""

import pytest

from planner.model.card import Card
from planner.model.identifiers import CrewId, Orientation, Process
from planner.model.quality import Cure, CureMethod, Hold, Outcome, Quality
from tests.unit.scenario.scenes import (
    MIX,
    TABLES,
    is_error,
    marks,
    only,
    problems,
    read,
    scene,
)

DAY = 1440
CREW = TABLES["crews"][0]
CARD = {"crew": "A", "person": "N1", "process": "dry"}
RESULT = {"test": "PRE/A/dry/overhead", "date": "2027-04-08"}
STRONG = {"quality.strength_mpa": "40"}


def card(**changes):
    return CARD | changes


def test_a_card_becomes_whole_days_of_the_campaign():
    row = card(orientation="overhead", **{"from": "2027-04-06", "to": "2027-04-07"})
    assert read(scene(cards=[row])).cards == (
        Card(
            crew_id=CrewId("A"),
            person="N1",
            process=Process.DRY,
            orientation=Orientation.OVERHEAD,
            from_min=DAY,
            to_min=3 * DAY,
        ),
    )


def test_empty_cells_of_a_card_mean_every_orientation_and_no_end():
    (one,) = read(scene(cards=[CARD])).cards
    assert (one.orientation, one.from_min, one.to_min) == (None, None, None)


def test_without_keys_the_quality_plan_has_the_defaults_of_the_model():
    campaign = read(scene())
    assert campaign.quality == Quality()
    assert campaign.cure == Cure()
    assert campaign.rules.cards_min == 1


def test_keys_become_the_quality_plan_and_curing():
    keys = {
        "quality.strength_mpa": "35",
        "quality.cores": "4",
        "quality.hold": "inspection;failed",
        "cure.method": "membrane",
        "cure.days": "0",
        "cure.datum_c": "-10",
    }
    campaign = read(scene(keys))
    assert (campaign.quality.strength_mpa, campaign.quality.cores) == (35.0, 4)
    assert campaign.quality.holds == (Hold.INSPECTION, Hold.FAILED)
    assert campaign.cure == Cure(method=CureMethod.MEMBRANE, days=0.0, datum_c=-10.0)


def test_results_become_outcomes():
    rows = [RESULT | {"values": "38.5;41"}, RESULT | {"test": "INSP/Z1", "met": "no"}]
    assert read(scene(results=rows)).results == (
        Outcome(test="PRE/A/dry/overhead", at_min=3 * DAY, values_mpa=(38.5, 41.0)),
        Outcome(test="INSP/Z1", at_min=3 * DAY, is_met=False),
    )


def test_results_do_not_make_another_scenario():
    rows = [RESULT | {"values": "38.5;41"}]
    assert read(scene(results=rows)).fingerprint == read(scene()).fingerprint
    assert read(scene(cards=[CARD])).fingerprint != read(scene()).fingerprint


def test_people_and_method_of_a_crew_are_read():
    breakers = {"crew": "B", "kind": "break_out", "shift": "day", "rate_m3_h": "0.3"}
    rows = [CREW | {"people": "6"}, breakers | {"method": "lance", "people": "3"}]
    spray, breaking = read(scene(crews=rows)).crews
    assert (spray.people, spray.method) == (6, "")
    assert (breaking.people, breaking.method) == (3, "lance")


@pytest.mark.parametrize(
    ("changes", "column", "code"),
    [
        ({"crew": "X"}, "crew", "unknown-reference"),
        ({"process": "moist"}, "process", "unknown-word"),
        ({"orientation": "soffit"}, "orientation", "unknown-word"),
        ({"from": "2027-04-07", "to": "2027-04-06"}, "to", "end-before-start"),
        ({"from": "2026-04-07", "to": "2032-04-06"}, "to", "odd-date"),
    ],
)
def test_a_card_that_is_wrong_or_odd_is_told(changes, column, code):
    found = problems(scene(cards=[CARD, card(person="N2", **changes)]))
    assert [one for one in marks(found) if one[0] == "cards.csv"] == [
        ("cards.csv", 3, column, code)
    ]


def test_a_crew_without_a_card_is_told_once_there_are_cards():
    crews = [CREW, CREW | {"crew": "B"}]
    found = only(scene(crews=crews, cards=[CARD]))
    assert marks([found]) == [("crews.csv", 3, "crew", "no-card")]
    assert found.message.startswith("nobody in it has a card")
    assert not is_error(found)


def test_a_crew_whose_cards_lie_outside_the_campaign_is_told():
    found = only(scene(cards=[card(to="2027-04-04")]))
    assert marks([found]) == [("crews.csv", 2, "crew", "no-card")]


def test_a_crew_with_fewer_card_holders_than_asked_is_told():
    two = {"rules.cards_min": "2"}
    assert "1 of its people has a card" in only(scene(two, cards=[CARD, CARD])).message
    assert problems(scene(two, cards=[CARD, card(person="N2")])) == []


def test_the_number_of_cards_is_moot_without_cards():
    assert marks(problems(scene({"rules.cards_min": "2"}))) == [
        ("campaign.toml", 7, "rules.cards_min", "key-not-used")
    ]


def test_a_card_does_not_widen_what_a_crew_may_spray():
    found = only(
        scene(crews=[CREW | {"orientations": "overhead"}], cards=[CARD, card(orientation="floor")])
    )
    assert marks([found]) == [("cards.csv", 3, "orientation", "card-not-used")]


def test_a_card_of_a_break_out_crew_is_moot():
    breakers = {"crew": "B", "kind": "break_out", "shift": "day", "rate_m3_h": "0.3"}
    found = only(scene(crews=[CREW, breakers], cards=[CARD, card(crew="B")]))
    assert marks([found]) == [("cards.csv", 3, "crew", "column-not-used")]


@pytest.mark.parametrize(
    ("hold", "more"), [("failed", {}), ("panels", {"rules.panel_days": "28"})]
)
def test_a_stop_that_needs_a_strength_asks_for_it(hold, more):
    found = only(scene({"quality.hold": hold, **more}))
    assert (found.column, found.code) == ("quality.strength_mpa", "missing-key")
    assert is_error(found)
    assert problems(scene({"quality.hold": hold, **more, **STRONG})) == []


def test_a_stop_that_the_plan_does_not_wait_for_is_told():
    keys = STRONG | {"quality.hold": "panels", "rules.panel_days": "3", "quality.hold_age_d": "7"}
    found = only(scene(keys))
    assert (found.column, found.code) == ("quality.hold", "stop-not-planned")
    assert "3 days" in found.message
    assert "7 days" in found.message
    assert problems(scene(keys | {"rules.panel_days": "7"})) == []


def test_figures_of_a_stop_without_the_stop_are_moot():
    found = problems(scene(STRONG | {"quality.hold_age_d": "7", "quality.hold_mpa": "20"}))
    assert [one.code for one in found] == ["key-not-used", "key-not-used"]


def test_a_mean_below_the_single_value_is_odd():
    keys = {"quality.mean_factor": "0.7"}
    assert (only(scene(keys)).column, only(scene(keys)).code) == (
        "quality.mean_factor",
        "odd-number",
    )


@pytest.mark.parametrize(
    ("changes", "column", "code"),
    [
        ({}, "values", "missing-column"),
        ({"values": "", "met": ""}, "values", "missing-value"),
        ({"values": "30;-2"}, "values", "out-of-range"),
        ({"values": "5000"}, "values", "out-of-range"),
        ({"values": "strong"}, "values", "not-a-number"),
        ({"met": "perhaps"}, "met", "not-yes-no"),
        ({"values": "30", "date": ""}, "date", "missing-value"),
    ],
)
def test_a_result_that_is_wrong_is_told(changes, column, code):
    found = marks(problems(scene(results=[RESULT | changes])))
    assert [one[2:] for one in found][:1] == [(column, code)]


def test_the_temperature_of_protection_wants_a_time_and_a_temperature():
    warm = MIX | {"protect_at_c": "20"}
    normals = [{"month": "4", "low_c": "4", "high_c": "12"}]
    assert problems(scene(mixes=[warm], temperature_normals=normals)) == []
    (found,) = problems(scene(mixes=[warm]))
    assert (found.column, found.code) == ("protect_at_c", "column-not-used")
    assert "temperature on site is not known" in found.message
    (bare,) = problems(scene(mixes=[warm | {"protect_h": ""}], temperature_normals=normals))
    assert "protect_h is empty" in bare.message


def test_normals_are_known_without_limits_on_the_air():
    normals = [{"month": "4", "low_c": "4", "high_c": "12"}]
    campaign = read(scene(mixes=[MIX | {"protect_at_c": "20"}], temperature_normals=normals))
    assert campaign.conditions.air is None
    assert campaign.conditions.air_known is not None
    assert campaign.conditions.air_known.normals[0].high_c == 12.0
    assert campaign.mixes[0].protect_at_c == 20.0


def test_a_method_of_break_out_is_moot_for_a_spray_crew():
    found = only(scene(crews=[CREW | {"method": "lance"}]))
    assert marks([found]) == [("crews.csv", 2, "method", "column-not-used")]
