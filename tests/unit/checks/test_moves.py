"""Rules 6 and 7: a rig needs 60 min between P1 and P2, plus 10 for each 100 m where it says so."""

import pytest

from planner.model.identifiers import CrewId, CrewKind, PositionId, RigId, ShiftId
from planner.model.limits import ClosureScope
from planner.model.rules import Rules
from tests.builders import HORIZON_MIN, campaign, closure, crew, done, position, rig, shift, zone
from tests.unit.checks.plans import (
    DAY,
    around,
    broken,
    move,
    only,
    piece,
    plan,
    rules,
    run,
    sawtooth,
    spell,
)

P2 = PositionId("P2")
THREE = (position("P1"), position("P2", x_m=300.0, y_m=400.0), position("P3"))


def two_places(**changes):
    """Z1 by P1; Z2 10 m beside P2, which is 300 m along and 400 m across: 500 m away."""
    fields = {
        "zones": (zone("Z1"), zone("Z2", x_m=310.0, y_m=400.0)),
        "positions": (position("P1"), position("P2", x_m=300.0, y_m=400.0)),
    }
    return campaign(**(fields | changes))


def there(start=700, **changes):
    """The whole of Z2 from P2."""
    return spell(start, run="2", zone="Z2", position=P2, **changes)


def from_to(*moves, first=390, second=700):
    return plan(spell(first), there(second), relocations=moves)


def test_a_rig_goes_to_its_next_position():
    assert broken(two_places(), from_to(move(471, 531))) == []


def test_without_a_relocation_it_cannot_work_there():
    wrong = only(two_places(), from_to())
    assert (wrong.rule, wrong.table, wrong.row) == ("6", "runs.csv", 3)


def test_two_legs_do_as_well_as_one():
    scene = two_places(positions=THREE)
    legs = (move(471, 531, to_position="P3"), move(531, 591, from_position="P3"))
    assert broken(scene, from_to(*legs)) == []
    gap = (legs[0], move(531, 591))
    wrong = only(scene, from_to(*gap))
    assert (wrong.rule, wrong.row) == ("6", 3)
    assert "stands at P3" in wrong.message


@pytest.mark.parametrize(("minutes", "amount"), [(110, None), (109, 1)])
def test_a_relocation_takes_its_time_by_distance(minutes, amount):
    # 60 + 10 x 500 / 100
    scene = two_places(rigs=(rig(move_min_per_100m=10.0),))
    found = broken(scene, from_to(move(471, 471 + minutes)))
    assert [(one.rule, one.amount) for one in found] == ([("6", amount)] if amount else [])


def test_the_distance_is_between_the_two_positions():
    # from (100, 200) to (400, 600): 300 along, 400 across
    scene = two_places(
        rigs=(rig(move_min_per_100m=10.0),),
        positions=(position("P1", x_m=100.0, y_m=200.0), position("P2", x_m=400.0, y_m=600.0)),
        zones=(zone("Z1", x_m=110.0, y_m=200.0), zone("Z2", x_m=410.0, y_m=600.0)),
    )
    assert broken(scene, from_to(move(471, 581))) == []
    assert only(scene, from_to(move(471, 580))).amount == 1


def test_height_is_no_plan_distance():
    scene = two_places(
        rigs=(rig(move_min_per_100m=10.0),),
        positions=(position("P1"), position("P2", x_m=300.0, y_m=400.0, z_m=50.0)),
        zones=(zone("Z1"), zone("Z2", x_m=310.0, y_m=400.0, z_m=50.0)),
    )
    assert broken(scene, from_to(move(471, 581))) == []


def test_a_part_of_a_minute_is_a_minute():
    scene = two_places(rigs=(rig(move_min_per_100m=10.1),))  # 60 + 50.5
    assert broken(scene, from_to(move(471, 582))) == []
    assert only(scene, from_to(move(471, 581))).amount == 1


@pytest.mark.parametrize(
    ("start", "end", "expected"),
    [
        (471, 531, []),
        (470, 531, ["5", "6"]),  # its crew is still at the run, and so is the rig
        (610, 670, []),  # the next run starts at 670
        (611, 671, ["5", "6"]),
    ],
)
def test_a_relocation_overlaps_no_run(start, end, expected):
    found = broken(two_places(), from_to(move(start, end)))
    assert [one.rule for one in found] == expected
    assert all(one.amount == 1 for one in found)


def test_another_crew_may_relocate_but_not_while_the_rig_works():
    scene = two_places(crews=(crew("C1"), crew("C2")))
    assert rules(scene, from_to(move(470, 531, crew=CrewId("C2")))) == {"6"}
    assert rules(scene, from_to(move(471, 531, crew=CrewId("C2")))) == set()


