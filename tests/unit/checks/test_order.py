"""Rule 10: two layers of 1.1 m³, 33 min each, 12 h = 720 min apart at least."""

import pytest

from planner.model.identifiers import CrewId, CrewKind, MixId, Process, RigId
from tests.builders import campaign, crew, done, mix, position, rig, shift, zone
from tests.unit.checks.plans import around, broken, only, piece, plan, rules, spell

ALL_DAY = (shift(start_tod=0, end_tod=0),)


def layered(**changes):
    fields = {"layer_max_mm": 50.0} | changes
    return campaign(mixes=(mix(**fields),), shifts=ALL_DAY)


def two_layers(second, **changes):
    return plan(
        spell(390, 33, volume_m3=1.1),  # ends at 423
        spell(second, 33, run="2", layer=2, volume_m3=1.1, **changes),
    )


@pytest.mark.parametrize(("start", "amount"), [(423 + 720, None), (423 + 719, 1), (500, 643)])
def test_a_layer_waits_for_the_one_below(start, amount):
    found = broken(layered(), two_layers(start))
    assert [(one.rule, one.amount) for one in found] == ([("10", amount)] if amount else [])


@pytest.mark.parametrize(("start", "amount"), [(423 + 1440, None), (423 + 1441, 1)])
def test_a_layer_waits_no_longer_than_it_may(start, amount):
    found = broken(layered(layer_gap_max_h=24.0), two_layers(start))
    assert [(one.rule, one.amount) for one in found] == ([("10", amount)] if amount else [])


def test_gaps_with_a_part_of_a_minute():
    # at least 12.01 h = 720.6 min, so 721; at most 720.6 min, so 720: nothing fits both
    scene = layered(layer_gap_min_h=12.01)
    assert broken(scene, two_layers(423 + 721)) == []
    assert only(scene, two_layers(423 + 720)).amount == 1
    scene = layered(layer_gap_min_h=1.0, layer_gap_max_h=12.01)
    assert broken(scene, two_layers(423 + 720)) == []
    assert only(scene, two_layers(423 + 721)).amount == 1


def test_layers_in_the_wrong_order_are_caught():
    made = plan(spell(390, 33, layer=2, volume_m3=1.1), spell(1500, 33, run="2", volume_m3=1.1))
    # layer 2 would start at 1533 + 720
    assert only(layered(), made).amount == 1533 + 720 - 390


def test_a_second_layer_needs_a_known_gap():
    wrong = only(layered(layer_gap_min_h=None), two_layers(5000))
    assert wrong.rule == "10"
    assert "layer_gap_min_h" in wrong.message


def test_the_gap_runs_from_the_last_piece_to_the_first():
    scene = campaign(
        mixes=(mix(layer_max_mm=50.0),), shifts=ALL_DAY, zones=(zone(joint_allowed=True),)
    )
    lower = (spell(390, 15, volume_m3=0.5), spell(415, 18, volume_m3=0.6))  # ends at 433

    def made(start):
        upper = (
            spell(start, 15, run="2", layer=2, volume_m3=0.5),
            spell(start + 25, 18, run="2", layer=2, volume_m3=0.6),
        )
        return plan(*lower, *upper, runs=[around(*lower), around(*upper)])

    assert broken(scene, made(433 + 720)) == []
    assert only(scene, made(433 + 719)).amount == 1


@pytest.mark.parametrize(("start", "amount"), [(60 + 720, None), (60 + 719, 1)])
def test_after_progress_the_gap_runs_from_its_time(start, amount):
    scene = campaign(
        mixes=(mix(layer_max_mm=50.0),), shifts=ALL_DAY, done=(done(done_m3=1.1, at_min=60),)
    )
    found = broken(scene, plan(spell(start, 33, layer=2, volume_m3=1.1)))
    assert [(one.rule, one.amount) for one in found] == ([("10", amount)] if amount else [])


def test_a_begun_layer_goes_on_at_once_and_the_next_waits_for_it():
    scene = campaign(
        mixes=(mix(layer_max_mm=50.0, layer_gap_max_h=13.0),),
        shifts=ALL_DAY,
        done=(done(done_m3=1.1, at_min=30), done(layer=2, done_m3=0.5, at_min=60)),
        zones=(zone(depth_mm=150.0, volume_m3=3.3),),
    )

    def made(third):
        return plan(
            spell(2000, 18, layer=2, volume_m3=0.6),  # ends at 2018
            spell(third, 33, run="3", layer=3, volume_m3=1.1),
        )

    assert broken(scene, made(2018 + 720)) == []
    assert only(scene, made(2018 + 719)).rule == "10"


