"""Every step of a zone, in order, with the times that the plan gives."""

from dataclasses import replace

import pytest

from planner.core.spans import Spans
from planner.model.identifiers import Orientation
from planner.model.quality import Cure, CureMethod
from planner.model.rules import Rules
from planner.trade.work_chain_before import rate_flag
from planner.trade.work_chain_step import StepKind, time_words
from tests import builders as make
from tests.unit.trade.chain_scenes import DAY, breakers, sprayed, steps, times

WETTED = make.zone(wets_at_m=1.0)


def steady(celsius):
    """Air that stays as warm as that, hour by hour."""
    return lambda _start, hours: [(1.0, celsius)] * int(hours)


def test_the_steps_come_in_the_order_of_the_work():
    assert [one.kind for one in steps()] == [
        StepKind.BREAK_OUT,
        StepKind.BARS,
        StepKind.SATURATE,
        StepKind.SPRAY,
        StepKind.PROTECT,
        StepKind.FINISH,
        StepKind.CURE,
    ]
    assert [one.number for one in steps()] == [1, 2, 3, 4, 5, 6, 7]


def test_break_out_has_the_times_of_the_plan():
    found = steps(StepKind.BREAK_OUT, breaks_out=True, broken=((breakers(), (100, 364)),))
    assert times(found) == [(100, 364)]
    assert found[0].sentence == "Crew B1 breaks out at 0.5 m³/h."


def test_without_a_crew_the_time_of_each_method_is_a_rough_figure():
    (one,) = steps(StepKind.BREAK_OUT, zone=make.zone(orientation=Orientation.VERTICAL))
    # 2.2 / 0.1 = 22, 2.2 / 0.02 = 110; 2.2 / 0.3 = 7.3, 2.2 / 0.05 = 44; 2.2 / 1.18 = 1.9
    assert "hand breakers 22 to 110 h; water jetting by hand lance 7 to 44 h" in one.sentence
    assert "by robot 1.9 h or more" in one.sentence
    (over,) = steps(StepKind.BREAK_OUT)
    assert "hand breakers 44 to 220 h" in over.sentence


def test_a_zone_that_is_broken_out_already_says_so():
    (one,) = steps(StepKind.BREAK_OUT, zone=make.zone(broken_out=True))
    assert one.sentence == "Broken out already, as zones.csv says."
    (other,) = steps(StepKind.BREAK_OUT, breaks_out=True)
    assert other.sentence == "Its break-out is not planned."


def test_limits_on_open_area_are_left_to_the_engineer():
    (one,) = steps(StepKind.BREAK_OUT)
    assert one.figures[-1].value is None
    assert "engineer" in one.figures[-1].note


@pytest.mark.parametrize(
    ("changes", "is_odd"),
    [
        ({"method": "breaker"}, True),
        ({"method": "breaker", "people": 5}, False),  # 5 x 0.1
        ({"method": "breaker", "people": 4}, True),
        ({"method": "robot"}, False),
        ({"method": ""}, False),
    ],
)
def test_a_rate_beyond_its_method_is_flagged(changes, is_odd):
    assert bool(rate_flag(breakers(**changes), Orientation.VERTICAL)) is is_odd


def test_hand_work_is_half_as_fast_overhead():
    crew = breakers(method="lance", people=3)  # 3 x 0.3 = 0.9, overhead 0.45
    assert rate_flag(crew, Orientation.VERTICAL) == ""
    assert "overhead: 0.45 m³/h (from memory" in rate_flag(crew, Orientation.OVERHEAD)


def test_time_for_the_bars_is_what_the_rules_keep():
    (one,) = steps(StepKind.BARS, rules=Rules(prepare_min_h=24.0))
    assert one.minutes == 24 * 60
    (none,) = steps(StepKind.BARS, breaks_out=True, broken=((breakers(), (0, 264)),))
    assert none.minutes is None
    assert "rules.prepare_min_h is 0" in none.flag


def test_each_wetting_of_the_prepared_face_asks_for_a_wash():
    found = steps(
        StepKind.WASH,
        zone=WETTED,
        breaks_out=True,
        broken=((breakers(), (0, 100)),),
        wet=Spans([(50, 70), (200, 300), (600, 660), (1500, 1600)]),
    )
    # the first lies before the end of break-out, the last after spraying
    assert times(found) == [(300, 600), (660, 1000)]
    assert found[0].sentence.startswith("The water was at the face for 100 min")


def test_wettings_are_summed_where_nobody_plans_when_the_face_is_prepared():
    found = steps(StepKind.WASH, zone=WETTED, wet=Spans([(200, 300), (600, 660)]))
    assert times(found) == [(660, 1000)]
    assert "2 times" in found[0].sentence