def test_one_rig_is_not_relocated_twice_at_once():
    scene = two_places(positions=THREE, crews=(crew("C1"), crew("C2")))
    legs = (
        move(471, 531, to_position="P3"),
        move(530, 590, from_position="P3", crew=CrewId("C2")),
    )
    wrong = only(scene, from_to(*legs))
    assert (wrong.rule, wrong.amount) == ("6", 1)


@pytest.mark.parametrize(("at", "expected"), [(None, []), ("P1", []), ("P2", ["6"])])
def test_a_rig_that_stands_somewhere_is_relocated_before_it_works_elsewhere(at, expected):
    scene = two_places(rigs=(rig(at=at),), zones=(zone("Z1"),))
    assert [one.rule for one in broken(scene, plan(spell()))] == expected


def test_its_first_relocation_starts_where_it_stands():
    scene = two_places(rigs=(rig(at=P2),), zones=(zone("Z1"),))
    home = move(400, 460, from_position="P2", to_position="P1")
    assert broken(scene, plan(spell(500), relocations=(home,))) == []
    scene = two_places(rigs=scene.rigs, zones=scene.zones, positions=THREE)
    other = move(400, 460, from_position="P3", to_position="P1")
    wrong = only(scene, plan(spell(500), relocations=(other,)))
    assert (wrong.rule, wrong.table, wrong.row) == ("6", "relocations.csv", 2)


def test_progress_says_where_a_rig_stands_now():
    rows = (
        done("Z1", done_m3=1.0, at_min=60, rig_id=RigId("R1"), position_id=P2),
        done("Z1", done_m3=0.2, at_min=70, rig_id=RigId("R1"), position_id=PositionId("P1")),
    )
    rest = spell(390, 30, volume_m3=1.0)
    for order in (rows, rows[::-1]):
        scene = two_places(rigs=(rig(at=P2),), zones=(zone("Z1"),), done=order)
        assert broken(scene, plan(rest)) == []
    scene = two_places(rigs=(rig(),), zones=(zone("Z1"),), done=rows[:1] * 2)
    # 2 x 1 m³ done, 0.2 m³ left take 6 min
    assert only(scene, plan(spell(390, 6, volume_m3=0.2))).rule == "6"


def test_a_rig_that_stands_nowhere_yet_is_not_relocated():
    scene = two_places(zones=(zone("Z2", x_m=310.0, y_m=400.0),))
    wrong = only(scene, plan(there(), relocations=(move(400, 460),)))
    assert (wrong.rule, wrong.table) == ("6", "relocations.csv")
    assert "not been set up anywhere" in wrong.message


def test_a_relocation_leads_somewhere_else():
    scene = two_places(zones=(zone("Z1"),))
    back = move(471, 600, to_position="P1")
    assert "itself" in only(scene, plan(spell(), relocations=(back,))).message


@pytest.mark.parametrize(("start", "amount"), [(1020, None), (1021, 1), (1100, 60)])
def test_a_spray_crew_relocates_within_its_shift(start, amount):
    found = broken(two_places(), from_to(move(start, start + 60), second=DAY + 390))
    assert [(one.rule, one.amount) for one in found] == ([("6", amount)] if amount else [])


def test_a_lifting_gang_relocates_within_its_own_shift():
    nights = shift("night", start_tod=20 * 60, end_tod=4 * 60)
    scene = two_places(rules=Rules(relocation_shift=ShiftId("night")), shifts=(shift(), nights))
    made = {"second": DAY + 390}
    assert broken(scene, from_to(move(1200, 1260, crew=None), **made)) == []
    assert only(scene, from_to(move(1199, 1259, crew=None), **made)).amount == 1
    assert broken(scene, from_to(move(1620, 1680, crew=None), **made)) == []
    assert only(scene, from_to(move(1621, 1681, crew=None), **made)).amount == 1
    assert "leave crew C1 out" in only(scene, from_to(move(1200, 1260), **made)).message


def test_without_a_gang_a_spray_crew_is_named():
    assert "No crew is named" in only(two_places(), from_to(move(471, 531, crew=None))).message
    breakers = crew("B1", kind=CrewKind.BREAK_OUT, rate_m3_h=1.0)
    scene = two_places(
        crews=(crew(), breakers),
        zones=tuple(
            zone(one.zone_id, x_m=one.x_m, y_m=one.y_m, broken_out=True)
            for one in two_places().zones
        ),
    )
    assert only(scene, from_to(move(471, 531, crew=CrewId("B1")))).rule == "6"