@pytest.mark.parametrize(("start", "amount"), [(456, None), (455, 1)])
def test_a_zone_waits_for_those_before_it(start, amount):
    scene = campaign(
        zones=(zone("Z1"), zone("Z2", after=("Z1",))),
        rigs=(rig("R1"), rig("R2")),
        crews=(crew("C1"), crew("C2")),
        positions=(position(rigs_max=2),),
    )
    second = spell(start, run="2", zone="Z2", rig=RigId("R2"), crew=CrewId("C2"))
    found = broken(scene, plan(spell(), second))
    assert [(one.rule, one.amount) for one in found] == ([("10", amount)] if amount else [])


def test_a_zone_that_progress_completes_is_waited_for_no_longer():
    scene = campaign(
        zones=(zone("Z1"), zone("Z2", after=("Z1",))), done=(done(done_m3=2.2, at_min=370),)
    )
    assert broken(scene, plan(spell(400, zone="Z2"))) == []


@pytest.mark.parametrize(("ready", "amount"), [(390, None), (391, 1)])
def test_nothing_is_sprayed_before_it_is_ready(ready, amount):
    found = broken(campaign(zones=(zone(ready_from_min=ready),)), plan())
    assert [(one.rule, one.amount) for one in found] == ([("10", amount)] if amount else [])


def test_nothing_is_broken_out_before_it_is_ready():
    breakers = crew("B1", kind=CrewKind.BREAK_OUT, rate_m3_h=2.2)
    scene = campaign(zones=(zone(ready_from_min=401),), crews=(crew(), breakers))
    wrong = only(scene, plan(spell(600), break_outs=(piece(400, 460),)))
    assert (wrong.rule, wrong.table, wrong.amount) == ("10", "break_outs.csv", 1)


def test_one_zone_has_one_mix():
    scene = campaign(
        mixes=(mix(layer_max_mm=50.0), mix("fine", layer_max_mm=50.0)), shifts=ALL_DAY
    )
    first, second = two_layers(2000).spells
    made = plan(first, second, runs=[around(first), around(second, mix=MixId("fine"))])
    wrong = only(scene, made)
    assert (wrong.rule, wrong.row) == ("10", 3)


def test_a_zone_keeps_the_process_it_was_begun_with():
    part = done(done_m3=1.2, rig_id=RigId("W1"))
    machines = (rig(), rig("W1", process=Process.WET))
    mixes = (mix(), mix("wet", process=Process.WET))
    rest = spell(390, 30, volume_m3=1.0)
    assert broken(campaign(rigs=machines, mixes=mixes), plan()) == []
    wrong = only(campaign(rigs=machines, mixes=mixes, done=(part,)), plan(rest))
    assert wrong.rule == "10"
    assert "keeps its process" in wrong.message
    with_dry = done(done_m3=1.2, rig_id=RigId("R1"))
    assert broken(campaign(rigs=machines, mixes=mixes, done=(with_dry,)), plan(rest)) == []


@pytest.mark.parametrize(("start", "amount"), [(420, None), (419, 1)])
def test_a_piece_follows_the_one_before(start, amount):
    scene = campaign(
        zones=(zone(joint_allowed=True),),
        rigs=(rig("R1"), rig("R2")),
        crews=(crew("C1"), crew("C2")),
        positions=(position(rigs_max=2),),
    )
    parts = (
        spell(390, 30, volume_m3=1.0),
        spell(start, 36, run="2", rig=RigId("R2"), crew=CrewId("C2"), volume_m3=1.2),
    )
    found = broken(scene, plan(*parts))
    assert [(one.rule, one.row, one.amount) for one in found] == (
        [("10", 3, amount)] if amount else []
    )


def test_a_zone_left_out_is_not_waited_for_by_rule_10():
    from tests.unit.checks.plans import left_out

    scene = campaign(zones=(zone("Z1"), zone("Z2", after=("Z1",))))
    assert rules(scene, plan(spell(zone="Z2"), unplanned=(left_out("Z1"),))) == {"14"}
