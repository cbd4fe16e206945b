"""Rules 1, 2 and 3.

With the sawtooth water a zone with water_max_m = 0 has the window [360, 720) on Monday, which is
[370, 710) when shortened by 10 minutes at each end.
"""

import pytest

from planner.model.crew import Shift
from planner.model.identifiers import ShiftId
from planner.model.limits import ClosureScope
from planner.model.rules import Rules
from planner.model.water import LevelPoint, Water, WaterKind
from tests.builders import EVERY_DAY, campaign, closure, mix, zone
from tests.unit.checks.plans import around, broken, only, plan, rules, sawtooth, spell

ALL_DAY = Shift(shift_id=ShiftId("day"), weekdays=EVERY_DAY, start_tod=0, end_tod=0)


def tidal(*, rules=None, shifts=(ALL_DAY,), water=None, mixes=None, closures=(), **face):
    fields = {"water_max_m": 0.0}
    return campaign(
        water=water or sawtooth(),
        zones=(zone(**(fields | face)),),
        shifts=shifts,
        mixes=mixes or (mix(),),
        closures=closures,
        rules=rules or Rules(),
    )


@pytest.mark.parametrize(
    ("start", "amounts"),
    [
        (380, []),  # change from 370: the first minute people can be there
        (644, []),  # ends at 710: the last minute
        (645, [("1", 1.0)]),
        (379, [("2", 1.0)]),  # the change, not yet the spell, is too early
        (370, [("2", 10.0)]),
        (369, [("1", 1.0)]),
        (360, [("1", 10.0)]),
        (654, [("1", 10.0)]),  # ends with the window itself, at 720
        (655, [("1", 1.0)]),  # one minute of it above the limit
        (300, [("1", 60.0)]),
    ],
)
def test_a_spell_keeps_inside_the_shortened_window(start, amounts):
    found = broken(tidal(), plan(spell(start)))
    assert [(one.rule, one.amount) for one in found] == amounts


def test_zones_may_lose_other_minutes_than_the_rules_say():
    scene = tidal(get_in_min=30, get_out_min=0)  # [390, 720)
    assert rules(scene, plan(spell(400))) == set()
    assert rules(scene, plan(spell(399))) == {"2"}
    assert rules(scene, plan(spell(654))) == set()
    assert rules(scene, plan(spell(655))) == {"1"}


def test_allowances_narrow_the_window():
    # the water may stand 0.5 m higher: below -0.5 m from 390 to 690, shortened [400, 680)
    scene = tidal(water=sawtooth(allowance_m=0.5))
    assert rules(scene, plan(spell(410))) == set()
    assert rules(scene, plan(spell(409))) == {"2"}
    assert rules(scene, plan(spell(614))) == set()
    assert only(scene, plan(spell(615))).amount == 1


def test_a_floating_access_needs_its_water():
    # between 0 m and -2 m, 0.5 m less water possible: above -1.5 m from 360 to 450
    scene = tidal(
        water=sawtooth(allowance_low_m=0.5),
        water_min_m=-2.0,
        get_in_min=0,
        get_out_min=0,
        volume_m3=1.0,
    )
    half = {"minutes": 30, "volume_m3": 1.0}
    assert rules(scene, plan(spell(420, **half))) == set()
    wrong = only(scene, plan(spell(421, **half)))
    assert (wrong.rule, wrong.amount) == ("1", 1)
    assert "too low" in wrong.message


@pytest.mark.parametrize(
    ("end", "too_short"),
    [
        (451, 0.0),  # closed from 451: [360, 451) is 91 minutes
        (450, 0.0),
        (449, 1.0),
    ],
)
def test_a_window_below_the_least_length_is_not_used(end, too_short):
    scene = tidal(
        rules=Rules(window_min_min=90, get_in_min=0, get_out_min=0),
        closures=(closure(ClosureScope.ZONE, "Z1", from_min=end, to_min=720),),
        volume_m3=1.0,
    )
    found = broken(scene, plan(spell(375, 30, volume_m3=1.0)))
    assert [(one.rule, one.amount) for one in found] == [("1", 1.0)] * bool(too_short)