@pytest.mark.parametrize(
    ("scope", "target", "counts"),
    [
        (ClosureScope.SITE, "", True),
        (ClosureScope.RIG, "R1", True),
        (ClosureScope.CREW, "C1", True),
        (ClosureScope.POSITION, "P1", True),
        (ClosureScope.POSITION, "P2", True),
        (ClosureScope.PROCESS, "dry", False),  # a plant that is shut does not hold up a lift
        (ClosureScope.RIG, "R2", False),
    ],
)
def test_a_relocation_keeps_closures(scope, target, counts):
    shut = closure(scope, target, from_min=550, to_min=560)
    scene = two_places(closures=(shut,))
    assert broken(scene, from_to(move(471, 550))) == []
    assert broken(scene, from_to(move(560, 620))) == []
    found = broken(scene, from_to(move(500, 560)))
    assert [(one.rule, one.amount) for one in found] == ([("6", 10)] if counts else [])


@pytest.mark.parametrize("place", ["P1", "P2"])
def test_a_relocation_keeps_the_water_limits_of_both_positions(place):
    limits = {place: {"water_max_m": 1.0}}  # 1 m or less from 300 to 780
    scene = two_places(
        water=sawtooth(),
        positions=(
            position("P1", **limits.get("P1", {})),
            position("P2", x_m=300.0, y_m=400.0, **limits.get("P2", {})),
        ),
    )
    second = {"second": DAY + 390}  # at 1830 the water is at 0 m again, run until 1911
    assert broken(scene, from_to(move(720, 780), **second)) == []
    assert only(scene, from_to(move(721, 781), **second)).amount == 1


@pytest.mark.parametrize("who", ["rigs", "crews"])
def test_nobody_works_before_arriving_or_after_leaving(who):
    make = {"rigs": rig, "crews": crew}[who]
    assert broken(campaign(**{who: (make(available_from_min=360),)}), plan()) == []
    late = only(campaign(**{who: (make(available_from_min=361),)}), plan())
    assert (late.rule, late.amount) == ("6", 1)
    assert broken(campaign(**{who: (make(available_to_min=471),)}), plan()) == []
    gone = only(campaign(**{who: (make(available_to_min=470),)}), plan())
    assert (gone.rule, gone.amount) == ("6", 1)


def test_relocations_keep_the_stay_of_rig_and_crew():
    scene = two_places(crews=(crew("C1"), crew("C2", available_from_min=500)))
    assert broken(scene, from_to(move(500, 560, crew=CrewId("C2")))) == []
    assert only(scene, from_to(move(490, 560, crew=CrewId("C2")))).amount == 10


def test_break_out_keeps_closures_and_stay_of_its_crew():
    breakers = crew("B1", kind=CrewKind.BREAK_OUT, rate_m3_h=2.2, available_from_min=370)
    shut = closure(ClosureScope.CREW, "B1", from_min=500, to_min=510)
    scene = campaign(crews=(crew(), breakers), closures=(shut,))
    assert broken(scene, plan(spell(600), break_outs=(piece(370, 430),))) == []
    assert only(scene, plan(spell(600), break_outs=(piece(369, 429),))).rule == "6"
    wrong = only(scene, plan(spell(600), break_outs=(piece(445, 505),)))
    assert (wrong.rule, wrong.amount) == ("6", 5)


def test_everything_lies_within_the_campaigns_days():
    scene = campaign(shifts=(shift(start_tod=0, end_tod=0),), rigs=(rig(available_to_min=10**6),))
    long = crew(available_to_min=10**6)
    scene = campaign(shifts=scene.shifts, rigs=scene.rigs, crews=(long,))
    end = HORIZON_MIN
    assert broken(scene, plan(spell(), runs=[run(360, 471)])) == []
    good = plan(spell(end - 81), runs=[around(spell(end - 81))])
    assert broken(scene, good) == []
    # one minute beyond: outside the days, and outside every shift, which is cut there
    late = broken(scene, plan(spell(end - 80)))
    assert [(one.rule, one.amount) for one in late] == [("4", 1), ("6", 1)]


def test_a_plan_starts_at_the_latest_progress():
    part = done(done_m3=1.2, at_min=370)
    rest = {"minutes": 30, "volume_m3": 1.0}
    scene = campaign(done=(part,))
    assert broken(scene, plan(spell(400, **rest))) == []
    wrong = only(scene, plan(spell(399, **rest)))
    assert (wrong.rule, wrong.amount) == ("6", 1)


# Rule 7: how many rigs stand where


