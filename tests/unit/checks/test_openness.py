"""Rule 11; without break-out a zone is open from its first spell to the end of its last."""

import pytest

from planner.model.identifiers import CrewId, CrewKind, RigId, ZoneId
from planner.model.limits import Apart, ApartKind, OpenLimit
from planner.model.rules import Rules
from tests.builders import campaign, crew, done, mix, position, rig, zone
from tests.unit.checks.plans import broken, left_out, only, piece, plan, rules, spell

NEVER_OPEN = Apart(zone_a=ZoneId("Z1"), zone_b=ZoneId("Z2"), kind=ApartKind.OPEN)
NEVER_WORKED = Apart(zone_a=ZoneId("Z1"), zone_b=ZoneId("Z2"), kind=ApartKind.WORK)
BREAKERS = crew("B1", kind=CrewKind.BREAK_OUT, rate_m3_h=2.2)
SECOND_BREAKERS = crew("B2", kind=CrewKind.BREAK_OUT, rate_m3_h=2.2)


def limit(open_max, *zones):
    return OpenLimit(group="east", zones=tuple(map(ZoneId, zones)), open_max=open_max)


def side_by_side(*zones, **changes):
    """Rigs R1 and R2 with a crew each at one position."""
    fields = {
        "zones": zones or (zone("Z1"), zone("Z2")),
        "rigs": (rig("R1"), rig("R2")),
        "crews": (crew("C1"), crew("C2")),
        "positions": (position(rigs_max=2),),
    }
    return campaign(**(fields | changes))


def second(start, zone_id="Z2", run="2"):
    return spell(start, run=run, zone=zone_id, rig=RigId("R2"), crew=CrewId("C2"))


@pytest.mark.parametrize(("start", "amount"), [(456, None), (455, 1), (400, 56)])
def test_zones_kept_apart_are_not_open_together(start, amount):
    found = broken(side_by_side(apart=(NEVER_OPEN,)), plan(spell(), second(start)))
    assert [(one.rule, one.row, one.amount) for one in found] == (
        [("11", 3, amount)] if amount else []
    )


@pytest.mark.parametrize(("start", "amount"), [(516, None), (515, 1)])
def test_a_zone_stays_open_until_it_is_strong_enough(start, amount):
    # an hour after 456
    scene = side_by_side(apart=(NEVER_OPEN,), rules=Rules(strength_hold_h=1.0))
    found = broken(scene, plan(spell(), second(start)))
    assert [(one.rule, one.amount) for one in found] == ([("11", amount)] if amount else [])


@pytest.mark.parametrize(("start", "amount"), [(466, None), (465, 1), (390, 76)])
def test_zones_kept_apart_are_not_worked_together(start, amount):
    # the zone change of 10 min counts: [start - 10, start + 66) against [380, 456)
    found = broken(side_by_side(apart=(NEVER_WORKED,)), plan(spell(), second(start)))
    assert [(one.rule, one.amount) for one in found] == ([("11", amount)] if amount else [])


def test_zones_kept_apart_in_work_may_be_open_together():
    scene = side_by_side(apart=(NEVER_WORKED,), rules=Rules(strength_hold_h=9.0))
    assert broken(scene, plan(spell(), second(466))) == []


@pytest.mark.parametrize(("start", "amount"), [(456, None), (455, 1)])
def test_break_out_counts_as_work(start, amount):
    # Z1 is sprayed until 456; Z2 is broken out from then on
    scene = side_by_side(
        zone("Z1", broken_out=True),
        zone("Z2"),
        apart=(NEVER_WORKED,),
        crews=(crew("C1"), crew("C2"), BREAKERS),
    )
    made = plan(spell(), second(700), break_outs=(piece(start, start + 60, zone=ZoneId("Z2")),))
    found = broken(scene, made)
    assert [(one.rule, one.table, one.amount) for one in found] == (
        [("11", "break_outs.csv", amount)] if amount else []
    )


@pytest.mark.parametrize(("start", "amount"), [(666, None), (665, 1)])
def test_a_zone_is_open_from_the_start_of_its_break_out(start, amount):
    # Z1 is broken out from 400 and sprayed from 600 to 666
    scene = side_by_side(apart=(NEVER_OPEN,), crews=(crew("C1"), crew("C2"), BREAKERS))
    made = plan(
        spell(600),
        second(900),
        break_outs=(piece(400, 460), piece(start, start + 60, zone=ZoneId("Z2"))),
    )
    found = broken(scene, made)
    assert [(one.rule, one.amount) for one in found] == ([("11", amount)] if amount else [])


def test_a_zone_broken_out_before_is_open_from_the_campaigns_start():
    scene = side_by_side(
        zone("Z1", broken_out=True),
        zone("Z2"),
        apart=(NEVER_OPEN,),
        crews=(crew("C1"), crew("C2"), BREAKERS),
    )
    early = plan(spell(900), second(600), break_outs=(piece(400, 460, zone=ZoneId("Z2")),))
    wrong = only(scene, early)
    # Z2 is open from 400 to 666, Z1 from 0 to 966
    assert (wrong.rule, wrong.amount) == ("11", 266)
    late = plan(spell(390), second(900), break_outs=(piece(456, 516, zone=ZoneId("Z2")),))
    assert broken(scene, late) == []


def test_without_break_out_crews_it_is_open_from_its_first_layer():
    scene = side_by_side(zone("Z1", broken_out=True), zone("Z2"), apart=(NEVER_OPEN,))
    assert broken(scene, plan(spell(900), second(600))) == []


