"""Rules 12 and 13.

A panel run of R1 takes 20 + 60 + 15 = 95 min; B1 breaks out 2.2 m³/h, so Z1 in 60 min.
"""

import pytest

from planner.model.identifiers import CrewId, CrewKind, MixId, Orientation, Process, RigId, ShiftId
from planner.model.limits import ClosureScope
from planner.model.rules import Rules
from planner.plan.plan import RunKind
from tests.builders import campaign, closure, crew, done, mix, position, rig, shift, zone
from tests.unit.checks.plans import (
    DAY,
    around,
    broken,
    left_out,
    only,
    piece,
    plan,
    rules,
    run,
    sawtooth,
    spell,
)

SEVEN_DAYS = Rules(panel_days=7.0)
PANEL_END = 360 + 95
LATER = PANEL_END + 7 * DAY


def panel(start=360, end=PANEL_END, *, name="p", **changes):
    fields = {"kind": RunKind.PANEL, "orientation": Orientation.OVERHEAD} | changes
    return run(start, end, run=name, **fields)


def with_panel(start=LATER, made=None):
    one = spell(start)
    return plan(one, runs=[made or panel(), around(one)])


@pytest.mark.parametrize(("start", "amount"), [(LATER, None), (LATER - 1, 1), (600, 9935)])
def test_production_waits_for_the_panel(start, amount):
    found = broken(campaign(rules=SEVEN_DAYS), with_panel(start))
    assert [(one.rule, one.amount) for one in found] == ([("12", amount)] if amount else [])


def test_without_a_panel_there_is_no_production():
    wrong = only(campaign(rules=SEVEN_DAYS), plan(spell(LATER)))
    assert (wrong.rule, wrong.table) == ("12", "spells.csv")
    assert "no test panel" in wrong.message


def test_part_days_count_in_minutes():
    # 0.5 days = 720 min
    scene = campaign(rules=Rules(panel_days=0.5), shifts=(shift(start_tod=0, end_tod=0),))
    scene_end = PANEL_END + 720
    assert broken(scene, with_panel(scene_end)) == []
    assert only(scene, with_panel(scene_end - 1)).amount == 1


@pytest.mark.parametrize(("end", "amount"), [(PANEL_END, None), (PANEL_END - 1, 1)])
def test_a_panel_run_is_long_enough(end, amount):
    found = broken(campaign(rules=SEVEN_DAYS), with_panel(made=panel(end=end)))
    assert [(one.rule, one.amount) for one in found] == ([("12", amount)] if amount else [])


def test_a_panel_that_nobody_asked_for_is_allowed():
    assert broken(campaign(), with_panel()) == []
    twice = [panel(), panel(500, 595, name="q"), around(spell(LATER))]
    assert broken(campaign(rules=SEVEN_DAYS), plan(spell(LATER), runs=twice)) == []


def test_the_earlier_of_two_panels_counts():
    runs = [panel(700, 795, name="q"), panel(), around(spell(LATER))]
    assert broken(campaign(rules=SEVEN_DAYS), plan(spell(LATER), runs=runs)) == []


@pytest.mark.parametrize(
    "changes", [{"crew": CrewId("C2")}, {"orientation": Orientation.VERTICAL}, {"mix": "fine"}]
)
def test_a_panel_of_another_crew_mix_or_orientation_does_not_do(changes):
    scene = campaign(
        rules=SEVEN_DAYS,
        crews=(crew("C1"), crew("C2")),
        mixes=(mix(), mix(orientation=Orientation.VERTICAL), mix("fine")),
    )
    assert rules(scene, with_panel(made=panel(**changes))) == {"12"}


def test_each_mix_and_orientation_needs_its_own():
    scene = campaign(
        rules=SEVEN_DAYS,
        zones=(zone("Z1"), zone("Z2", orientation=Orientation.VERTICAL)),
        mixes=(mix(), mix(orientation=Orientation.VERTICAL)),
    )
    both = (spell(LATER), spell(LATER + 76, zone="Z2"))
    second = panel(455, 550, name="q", orientation=Orientation.VERTICAL)
    assert [
        (one.rule, one.row) for one in broken(scene, plan(*both, runs=[panel(), around(*both)]))
    ] == [("12", 3)]
    # the second panel ends 95 min after the first
    later = (spell(LATER + 95), spell(LATER + 171, zone="Z2"))
    assert broken(scene, plan(*later, runs=[panel(), second, around(*later)])) == []