@pytest.mark.parametrize(("least", "is_used"), [(69, True), (70, False)])
def test_the_least_length_is_compared_before_rounding(least, is_used):
    # 1 m in 60 min: below -2.425 m from 505.5 to 574.5, 69 min; whole minutes [506, 574): 68
    scene = tidal(
        rules=Rules(window_min_min=least, get_in_min=0, get_out_min=0),
        water_max_m=-2.425,
        volume_m3=1.0,
    )
    found = broken(scene, plan(spell(516, 30, volume_m3=1.0)))
    assert [one.rule for one in found] == ([] if is_used else ["1"])
    assert is_used or found[0].amount == 1.0


@pytest.mark.parametrize("start", [505, 506])
def test_windows_are_rounded_inwards(start):
    scene = tidal(
        rules=Rules(window_min_min=45, get_in_min=0, get_out_min=0, zone_change_min=0),
        water_max_m=-2.425,  # from 505.5
        volume_m3=1.0,
    )
    one = spell(start, 30, volume_m3=1.0)
    assert rules(scene, plan(one, runs=[around(one)])) == (set() if start == 506 else {"1"})


def test_finishing_fits_into_the_window_but_not_into_the_run():
    # 20 m² x 2.45 min = 49 min after the spell, until people leave at 710
    scene = tidal(mixes=(mix(finish_min_m2=2.45),))
    assert rules(scene, plan(spell(710 - 49 - 66))) == set()
    wrong = only(scene, plan(spell(710 - 49 - 66 + 1)))
    assert (wrong.rule, wrong.amount) == ("1", 1)
    assert "Finishing" in wrong.message


def test_only_the_last_layer_is_finished():
    # two layers of 33 min in Monday's window and Tuesday's; 100 min to finish
    scene = tidal(mixes=(mix(finish_min_m2=5.0, layer_max_mm=50.0),))
    half = {"minutes": 33, "volume_m3": 1.1}
    first = spell(677, run="1", **half)  # ends at 710
    good = spell(DAY_2 + 577, run="2", layer=2, **half)  # ends at 610, finished at 710
    late = spell(DAY_2 + 578, run="2", layer=2, **half)
    assert rules(scene, plan(first, good)) == set()
    assert only(scene, plan(first, late)).amount == 1


DAY_2 = 24 * 60


def test_closures_of_site_section_and_zone_cut_a_window():
    for scope, target in (
        (ClosureScope.SITE, ""),
        (ClosureScope.SECTION, "north"),
        (ClosureScope.ZONE, "Z1"),
    ):
        shut = closure(scope, target, from_min=500, to_min=600, why="berth taken")
        scene = tidal(closures=(shut,), section="north", get_out_min=15)
        # [360, 500) shortened [370, 485); the run ends 15 min later still
        assert rules(scene, plan(spell(419))) == set()
        assert "1" in rules(scene, plan(spell(420)))
        wrong = [one for one in broken(scene, plan(spell(490))) if one.rule == "1"]
        assert [one.amount for one in wrong] == [56]
        assert "berth taken" in wrong[0].message


def test_another_zones_closure_cuts_nothing():
    scene = tidal(closures=(closure(ClosureScope.ZONE, "Z9", from_min=380, to_min=600),))
    assert rules(scene, plan(spell(400))) == set()


def test_windows_end_with_the_campaigns_days():
    # no water: the window is the whole campaign
    scene = campaign(shifts=(ALL_DAY,), rules=Rules(get_in_min=25, get_out_min=20))
    end = scene.clock.horizon_min
    assert rules(scene, plan(spell(end - 20 - 66))) == set()
    assert rules(scene, plan(spell(end - 19 - 66))) == {"1"}
    assert rules(scene, plan(spell(35))) == set()
    assert rules(scene, plan(spell(34))) == {"2"}