def test_two_zones_that_are_open_already_are_not_opened_by_the_plan():
    scene = side_by_side(
        zone("Z1", broken_out=True),
        zone("Z2", broken_out=True),
        apart=(NEVER_OPEN,),
        crews=(crew("C1"), crew("C2"), BREAKERS),
    )
    assert broken(scene, plan(spell(390), second(600))) == []


def test_a_zone_begun_before_the_plan_is_open_from_its_start():
    scene = side_by_side(apart=(NEVER_OPEN,), done=(done("Z1", done_m3=1.2, at_min=60),))
    rest = spell(900, 30, volume_m3=1.0)
    wrong = only(scene, plan(rest, second(400)))
    assert (wrong.rule, wrong.amount) == ("11", 66)
    assert broken(scene, plan(spell(390, 30, volume_m3=1.0), second(420))) == []


@pytest.mark.parametrize(("start", "amount"), [(460, None), (459, 1)])
def test_a_finished_zone_may_still_have_to_gain_strength(start, amount):
    # done at 400, open for an hour
    scene = side_by_side(
        apart=(NEVER_OPEN,),
        done=(done("Z1", done_m3=2.2, at_min=400),),
        rules=Rules(strength_hold_h=1.0),
    )
    found = broken(scene, plan(second(start)))
    assert [(one.rule, one.amount) for one in found] == ([("11", amount)] if amount else [])


def test_zones_left_out_are_not_counted():
    scene = side_by_side(
        zone("Z1", broken_out=True),
        zone("Z2", broken_out=True),
        apart=(NEVER_OPEN,),
        open_limits=(limit(1, "Z1", "Z2"),),
        crews=(crew("C1"), crew("C2"), BREAKERS),
    )
    assert broken(scene, plan(second(600), unplanned=(left_out("Z1"),))) == []


THREE = (zone("Z1"), zone("Z2"), zone("Z3"))


@pytest.mark.parametrize(
    ("open_max", "expected"), [(3, []), (2, []), (1, [("11", 3, 1.0), ("11", 4, 1.0)])]
)
def test_no_more_zones_are_open_than_the_limit_allows(open_max, expected):
    scene = side_by_side(
        *THREE,
        rigs=(rig("R1"), rig("R2"), rig("R3")),
        crews=(crew("C1"), crew("C2"), crew("C3")),
        positions=(position(rigs_max=3),),
        open_limits=(limit(open_max, "Z1", "Z2", "Z3"),),
    )
    # Z1 is open [390, 456), Z2 [430, 496), Z3 from 486
    third = spell(486, run="3", zone="Z3", rig=RigId("R3"), crew=CrewId("C3"))
    found = broken(scene, plan(spell(), second(430), third))
    assert [(one.rule, one.row, one.amount) for one in found] == expected


def test_one_closes_as_the_next_opens():
    scene = side_by_side(open_limits=(limit(1, "Z1", "Z2"),))
    assert broken(scene, plan(spell(), second(456))) == []
    assert rules(scene, plan(spell(), second(455))) == {"11"}


def test_zones_of_no_group_do_not_count():
    scene = side_by_side(open_limits=(limit(1, "Z1", "Z9"),))
    assert broken(scene, plan(spell(), second(400))) == []


def test_a_limit_broken_at_the_start_lets_no_further_zone_open_until_it_is_met():
    # Z1 and Z2 are open from the start, one more than may be; Z3 waits until both are done
    scene = side_by_side(
        zone("Z1", broken_out=True),
        zone("Z2", broken_out=True),
        zone("Z3"),
        open_limits=(limit(1, "Z1", "Z2", "Z3"),),
        crews=(crew("C1"), crew("C2"), BREAKERS),
    )

    def made(start):
        third = spell(start + 100, run="3", zone="Z3")
        return plan(
            spell(390),  # until 456
            second(430),  # until 496
            third,
            break_outs=(piece(start, start + 60, zone=ZoneId("Z3")),),
        )

    assert broken(scene, made(496)) == []
    assert [(one.rule, one.table) for one in broken(scene, made(495))] == [
        ("11", "break_outs.csv")
    ]


def test_layers_keep_a_zone_open_between_them():
    # two layers, on Monday 390-423 and Tuesday: Z1 is open all night
    scene = side_by_side(
        apart=(NEVER_OPEN,), mixes=(mix(layer_max_mm=50.0),), zones=(zone("Z1"), zone("Z2"))
    )
    half = {"volume_m3": 1.1}

    def lower(start):
        return spell(start, 33, run="3", zone="Z2", rig=RigId("R2"), crew=CrewId("C2"), **half)

    def upper(start):
        return spell(
            start, 33, run="4", zone="Z2", layer=2, rig=RigId("R2"), crew=CrewId("C2"), **half
        )

    mine = (
        spell(390, 33, **half),
        spell(1440 + 390, 33, run="2", layer=2, **half),
    )  # open until 1863
    assert broken(scene, plan(*mine, lower(1863), upper(2880 + 390))) == []
    wrong = only(scene, plan(*mine, lower(600), upper(2880 + 390)))
    assert (wrong.rule, wrong.amount) == ("11", 1863 - 600)


def test_two_crews_may_break_out_at_the_same_time():
    scene = side_by_side(crews=(crew("C1"), crew("C2"), BREAKERS, SECOND_BREAKERS))
    pieces = (piece(400, 460), piece(400, 460, crew=CrewId("B2"), zone=ZoneId("Z2")))
    assert broken(scene, plan(spell(600), second(600), break_outs=pieces)) == []
