"""Rules 4 and 5; the shift of the scene is 06:00-18:00 = [360, 1080) every day."""

import pytest

from planner.model.identifiers import CrewId, CrewKind, MixId, Orientation, Process, RigId
from planner.model.limits import ClosureScope
from planner.plan.plan import RunKind
from tests.builders import campaign, closure, crew, mix, position, rig, shift, zone
from tests.unit.checks.plans import around, broken, only, plan, rules, run, sawtooth, spell

OVERHEAD_AND_WALL = (mix(), mix(orientation=Orientation.VERTICAL))


def test_the_small_plan_is_valid():
    assert broken(campaign(), plan()) == []


@pytest.mark.parametrize(
    ("start", "amount"),
    [(390, None), (389, 1), (1080 - 15 - 66, None), (1080 - 15 - 66 + 1, 1), (1200, 111)],
)
def test_a_run_stays_inside_one_shift(start, amount):
    found = broken(campaign(), plan(spell(start)))
    assert [(one.rule, one.amount) for one in found] == ([("4", amount)] if amount else [])


def test_two_shifts_that_touch_are_still_two():
    # 24 h from 06:00 to 06:00: a run over 06:00 on Tuesday = 1800 lies in neither
    scene = campaign(shifts=(shift(end_tod=360),))
    assert rules(scene, plan(spell(1800 - 15 - 66))) == set()
    wrong = only(scene, plan(spell(1800 - 15 - 66 + 1)))
    assert (wrong.rule, wrong.amount) == ("4", 1)
    assert rules(scene, plan(spell(1800 + 30))) == set()


def test_a_shift_of_the_eve_counts_from_the_first_midnight_on():
    # 22:00-06:00: Sunday's, cut to [0, 360) on Monday
    scene = campaign(shifts=(shift(start_tod=22 * 60, end_tod=360),))
    assert rules(scene, plan(spell(30))) == set()
    assert rules(scene, plan(spell(360 - 15 - 66))) == set()
    assert rules(scene, plan(spell(360 - 14 - 66))) == {"4"}


def test_a_shift_starts_only_on_its_days():
    # night shifts that start on Mondays: [1320, 1800), nothing in the first morning
    nights = shift(weekdays=frozenset({0}), start_tod=22 * 60, end_tod=360)
    scene = campaign(shifts=(nights,))
    assert rules(scene, plan(spell(30))) == {"4"}
    assert rules(scene, plan(spell(1440 + 30))) == set()
    assert rules(scene, plan(spell(2880 + 30))) == {"4"}


@pytest.mark.parametrize(
    ("start", "end", "amount"),
    [(360, 471, None), (361, 471, 1), (390, 471, 30), (360, 470, 1), (360, 456, 15)],
)
def test_a_run_has_its_start_up_and_clean_up(start, end, amount):
    found = broken(campaign(), plan(spell(), runs=[run(start, end)]))
    assert [(one.rule, one.amount) for one in found] == ([("4", amount)] if amount else [])


def test_a_run_may_be_longer_than_it_needs():
    assert broken(campaign(), plan(spell(500), runs=[run(360, 700)])) == []


def test_a_spell_outside_its_run_breaks_rule_4():
    # the run should begin at 500 - 30 and begins at 700; it should end at 581 and does later
    wrong = only(campaign(), plan(spell(500), runs=[run(700, 800)]))
    assert (wrong.rule, wrong.amount) == ("4", 700 - 470)


@pytest.mark.parametrize(("gap", "amount"), [(30, None), (31, 1)])
def test_a_rig_stands_idle_no_longer_than_it_may(gap, amount):
    scene = campaign(zones=(zone("Z1"), zone("Z2")), rigs=(rig(idle_max_min=30),))
    first, second = spell(390), spell(456 + gap, zone="Z2")
    found = broken(scene, plan(first, second, runs=[around(first, second)]))
    assert [(one.rule, one.row, one.amount) for one in found] == (
        [("4", 3, amount)] if amount else []
    )


def test_idling_runs_from_the_spell_that_ends_last():
    # Z1 until 456, Z2 within it; Z3 30 min after Z1, 56 after Z2; then another 31
    scene = campaign(
        zones=(zone("Z1"), zone("Z2", volume_m3=1.0), zone("Z3"), zone("Z4")),
        rigs=(rig(idle_max_min=30),),
    )
    spells = [
        spell(390),
        spell(400, 30, zone="Z2", volume_m3=1.0),
        spell(486, zone="Z3"),
        spell(583, zone="Z4"),
    ]
    found = broken(scene, plan(*spells, runs=[around(*spells)]))
    assert [(one.rule, one.row, one.amount) for one in found] == [("4", 5, 1), ("2", 3, 66)][::-1]