def test_an_unknown_level_closes_a_zone():
    points = tuple(LevelPoint(minute=60.0 * k, level_m=-1.0) for k in (0, 2, 4, 6, 8, 12, 14))
    water = Water(kind=WaterKind.LEVELS, levels=((None, points),))
    scene = tidal(water=water)  # closed between 08:00 and 12:00: a gap of more than 3 h
    assert rules(scene, plan(spell(480 - 10 - 66))) == set()
    wrong = only(scene, plan(spell(480)))
    assert wrong.rule == "1"
    assert "not known" in wrong.message


def test_a_zone_that_water_never_reaches_needs_no_level():
    scene = tidal(water=Water(kind=WaterKind.LEVELS), water_max_m=None)
    assert rules(scene, plan(spell(900))) == set()


def test_float_noise_closes_nothing():
    # 1.1 + 0.2 = 1.3000000000000003, which is 1.3
    points = tuple(LevelPoint(minute=120.0 * k, level_m=1.1) for k in range(13))
    water = Water(kind=WaterKind.LEVELS, levels=((None, points),), allowance_m=0.2)
    assert rules(tidal(water=water, water_max_m=1.3), plan()) == set()
    assert rules(tidal(water=water, water_max_m=1.29), plan()) == {"1"}


def test_each_spell_is_held_against_the_one_that_ends_last():
    # Z1 lasts 66 min; Z2 takes 30 within it; Z3 waits for Z1, the longer one
    scene = campaign(zones=(zone("Z1"), zone("Z2", volume_m3=1.0), zone("Z3")))
    spells = [spell(390), spell(400, 30, zone="Z2", volume_m3=1.0), spell(460, zone="Z3")]
    found = broken(scene, plan(*spells, runs=[around(*spells)]))
    assert [(one.rule, one.row, one.amount) for one in found] == [("2", 3, 66), ("2", 4, 6)]


@pytest.mark.parametrize(("gap", "amount"), [(10, None), (9, 1), (0, 10)])
def test_each_spell_of_a_run_has_its_zone_change(gap, amount):
    scene = campaign(zones=(zone("Z1"), zone("Z2")))
    first, second = spell(390), spell(456 + gap, zone="Z2")
    found = broken(scene, plan(first, second, runs=[around(first, second)]))
    assert [(one.rule, one.amount) for one in found] == ([("2", amount)] if amount else [])


def test_a_rig_does_not_spray_two_zones_at_once():
    scene = campaign(zones=(zone("Z1"), zone("Z2")))
    first, second = spell(390), spell(420, zone="Z2")
    wrong = only(scene, plan(first, second, runs=[around(first, second)]))
    # free at 456, change until 466
    assert (wrong.rule, wrong.row, wrong.amount) == ("2", 3, 46)


@pytest.mark.parametrize(
    ("start", "amount"),
    [
        # above 0 m it is wet: from 720; protected for 2 h after the end
        (720 - 120 - 66, None),
        (720 - 120 - 66 + 1, 1),
        (620, 86),
    ],
)
def test_water_stays_away_until_the_surface_is_protected(start, amount):
    scene = tidal(water_max_m=None, wets_at_m=0.0, mixes=(mix(protect_h=2.0),))
    found = broken(scene, plan(spell(start)))
    assert [(one.rule, one.amount) for one in found] == ([("3", amount)] if amount else [])


def test_the_surface_must_be_dry_from_the_start_of_the_spell():
    scene = tidal(water_max_m=None, wets_at_m=0.0, mixes=(mix(protect_h=0.0),))
    assert rules(scene, plan(spell(360))) == set()  # the water leaves at 360
    wrong = only(scene, plan(spell(359)))
    assert (wrong.rule, wrong.amount) == ("3", 66)


