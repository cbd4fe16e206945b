"""Rule 14."""

from planner.model.identifiers import ZoneId
from tests.builders import campaign, done, mix, zone
from tests.unit.checks.plans import broken, left_out, only, plan, rules, spell

LAYERED = {"mixes": (mix(layer_max_mm=50.0),)}


def test_a_zone_with_a_layer_missing_is_planned_in_part():
    wrong = only(campaign(**LAYERED), plan(spell(390, 33, volume_m3=1.1)))
    assert (wrong.rule, wrong.row, round(wrong.amount, 6)) == ("14", 2, 1.1)
    assert "layer 2 of 2" in wrong.message


def test_even_a_thin_layer_is_missed():
    # 0.3 m³ in three layers of 0.1 m³; the second is missing
    scene = campaign(
        zones=(zone(volume_m3=0.3),), mixes=(mix(layer_max_mm=40.0, layer_gap_min_h=0.0),)
    )
    made = plan(spell(390, 3, volume_m3=0.1), spell(500, 3, run="3", layer=3, volume_m3=0.1))
    wrong = only(scene, made)
    assert (wrong.rule, wrong.row, round(wrong.amount, 6)) == ("14", 3, 0.1)
    assert "layer 2 of 3" in wrong.message


def test_layers_done_before_are_not_missing():
    scene = campaign(done=(done(done_m3=1.1),), **LAYERED)
    assert broken(scene, plan(spell(60 + 720, 33, layer=2, volume_m3=1.1))) == []


def test_a_zone_is_not_planned_without_those_before_it():
    scene = campaign(zones=(zone("Z1"), zone("Z2", after=(ZoneId("Z1"),))))
    wrong = only(scene, plan(spell(zone="Z2"), unplanned=(left_out("Z1"),)))
    assert (wrong.rule, wrong.table, wrong.row) == ("14", "spells.csv", 2)
    assert broken(scene, plan(spell(), unplanned=(left_out("Z2"),))) == []


def test_a_zone_complete_before_the_plan_is_no_zone_left_out():
    scene = campaign(
        zones=(zone("Z1"), zone("Z2", after=(ZoneId("Z1"),))), done=(done(done_m3=2.2),)
    )
    assert broken(scene, plan(spell(zone="Z2"))) == []


def test_a_zone_is_not_planned_and_left_out_at_once():
    wrong = only(campaign(), plan(spell(), unplanned=(left_out("Z1"),)))
    assert (wrong.rule, wrong.table, wrong.row) == ("14", "unplanned.csv", 2)


def test_a_zone_that_is_begun_may_be_left_out():
    scene = campaign(done=(done(done_m3=1.0),))
    assert rules(scene, plan(unplanned=(left_out("Z1"),))) == set()