def test_waiting_before_the_first_spell_is_no_idling():
    scene = campaign(rigs=(rig(idle_max_min=0),))
    assert broken(scene, plan(spell(600), runs=[run(360, 681)])) == []


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"crews": (crew(processes=(Process.WET,)),)}, "crew C1 does not allow"),
        ({"crews": (crew(orientations=(Orientation.FLOOR,)),)}, "may not spray overhead"),
        ({"positions": (position(processes=(Process.WET,)),)}, "position P1 does not allow"),
        ({"rigs": (rig(mixes=(MixId("fine"),)),)}, "does not spray mix dry"),
        ({"zones": (zone(mixes=(MixId("fine"),)),)}, "does not allow mix dry"),
        ({"mixes": (mix(process=Process.WET),)}, "works dry, but mix dry does not"),
        ({"mixes": (mix(orientation=Orientation.FLOOR),)}, "is not sprayed overhead"),
        (
            {"crews": (crew(kind=CrewKind.BREAK_OUT),), "zones": (zone(broken_out=True),)},
            "breaks out",
        ),
    ],
)
def test_process_mix_and_orientation_are_allowed_by_all(changes, message):
    wrong = only(campaign(**changes), plan())
    assert wrong.rule == "4"
    assert message in wrong.message


def test_a_crew_may_spray_every_orientation_of_its_run():
    scene = campaign(
        zones=(zone("Z1"), zone("Z2", orientation=Orientation.VERTICAL)),
        mixes=OVERHEAD_AND_WALL,
        crews=(crew(orientations=(Orientation.OVERHEAD, Orientation.VERTICAL)),),
    )
    first, second = spell(390), spell(466, zone="Z2")
    made = plan(first, second, runs=[around(first, second)])
    assert broken(scene, made) == []
    narrow = campaign(
        zones=scene.zones,
        mixes=OVERHEAD_AND_WALL,
        crews=(crew(orientations=(Orientation.OVERHEAD,)),),
    )
    wrong = only(narrow, made)
    assert (wrong.rule, wrong.table, wrong.row) == ("4", "runs.csv", 2)


@pytest.mark.parametrize("column", ["rig", "crew", "position"])
def test_a_spell_names_what_its_run_names(column):
    scene = campaign(
        rigs=(rig("R1"), rig("R2")),
        crews=(crew("C1"), crew("C2")),
        positions=(position("P1"), position("P2")),
    )
    other = {"rig": "R2", "crew": "C2", "position": "P2"}[column]
    wrong = only(scene, plan(spell(**{column: other}), runs=[run()]))
    assert (wrong.rule, wrong.table) == ("4", "spells.csv")


def test_a_panel_run_keeps_shift_and_orientation_too():
    scene = campaign(crews=(crew(orientations=(Orientation.OVERHEAD,)),), mixes=OVERHEAD_AND_WALL)
    panel = {"run": "p", "kind": RunKind.PANEL}
    good = run(600, 700, orientation=Orientation.OVERHEAD, **panel)
    assert broken(scene, plan(spell(), runs=[run(), good])) == []
    wall = run(600, 700, orientation=Orientation.VERTICAL, **panel)
    assert only(scene, plan(spell(), runs=[run(), wall])).rule == "4"
    night = run(1000, 1100, orientation=Orientation.OVERHEAD, **panel)
    assert only(scene, plan(spell(), runs=[run(), night])).amount == 20
    floor = run(600, 700, orientation=Orientation.FLOOR, **panel)
    everyone = campaign(mixes=OVERHEAD_AND_WALL)
    assert "not sprayed floor" in only(everyone, plan(spell(), runs=[run(), floor])).message


TWO = {"zones": (zone("Z1"), zone("Z2"))}


@pytest.mark.parametrize(("start", "amount"), [(471, None), (470, 1), (400, 71)])
def test_runs_of_one_rig_do_not_overlap(start, amount):
    scene = campaign(crews=(crew("C1"), crew("C2")), **TWO)
    second = spell(start + 30, run="2", zone="Z2", crew=CrewId("C2"))
    found = broken(scene, plan(spell(), second))
    assert [(one.rule, one.row, one.amount) for one in found] == (
        [("5", 3, amount)] if amount else []
    )


@pytest.mark.parametrize(("start", "amount"), [(471, None), (470, 1)])
def test_runs_of_one_crew_do_not_overlap(start, amount):
    scene = campaign(rigs=(rig("R1"), rig("R2")), positions=(position(rigs_max=2),), **TWO)
    second = spell(start + 30, run="2", zone="Z2", rig=RigId("R2"))
    found = broken(scene, plan(spell(), second))
    assert [(one.rule, one.row, one.amount) for one in found] == (
        [("5", 3, amount)] if amount else []
    )