def test_the_allowance_counts_for_wetting_as_well():
    # + 0.5 m: wet from 690
    scene = tidal(
        water=sawtooth(allowance_m=0.5),
        water_max_m=None,
        wets_at_m=0.0,
        mixes=(mix(protect_h=2.0),),
    )
    assert rules(scene, plan(spell(690 - 120 - 66))) == set()
    assert only(scene, plan(spell(690 - 120 - 66 + 1))).amount == 1


def test_a_part_of_a_minute_of_protection_counts_as_a_whole_one():
    # 1.99 h = 119.4 min, so 120
    scene = tidal(water_max_m=None, wets_at_m=0.0, mixes=(mix(protect_h=1.99),))
    assert rules(scene, plan(spell(720 - 120 - 66))) == set()
    assert only(scene, plan(spell(720 - 120 - 66 + 1))).amount == 1


def test_protection_reaches_beyond_the_campaigns_days():
    scene = tidal(
        water=sawtooth(days=14), water_max_m=None, wets_at_m=4.0, mixes=(mix(protect_h=6.0),)
    )
    end = scene.clock.horizon_min  # where the series ends, too
    assert rules(scene, plan(spell(end - 360 - 66))) == set()
    wrong = only(scene, plan(spell(end - 359 - 66)))
    assert (wrong.rule, wrong.amount) == ("3", 1)
    assert "not known" in wrong.message


def test_each_zone_is_held_against_its_own_water():
    # Z1 is never wetted, Z2 stays dry, Z3 is wetted from 720 on
    scene = campaign(
        water=sawtooth(),
        zones=(zone("Z1"), zone("Z2", wets_at_m=9.0), zone("Z3", wets_at_m=0.0)),
        mixes=(mix(protect_h=0.0),),
    )
    spells = [spell(390 + 76 * k, zone=f"Z{k + 1}") for k in range(3)]
    assert broken(scene, plan(*spells, runs=[around(*spells)])) == []
    late = [spell(600 + 76 * k, zone=f"Z{k + 1}") for k in range(3)]
    wrong = only(scene, plan(*late, runs=[around(*late)]))
    assert (wrong.rule, wrong.row, wrong.amount) == ("3", 4, 818 - 752)
    unknown = campaign(
        water=sawtooth(),
        zones=(zone("Z1", wets_at_m=9.0), zone("Z2", wets_at_m=9.0)),
        mixes=(mix(protect_h=None),),
    )
    pair = spells[:2]
    assert [one.row for one in broken(unknown, plan(*pair, runs=[around(*pair)]))] == [2, 3]


def test_a_section_is_wetted_by_its_own_water():
    def flat(level_m):
        return tuple(LevelPoint(minute=180.0 * k, level_m=level_m) for k in range(120))

    water = Water(kind=WaterKind.LEVELS, levels=((None, flat(2.0)), ("low", flat(-2.0))))
    scene = campaign(water=water, zones=(zone(wets_at_m=0.0, section="low"),))
    assert broken(scene, plan()) == []


@pytest.mark.parametrize(("start", "expected"), [(420, set()), (419, {"2"})])
def test_a_long_zone_change_is_looked_for_far_enough_back(start, expected):
    # 360 + 10 to get in + 50 of change, where no window is too short
    scene = tidal(rules=Rules(window_min_min=0, zone_change_min=50))
    made = plan(spell(start), runs=[around(spell(start), start_min=start - 70)])
    assert rules(scene, made) == expected


def test_a_zone_that_can_be_wetted_needs_a_known_protection():
    scene = tidal(water_max_m=None, wets_at_m=9.0, mixes=(mix(protect_h=None),))
    assert only(scene, plan(spell(400))).rule == "3"


def test_a_zone_that_water_never_wets_needs_none():
    scene = tidal(water_max_m=None, wets_at_m=None, mixes=(mix(protect_h=None),))
    assert rules(scene, plan(spell(700))) == set()