def pair(**changes):
    """Two rigs with a crew each; Z1 and Z2 are both 10 m from P1, Z3 is by P2."""
    fields = {
        "zones": (zone("Z1"), zone("Z2"), zone("Z3", x_m=310.0, y_m=400.0)),
        "rigs": (rig("R1"), rig("R2")),
        "crews": (crew("C1"), crew("C2")),
        "positions": (position("P1"), position("P2", x_m=300.0, y_m=400.0)),
    }
    return campaign(**(fields | changes))


def second_rig(start, **changes):
    return spell(start, run="2", zone="Z2", rig=RigId("R2"), crew=CrewId("C2"), **changes)


def away(start, **changes):
    return spell(start, run="3", zone="Z3", position=P2, **changes)


def test_two_rigs_do_not_stand_where_one_has_room():
    scene = pair(zones=pair().zones[:2])
    wrong = only(scene, plan(spell(390), second_rig(400)))
    assert (wrong.rule, wrong.table, wrong.row, wrong.amount) == ("7", "runs.csv", 3, 1)
    roomy = pair(zones=scene.zones, positions=(position("P1", rigs_max=2),))
    assert broken(roomy, plan(spell(390), second_rig(400))) == []


@pytest.mark.parametrize(("start", "clashes"), [(471, False), (470, True)])
def test_a_rig_leaves_with_its_last_run(start, clashes):
    scene = pair(zones=pair().zones[:2])
    assert rules(scene, plan(spell(390), second_rig(start + 30))) == ({"7"} if clashes else set())


@pytest.mark.parametrize(("start", "clashes"), [(600, False), (599, True)])
def test_a_rig_that_goes_on_elsewhere_holds_until_its_relocation_begins(start, clashes):
    made = plan(spell(390), second_rig(start + 30), away(800), relocations=(move(600, 660),))
    assert rules(pair(), made) == ({"7"} if clashes else set())


@pytest.mark.parametrize(("end", "clashes"), [(471, False), (470, True)])
def test_a_rig_holds_from_the_end_of_its_relocation(end, clashes):
    # R2 arrives at P1, where R1's run ends at 471
    scene = pair(rigs=(rig("R1"), rig("R2", at=P2)), zones=pair().zones[:2])
    came = move(
        end - 60, end, rig=RigId("R2"), crew=CrewId("C2"), from_position="P2", to_position="P1"
    )
    made = plan(spell(390), second_rig(700), relocations=(came,))
    assert rules(scene, made) == ({"7"} if clashes else set())


def test_a_rig_that_stands_there_from_the_start_holds_from_the_start():
    scene = pair(rigs=(rig("R1"), rig("R2", at=PositionId("P1"))), zones=pair().zones[:2])
    # R2 works only later, but stands at P1 all the while
    assert rules(scene, plan(spell(390), second_rig(700))) == {"7"}


def test_a_rig_that_comes_later_holds_from_then():
    late = rig("R2", at=PositionId("P1"), available_from_min=471)
    scene = pair(rigs=(rig("R1"), late), zones=pair().zones[:2])
    assert broken(scene, plan(spell(390), second_rig(700))) == []
    soon = rig("R2", at=PositionId("P1"), available_from_min=470)
    scene = pair(rigs=(rig("R1"), soon), zones=pair().zones[:2])
    assert rules(scene, plan(spell(390), second_rig(700))) == {"7"}


def test_a_rig_without_any_run_holds_nothing():
    scene = pair(rigs=(rig("R1"), rig("R2", at=PositionId("P1"))), zones=pair().zones[:1])
    assert broken(scene, plan(spell(390))) == []
    # not even when it is moved about
    scene = pair(rigs=(rig("R1"), rig("R2", at=P2)), zones=pair().zones[:1])
    came = move(380, 440, rig=RigId("R2"), crew=CrewId("C2"), from_position="P2", to_position="P1")
    assert broken(scene, plan(spell(390), relocations=(came,))) == []


def test_a_rig_moved_on_after_its_last_run_holds_nothing_more():
    # R1's last run ends at 471; that it is moved at 900 keeps no room until then
    scene = pair(zones=pair().zones[:2])
    made = plan(spell(390), second_rig(600), relocations=(move(900, 960),))
    assert broken(scene, made) == []


def test_a_place_may_be_swapped_in_a_minute():
    # R1 leaves P1 at 600, R2 arrives there at 600
    scene = pair(rigs=(rig("R1"), rig("R2", at=P2)))
    came = move(540, 600, rig=RigId("R2"), crew=CrewId("C2"), from_position="P2", to_position="P1")
    made = plan(spell(390), second_rig(700), away(800), relocations=(came, move(600, 660)))
    assert broken(scene, made) == []