def test_old_preparation_is_cleaned_again():
    late = sprayed(100 + 49 * 60)
    plain = {"breaks_out": True, "broken": ((breakers(), (0, 100)),)}
    (one,) = steps(StepKind.WASH, spells=(late,), **plain)
    assert one.flag == "It is 49 h old by then, more than 48 h."
    assert steps(StepKind.WASH, spells=(sprayed(100 + 48 * 60),), **plain) == []


def test_an_inspection_stands_between_break_out_and_spraying():
    found = steps(
        StepKind.INSPECTION, is_inspected=True, breaks_out=True, broken=((breakers(), (0, 100)),)
    )
    assert times(found) == [(100, 1000)]


def test_the_surface_is_dampened_within_the_zone_change_of_each_layer():
    two = (sprayed(1000), sprayed(3000, layer=2))
    assert times(steps(StepKind.SATURATE, spells=two)) == [(990, 1000), (2990, 3000)]


@pytest.mark.parametrize(
    ("gap", "words"),
    [
        (30, "Stopped for 30 min, at most 30: carry on."),
        (31, "Stopped for 31 min, more than 30: slope the edge to about 45°, clean and wet it."),
        (60, "Stopped for 60 min, more than 30: slope"),
        (61, "Stopped for 61 min, more than 60 min: slope"),
        (1200, "Stopped for 20 h, more than 60 min"),
    ],
)
def test_a_joint_is_treated_by_how_long_it_stood(gap, words):
    pieces = (sprayed(1000), sprayed(1060 + gap))
    (one,) = steps(StepKind.JOINT, spells=pieces)
    assert one.sentence.startswith(words)
    assert times([one]) == [(1060, 1060 + gap)]


def test_an_open_joint_that_the_water_reaches_is_flagged():
    pieces = (sprayed(1000), sprayed(2000))
    (one,) = steps(StepKind.JOINT, spells=pieces, zone=WETTED, wet=Spans([(1500, 1600)]))
    assert one.flag == "The water reaches the open joint 1 time: wash it as well."


def test_the_next_layer_waits_and_is_washed_after_a_wetting():
    two = (sprayed(1000), sprayed(3000, layer=2))
    changes = {"spells": two, "zone": WETTED, "wet": Spans([(1500, 1600)])}
    (wait,) = steps(StepKind.NEXT_LAYER, **changes)
    assert (wait.minutes, wait.layer) == (1940, 2)
    assert "32.3 h; the mix asks for 12 h at least" in wait.sentence
    assert times(steps(StepKind.WASH, **changes)) == [(1600, 3000)]


def test_layers_tell_their_number_and_thickness():
    two = (sprayed(1000), sprayed(3000, layer=2))
    found = steps(StepKind.SPRAY, spells=two)
    assert found[0].sentence == (
        "Layer 1 of 2: 2.20 m³, about 50 mm, from the shoulder to the crown."
    )


def test_protection_tells_when_the_water_comes():
    (one,) = steps(StepKind.PROTECT, zone=WETTED, wet=Spans([(1600, 1700)]))
    assert times([one]) == [(1060, 1060 + 360)]
    assert one.sentence == "Not wetted for 6 h (protect_h of dry); the water comes after 9 h."
    assert one.flag == ""


def test_a_time_to_wetting_is_never_made_up():
    bare = replace(make.mix(), protect_h=None)
    (one,) = steps(StepKind.PROTECT, zone=WETTED, face=bare, spells=())
    assert "no published default" in one.sentence
    assert one.minutes is None


@pytest.mark.parametrize(
    ("celsius", "wet_at", "flag"),
    [
        (20.0, 1060 + 400, ""),
        (10.0, 1060 + 400, "It needs 9.7 h at the temperature expected"),  # 6 / 0.6154 = 9.75
        (10.0, 1060 + 600, ""),
        (30.0, 1060 + 370, ""),
        (2.0, 1060 + 600, "Air outside 5 to 35 °C is expected"),
    ],
)
def test_cold_air_makes_the_time_to_wetting_longer(celsius, wet_at, flag):
    (one,) = steps(
        StepKind.PROTECT,
        zone=WETTED,
        face=replace(make.mix(), protect_at_c=20.0),
        wet=Spans([(wet_at, wet_at + 60)]),
        air=steady(celsius),
    )
    assert one.flag.startswith(flag)
    assert bool(one.flag) is bool(flag)


def test_a_mix_with_time_to_wetting_says_it_before_there_is_a_plan():
    (one,) = steps(StepKind.PROTECT, zone=WETTED, spells=())
    assert one.sentence == "Not wetted for 6 h after spraying (protect_h of dry)."
    (open_,) = steps(StepKind.PROTECT, zone=WETTED, spells=(), face=None)
    assert open_.sentence.startswith("Its mix is open")