def test_a_panel_needs_a_rig_of_its_process_and_an_orientation():
    scene = campaign(
        rigs=(rig(), rig("W1", process=Process.WET)), positions=(position(rigs_max=2),)
    )
    wrong = only(scene, with_panel(made=panel(rig=RigId("W1"))))
    assert wrong.rule == "12"
    assert "works wet" in wrong.message
    assert only(scene, with_panel(made=panel(orientation=None))).rule == "12"


def test_a_crew_that_has_sprayed_before_the_plan_has_its_panel_behind_it():
    row = done(done_m3=1.2, rig_id=RigId("R1"), crew_id=CrewId("C1"))
    rest = {"minutes": 30, "volume_m3": 1.0}
    assert broken(campaign(rules=SEVEN_DAYS, done=(row,)), plan(spell(400, **rest))) == []
    other = done(done_m3=1.2, rig_id=RigId("R1"), crew_id=CrewId("C2"))
    assert rules(campaign(rules=SEVEN_DAYS, done=(other,)), plan(spell(400, **rest))) == {"12"}


# Rule 13


def with_breakers(*breakers, **changes):
    breakers = breakers or (breaker(),)
    fields = {"crews": (crew(), *breakers)} | changes
    return campaign(**fields)


def breaker(crew_id="B1", **changes):
    return crew(crew_id, **({"kind": CrewKind.BREAK_OUT, "rate_m3_h": 2.2} | changes))


def out(*pieces, start=600):
    return plan(spell(start), break_outs=pieces)


def test_a_zone_is_broken_out_before_it_is_sprayed():
    assert broken(with_breakers(), out(piece(400, 460))) == []
    wrong = only(with_breakers(), plan(spell(600)))
    assert (wrong.rule, wrong.table) == ("13", "spells.csv")
    assert "not broken out" in wrong.message


def test_without_break_out_crews_none_is_planned():
    assert broken(campaign(), plan()) == []


def test_a_zone_broken_out_already_is_not_broken_out_again():
    scene = with_breakers(zones=(zone(broken_out=True),))
    assert broken(scene, plan(spell(600))) == []
    wrong = only(scene, out(piece(400, 460)))
    assert (wrong.rule, wrong.table) == ("13", "break_outs.csv")


def test_a_zone_with_progress_counts_as_broken_out():
    scene = with_breakers(done=(done(done_m3=1.2),))
    assert broken(scene, plan(spell(600, 30, volume_m3=1.0))) == []


@pytest.mark.parametrize(("start", "amount"), [(580, None), (579, 1), (460, 120)])
def test_bars_and_cleaning_take_their_time(start, amount):
    # 2 h after 460
    scene = with_breakers(rules=Rules(prepare_min_h=2.0))
    found = broken(scene, out(piece(400, 460), start=start))
    assert [(one.rule, one.amount) for one in found] == ([("13", amount)] if amount else [])


def test_spraying_does_not_start_before_break_out_ends():
    wrong = only(with_breakers(), out(piece(400, 460), start=459))
    assert (wrong.rule, wrong.amount) == ("13", 1)


@pytest.mark.parametrize(("start", "amount"), [(460 + DAY, None), (461 + DAY, 1)])
def test_a_zone_is_not_left_open_too_long(start, amount):
    scene = with_breakers(rules=Rules(max_open_days=1.0), shifts=(shift(),))
    found = broken(scene, out(piece(400, 460), start=start))
    assert [(one.rule, one.amount) for one in found] == ([("13", amount)] if amount else [])


@pytest.mark.parametrize(
    ("minutes", "volume", "is_right"),
    [(60, 2.2, True), (59, 2.2, False), (61, 2.2, False), (60, 2.19, False), (55, 2.0, False)],
)
def test_break_out_adds_up_at_the_crews_rate(minutes, volume, is_right):
    found = broken(with_breakers(), out(piece(400, 400 + minutes, volume)))
    assert {one.rule for one in found} == (set() if is_right else {"13"})