@pytest.mark.parametrize(
    ("scope", "target"),
    [
        (ClosureScope.RIG, "R1"),
        (ClosureScope.CREW, "C1"),
        (ClosureScope.POSITION, "P1"),
        (ClosureScope.PROCESS, "dry"),
    ],
)
@pytest.mark.parametrize(
    ("from_min", "to_min", "amount"),
    [(0, 360, 0), (0, 361, 1), (471, 900, 0), (470, 900, 1), (400, 410, 10), (0, 2000, 111)],
)
def test_a_closure_touches_no_run(scope, target, from_min, to_min, amount):
    shut = closure(scope, target, from_min=from_min, to_min=to_min, why="serviced")
    found = broken(campaign(closures=(shut,)), plan())
    assert [(one.rule, one.amount) for one in found] == ([("5", amount)] if amount else [])
    assert not found or "serviced" in found[0].message


def test_closures_that_overlap_are_not_counted_twice():
    shut = (
        closure(ClosureScope.RIG, "R1", from_min=400, to_min=420),
        closure(ClosureScope.RIG, "R1", from_min=410, to_min=430),
    )
    assert only(campaign(closures=shut), plan()).amount == 30


def test_a_site_closure_stops_a_run_whatever_its_spells_do():
    # start-up alone, 360 to 380, falls into it; the zone's window opens at 370
    shut = closure(ClosureScope.SITE, from_min=0, to_min=365)
    wrong = only(campaign(closures=(shut,)), plan())
    assert (wrong.rule, wrong.amount) == ("5", 5)


def test_other_closures_do_not_matter():
    shut = (
        closure(ClosureScope.RIG, "R2"),
        closure(ClosureScope.CREW, "C2"),
        closure(ClosureScope.POSITION, "P2"),
        closure(ClosureScope.PROCESS, "wet"),
        closure(ClosureScope.SECTION, "R1"),
    )
    assert broken(campaign(closures=shut), plan()) == []


@pytest.mark.parametrize(
    ("tods", "days", "amount"),
    [
        ((7 * 60, 7 * 60 + 20), None, 20),
        ((7 * 60, 7 * 60 + 20), {1, 2}, 0),  # Tuesdays and Wednesdays; the run is on Monday
        ((22 * 60, 6 * 60 + 10), None, 10),  # Sunday night reaches into Monday
        ((22 * 60, 6 * 60 + 10), {0}, 0),  # Mondays' nights start on Monday
        ((22 * 60, 6 * 60 + 10), {6}, 10),
        ((None, None), {0}, 111),  # the whole of every Monday
        ((None, None), {1}, 0),
    ],
)
def test_a_daily_closure_holds_between_its_hours_on_its_days(tods, days, amount):
    shut = closure(
        ClosureScope.CREW,
        "C1",
        from_min=0,
        to_min=7 * 1440,
        start_tod=tods[0],
        end_tod=tods[1],
        weekdays=None if days is None else frozenset(days),
    )
    found = broken(campaign(closures=(shut,)), plan())
    assert [(one.rule, one.amount) for one in found] == ([("5", amount)] if amount else [])


def test_a_daily_closure_is_cut_at_its_own_ends():
    # 07:00-08:00 daily, but only from 07:10 on and until 07:20
    shut = closure(ClosureScope.CREW, "C1", from_min=430, to_min=440, start_tod=420, end_tod=480)
    assert only(campaign(closures=(shut,)), plan()).amount == 10


@pytest.mark.parametrize(
    ("start", "amount"),
    [(390, None), (630 - 15, None), (639, None), (640, 1), (700, 61)],
)
def test_a_run_keeps_the_water_limits_of_its_position(start, amount):
    # 0 m or less from 360 to 720; the run of a spell at 390 is [360, 471), at 639 [609, 720)
    scene = campaign(water=sawtooth(), positions=(position(water_max_m=0.0),))
    found = broken(scene, plan(spell(start)))
    assert [(one.rule, one.amount) for one in found] == ([("5", amount)] if amount else [])


def test_allowances_count_at_a_position_too():
    scene = campaign(
        water=sawtooth(allowance_m=0.5, allowance_low_m=0.25),
        positions=(position(water_max_m=0.0, water_min_m=-3.0),),
    )
    # -0.5 m or less from 390; -2.75 m or more until 525
    assert broken(scene, plan(spell(420, 60), runs=[run(390, 525)]))[-1].rule == "8"
    assert rules(scene, plan(spell(425), runs=[run(390, 525)])) == set()
    assert only(scene, plan(spell(425), runs=[run(389, 525)])).amount == 1
    assert only(scene, plan(spell(425), runs=[run(390, 526)])).amount == 1


def test_panel_runs_keep_closures_and_water_too():
    shut = closure(ClosureScope.CREW, "C1", from_min=600, to_min=620)
    scene = campaign(closures=(shut,), water=sawtooth(), positions=(position(water_max_m=0.0),))
    panel = run(610, 730, run="p", kind=RunKind.PANEL, orientation=Orientation.OVERHEAD)
    found = broken(scene, plan(spell(), runs=[run(), panel]))
    assert [(one.rule, one.amount) for one in found] == [("5", 10), ("5", 10)]