def test_the_mean_told_is_that_of_the_hours_it_takes():
    def cooling(_start, hours):
        return [(1.0, 20.0)] * 3 + [(1.0, 8.0)] * (int(hours) - 3)

    (one,) = steps(
        StepKind.PROTECT,
        zone=WETTED,
        face=replace(make.mix(), protect_h=4.0, protect_at_c=20.0),
        air=cooling,
    )
    # 3 h at 20 °C, then 1 / 0.556 = 1.8 h at 8 °C: mean (60 + 14.4) / 4.8 = 15.5 °C
    assert "At about 15.5 °C the same maturity takes 4.8 h." in one.sentence


def test_air_that_cools_the_mix_for_too_long_is_flagged():
    # at 48 °C a mix ages 7 times as fast as at 5 °C, and four times 6 h are looked at
    warm = replace(make.mix(), protect_at_c=48.0)
    (one,) = steps(StepKind.PROTECT, zone=WETTED, face=warm, air=steady(5.0))
    assert one.flag == "At about 5.0 °C it needs more than 4 times as long."


def test_unknown_air_is_said():
    (one,) = steps(StepKind.PROTECT, zone=WETTED, face=replace(make.mix(), protect_at_c=20.0))
    assert one.flag == "The temperature after spraying is not known, so it is not looked at."


def test_finishing_and_curing_follow_the_last_spell():
    (finish,) = steps(StepKind.FINISH, finish_min=40)
    (cure,) = steps(StepKind.CURE, finish_min=40)
    assert times([finish, cure]) == [(1060, 1100), (1100, 1100 + 7 * DAY)]
    assert "first 3 d without a break" in cure.sentence
    (membrane,) = steps(StepKind.CURE, cure=Cure(method=CureMethod.MEMBRANE, days=5.0))
    assert membrane.minutes == 5 * DAY
    assert "two coats" in membrane.sentence


def test_curing_tells_what_maturity_it_reaches():
    (cure,) = steps(StepKind.CURE, air=steady(10.0))
    # 168 h x 10 °C = 1680 °C h; 168 h x 0.6154 / 24 = 4.3 d
    assert "1680 °C h and the age of 4.3 d at 20 °C" in cure.sentence
    assert steps(StepKind.CURE, air=steady(10.0))[0].flag == ""


def test_the_datum_counts_and_one_wetting_is_once():
    (cure,) = steps(
        StepKind.CURE,
        zone=WETTED,
        wet=Spans([(2000, 2100)]),
        air=steady(10.0),
        cure=Cure(days=1.0, datum_c=-10.0),
    )
    assert "it then has 480 °C h" in cure.sentence  # 24 h x (10 + 10)
    assert cure.flag.startswith("The site's water reaches the face once meanwhile")


def test_a_long_stop_empties_the_gun():
    (one,) = steps(StepKind.JOINT, spells=(sprayed(1000), sprayed(1200)))
    assert one.sentence == (
        "Stopped for 2.3 h, more than 60 min: slope the edge to about 45°, clean and wet it; a "
        "gun that stood as long is emptied and its hose blown out."
    )


@pytest.mark.parametrize(
    ("celsius", "flag"), [(9.9, "lengthens curing of marine concrete to 10.5 d"), (3.0, "warm")]
)
def test_cold_curing_is_flagged(celsius, flag):
    (cure,) = steps(StepKind.CURE, air=steady(celsius))
    assert flag in cure.flag


def test_water_at_the_face_while_it_cures_is_left_to_the_engineer():
    (cure,) = steps(StepKind.CURE, zone=WETTED, wet=Spans([(1660, 1700), (2400, 2500)]))
    assert cure.flag == (
        "The site's water reaches the face 2 times meanwhile, first after 10 h; the contract "
        "and the engineer say whether that may be."
    )


def test_a_zone_that_is_not_planned_has_a_chain_without_times():
    found = steps(spells=())
    assert times(found) == [(None, None)] * 4
    assert "with dry it takes 1 layer" in found[2].sentence


def test_no_sentence_says_that_anything_is_safe_or_approved():
    for one in steps(zone=WETTED, wet=Spans([(1500, 1600)])):
        assert not {"safe", "approved", "approve"} & set(one.sentence.lower().split())


@pytest.mark.parametrize(
    ("minutes", "words"),
    [
        (119, "119 min"),
        (120, "2 h"),
        (334, "5.6 h"),
        (2879, "48 h"),
        (2880, "2 d"),
        (9900, "6.9 d"),
    ],
)
def test_lengths_of_time_are_told_in_the_unit_that_suits_them(minutes, words):
    assert time_words(minutes) == words