def test_break_out_may_come_in_pieces_of_several_crews():
    # 1.1 m³ in 30 min, and 1.1 m³ at 1 m³/h in 66
    scene = with_breakers(breaker(), breaker("B2", rate_m3_h=1.0))
    pieces = (piece(400, 430, 1.1), piece(400, 466, 1.1, crew=CrewId("B2")))
    assert broken(scene, out(*pieces)) == []
    wrong = only(scene, out(pieces[0]))
    assert (wrong.rule, round(wrong.amount, 6)) == ("13", 1.1)
    # the later of the two counts for preparation
    assert only(scene, out(*pieces, start=460)).amount == 6


@pytest.mark.parametrize(("start", "amount"), [(460, None), (459, 1)])
def test_a_crew_breaks_out_one_zone_at_a_time(start, amount):
    scene = with_breakers(zones=(zone("Z1"), zone("Z2")))
    both = (spell(700), spell(776, zone="Z2"))
    pieces = (piece(400, 460), piece(start, start + 60, zone="Z2"))
    found = broken(scene, plan(*both, runs=[around(*both)], break_outs=pieces))
    assert [(one.rule, one.row, one.amount) for one in found] == (
        [("13", 3, amount)] if amount else []
    )


@pytest.mark.parametrize(("start", "amount"), [(480, None), (479, 1)])
def test_break_out_keeps_its_crews_shift(start, amount):
    late = shift("late", start_tod=8 * 60, end_tod=16 * 60)
    scene = with_breakers(breaker(shift_id=ShiftId("late")), shifts=(shift(), late))
    found = broken(scene, out(piece(start, start + 60)))
    assert [(one.rule, one.amount) for one in found] == ([("13", amount)] if amount else [])


@pytest.mark.parametrize(
    ("start", "amount"), [(370, None), (369, 1), (650, None), (651, 1), (300, 60)]
)
def test_break_out_keeps_inside_the_shortened_windows(start, amount):
    # 0 m or less in [360, 720), shortened [370, 710); it needs no zone change
    scene = with_breakers(
        zones=(zone(water_max_m=0.0),),
        water=sawtooth(),
        shifts=(shift(start_tod=0, end_tod=0),),
    )
    found = broken(scene, out(piece(start, start + 60), start=DAY + 390))
    assert [(one.rule, one.amount) for one in found] == ([("13", amount)] if amount else [])


def test_a_closure_of_a_zone_stops_break_out():
    shut = closure(ClosureScope.ZONE, "Z1", from_min=420, to_min=425)
    found = broken(with_breakers(closures=(shut,)), out(piece(400, 460)))
    assert [(one.rule, one.amount) for one in found] == [("13", 5)]


def test_a_closed_process_or_position_does_not_stop_it():
    shut = (
        closure(ClosureScope.PROCESS, "dry", from_min=400, to_min=460),
        closure(ClosureScope.POSITION, "P1", from_min=400, to_min=460),
    )
    assert broken(with_breakers(closures=shut), out(piece(400, 460))) == []


def test_spray_crews_do_not_break_out():
    scene = with_breakers(crews=(crew(), crew("C2"), breaker()))
    wrong = only(scene, out(piece(400, 460, crew=CrewId("C2"))))
    assert (wrong.rule, wrong.table) == ("13", "break_outs.csv")


def test_a_zone_is_not_broken_out_for_nothing():
    scene = with_breakers()
    wrong = only(scene, plan(break_outs=(piece(400, 460),), unplanned=(left_out("Z1"),)))
    assert (wrong.rule, wrong.table) == ("14", "break_outs.csv")


def test_nothing_is_said_of_mixes_in_a_panel_that_its_rig_does_not_spray():
    scene = campaign(rigs=(rig(mixes=(MixId("dry"),)),), mixes=(mix(), mix("fine")))
    wrong = only(scene, with_panel(made=panel(mix=MixId("fine"))))
    assert wrong.rule == "4"
