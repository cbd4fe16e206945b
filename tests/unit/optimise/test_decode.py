"""From a guide to a whole plan: each rule binds in a scene of its own, and is kept.

``decoded`` lets the outside auditor look at every plan; the expected times say that the rule was
kept by waiting exactly as long as it asks.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from planner.model.identifiers import MixId, Orientation, Process, ShiftId, ZoneId
from planner.model.limits import Apart, ApartKind, ClosureScope, OpenLimit
from planner.optimise.decode import decode
from planner.optimise.extract import extract
from planner.optimise.guide import Guide, Weights, plain_guide
from planner.optimise.problem import Problem
from planner.plan.plan import RunKind
from tests import builders as make
from tests.unit.optimise.scenes import (
    DAY,
    breakers,
    broken_rules,
    decoded,
    plain,
    problem,
    rules,
    spell_times,
    whole,
    zones,
)

Z1, Z2, Z3 = ZoneId("Z1"), ZoneId("Z2"), ZoneId("Z3")
ROUND_THE_CLOCK = (make.shift(start_tod=0, end_tod=0),)


def in_order(of: Problem) -> Guide:
    """Zones in table order, strongly."""
    guide = plain_guide(len(of.zones), len(of.rigs))
    return replace(guide, keys=tuple(1000.0 * z for z in range(len(of.zones))))


def test_one_zone_is_sprayed_as_soon_as_the_shift_allows():
    _, plan = decoded(problem())
    assert spell_times(plan) == [("Z1", 390, 456)]
    assert [(run.start_min, run.end_min) for run in plan.runs] == [(360, 471)]


def test_zones_follow_one_another_in_one_run_with_a_zone_change_between_them():
    of = problem(zones=zones(3))
    _, plan = decoded(of, in_order(of))
    # each spell 66 min after 10 min of zone change
    assert spell_times(plan) == [("Z1", 390, 456), ("Z2", 466, 532), ("Z3", 542, 608)]
    assert len(plan.runs) == 1


def test_a_plan_says_with_its_guide_what_was_left_out():
    of = problem(zones=(make.zone("Z1"), make.zone("Z2", x_m=500.0)))
    board, guide = decode(of, plain(of))
    assert guide.banned == {1}
    assert [board.is_done(z) for z in (0, 1)] == [True, False]


def test_what_waits_for_a_zone_left_out_is_left_out_as_well():
    row = (make.zone("Z1", x_m=500.0), make.zone("Z2", after=(Z1,)), make.zone("Z3", after=(Z2,)))
    of = problem(zones=row)
    board, guide = decode(of, plain(of))
    assert guide.banned == {0, 1, 2}
    assert extract(board).spells == ()


# -- hours of crews -------------------------------------------------------------------------


def test_what_does_not_fit_before_the_shift_ends_waits_for_the_next():
    of = problem(zones=zones(2), shifts=(make.shift(end_tod=9 * 60),))
    _, plan = decoded(of, in_order(of))
    # the second spell would end at 532 and its run at 547, after 09:00 (540)
    assert spell_times(plan) == [("Z1", 390, 456), ("Z2", DAY + 390, DAY + 456)]


def test_a_duty_ends_when_it_is_as_long_as_allowed():
    crews = (make.crew(duty_max_min=180, rest_min_min=600),)
    of = problem(zones=zones(2), crews=crews)
    _, plan = decoded(of, in_order(of))
    # both in one run would be 547 - 360 = 187 min
    assert spell_times(plan) == [("Z1", 390, 456), ("Z2", DAY + 390, DAY + 456)]


def test_rest_is_kept_round_the_clock():
    crews = (make.crew(duty_max_min=180, rest_min_min=600),)
    of = problem(zones=zones(2), crews=crews, shifts=ROUND_THE_CLOCK)
    _, plan = decoded(of, in_order(of))
    first, second = plan.runs
    assert second.start_min - first.end_min >= 600
    assert second.end_min <= DAY


def test_a_week_has_only_so_many_hours():
    of = problem(
        zones=zones(3, area_m2=200.0), rigs=(make.rig(),), crews=(make.crew(week_max_min=720),)
    )
    # 22 m³ take 660 min, a run of 705; the second of the first week would be too many
    _, plan = decoded(of)
    weeks = [run.start_min // (7 * DAY) for run in plan.runs]
    assert weeks == [0, 1]
    assert len({spell.zone for spell in plan.spells}) == 2


def test_a_crew_works_only_what_it_may():
    crews = (make.crew("C1", orientations=(Orientation.FLOOR,)), make.crew("C2"))
    _, plan = decoded(problem(crews=crews))
    assert {run.crew for run in plan.runs} == {"C2"}


def test_a_crew_that_is_away_does_not_work():
    shut = (make.closure(ClosureScope.CREW, "C1", from_min=0, to_min=420),)
    _, plan = decoded(problem(closures=shut))
    assert spell_times(plan) == [("Z1", 450, 516)]  # 420 + 20 + 10


# -- positions ------------------------------------------------------------------------------


def two_rigs(**changes: object) -> Problem:
    """Two rigs and crews for four zones of half a day, from one position."""
    fields: dict[str, object] = {
        "zones": zones(4, area_m2=80.0),  # 8.8 m³, 264 min
        "rigs": (make.rig("R1"), make.rig("R2")),
        "crews": (make.crew("C1"), make.crew("C2")),
    }
    return problem(**(fields | changes))


def test_a_position_holds_one_rig_at_a_time():
    of = two_rigs()
    _, plan = decoded(of)
    for run in plan.runs:
        others = [
            other
            for other in plan.runs
            if other.rig != run.rig
            and other.start_min < run.end_min
            and run.start_min < other.end_min
        ]
        assert others == []


def test_where_two_may_stand_two_work_at_once():
    of = two_rigs(positions=(make.position(rigs_max=2),))
    _, plan = decoded(of)
    assert {run.rig for run in plan.runs if run.start_min == 360} == {"R1", "R2"}


def test_of_two_rigs_that_stand_at_one_position_only_one_is_used():
    rigs = (make.rig("R1", at="P1"), make.rig("R2", at="P1"))
    _, plan = decoded(two_rigs(rigs=rigs))
    assert len({run.rig for run in plan.runs}) == 1


def test_a_run_waits_while_its_position_is_shut():
    shut = (make.closure(ClosureScope.POSITION, "P1", from_min=0, to_min=600),)
    _, plan = decoded(problem(closures=shut))
    assert spell_times(plan) == [("Z1", 630, 696)]


# -- open limits ----------------------------------------------------------------------------


def test_zones_kept_apart_while_open_follow_one_another():
    pair = (Apart(zone_a=Z1, zone_b=Z2, kind=ApartKind.OPEN),)
    of = problem(zones=zones(2), apart=pair, rules=rules(strength_hold_h=3.0))
    _, plan = decoded(of, in_order(of))
    # the first counts as open until 456 + 180
    assert spell_times(plan) == [("Z1", 390, 456), ("Z2", 636, 702)]


def test_zones_kept_apart_at_work_are_not_worked_at_once():
    pair = (Apart(zone_a=Z1, zone_b=Z2, kind=ApartKind.WORK),)
    of = problem(
        zones=zones(2),
        positions=(make.position(rigs_max=2),),
        rigs=(make.rig("R1"), make.rig("R2")),
        crews=(make.crew("C1"), make.crew("C2")),
        apart=pair,
    )
    _, plan = decoded(of)
    one, other = spell_times(plan)
    assert other[1] - 10 >= one[2]


def test_no_more_of_a_group_are_open_than_its_limit():
    limit = (OpenLimit(group="bay", zones=(Z1, Z2, Z3), open_max=2),)
    of = problem(zones=zones(3), open_limits=limit, rules=rules(strength_hold_h=4.0))
    _, plan = decoded(of, in_order(of))
    # the third is opened when the first closes, at 456 + 240
    assert spell_times(plan) == [("Z1", 390, 456), ("Z2", 466, 532), ("Z3", 696, 762)]


# -- panels ---------------------------------------------------------------------------------


def test_a_panel_is_made_first_and_the_first_spell_waits_for_it():
    _, plan = decoded(problem(rules=rules(panel_days=2.0)))
    kinds = [(run.kind, run.start_min, run.end_min) for run in plan.runs]
    assert kinds[0] == (RunKind.PANEL, 360, 455)  # 20 + 60 + 15
    # 455 + 2 days; the crew's run may begin 30 min earlier
    assert spell_times(plan) == [("Z1", 455 + 2 * DAY, 521 + 2 * DAY)]


def test_each_mix_and_orientation_has_a_panel_of_its_own():
    faces = (make.mix(), make.mix(orientation=Orientation.FLOOR))
    row = (make.zone("Z1"), make.zone("Z2", orientation=Orientation.FLOOR))
    _, plan = decoded(problem(zones=row, mixes=faces, rules=rules(panel_days=1.0)))
    panels = {run.orientation for run in plan.runs if run.kind is RunKind.PANEL}
    assert panels == {Orientation.OVERHEAD, Orientation.FLOOR}
    assert {spell.zone for spell in plan.spells} == {"Z1", "Z2"}


# -- break-out ------------------------------------------------------------------------------


def test_a_zone_is_broken_out_and_prepared_before_it_is_sprayed():
    of = problem(crews=(make.crew(), breakers()), rules=rules(prepare_min_h=4.0))
    _, plan = decoded(of)
    rows = [(row.start_min, row.end_min, row.volume_m3) for row in plan.break_outs]
    assert rows == [(360, 420, 2.2)]
    assert spell_times(plan) == [("Z1", 660, 726)]  # 420 + 240


def test_break_out_is_cut_at_the_end_of_the_shift_and_adds_up():
    of = problem(crews=(make.crew(), breakers(rate_m3_h=0.15)))  # 880 min, 720 a shift
    _, plan = decoded(of)
    rows = [(row.start_min, row.end_min) for row in plan.break_outs]
    assert rows == [(360, 1080), (DAY + 360, DAY + 520)]
    assert sum(row.volume_m3 for row in plan.break_outs) == pytest.approx(2.2)


def test_a_zone_that_is_broken_out_already_needs_no_crew_for_it():
    of = problem(crews=(make.crew(), breakers()), zones=zones(1, broken_out=True))
    _, plan = decoded(of)
    assert plan.break_outs == ()
    assert spell_times(plan) == [("Z1", 390, 456)]


def test_break_out_counts_towards_the_limit_of_open_zones():
    limit = (OpenLimit(group="bay", zones=(Z1, Z2), open_max=1),)
    of = problem(zones=zones(2), crews=(make.crew(), breakers()), open_limits=limit)
    _, plan = decoded(of, in_order(of))
    one, other = plan.break_outs
    assert other.start_min >= max(end for zone, _, end in spell_times(plan) if zone == one.zone)


def test_two_break_out_crews_do_not_open_a_zone_before_its_limit_allows():
    limit = (OpenLimit(group="bay", zones=(Z1, Z2, Z3), open_max=1),)
    crews = (
        make.crew(),
        breakers(rate_m3_h=0.5),
        make.crew("B2", kind=breakers().kind, rate_m3_h=0.5),
    )
    of = problem(zones=zones(3), crews=crews, open_limits=limit, rules=rules(strength_hold_h=6.0))
    decoded(of)


def test_the_time_between_break_out_and_first_layer_is_kept():
    of = problem(
        zones=zones(4, area_m2=160.0),  # 17.6 m³: 528 min, one a day
        crews=(make.crew(), breakers(rate_m3_h=17.6)),
        rules=rules(max_open_days=1.5),
    )
    _, plan = decoded(of)
    out = {row.zone: row.end_min for row in plan.break_outs}
    assert len(plan.spells) == 4  # not all may be broken out on the first morning
    assert all(start <= out[ZoneId(zone)] + 1.5 * DAY for zone, start, _ in spell_times(plan))


# -- layers, gaps, joints ---------------------------------------------------------------------


def test_the_second_layer_waits_for_its_gap():
    of = problem(mixes=(make.mix(layer_max_mm=50.0),), shifts=ROUND_THE_CLOCK)
    _, plan = decoded(of)
    # 33 min a layer; windows begin at 10, so start-up 0-20, change 20-30, spell from 30
    assert spell_times(plan) == [("Z1", 30, 63), ("Z1", 783, 816)]  # 63 + 720


def test_a_zone_whose_longest_gap_cannot_be_kept_is_left_out():
    mixes = (make.mix(layer_max_mm=50.0, layer_gap_max_h=12.5),)
    of = problem(mixes=mixes, shifts=(make.shift(end_tod=8 * 60),))
    # a shift of 2 h a day: the second layer comes a day later, not after 12.5 h
    board, guide = decode(of, plain(of))
    assert guide.banned == {0}
    assert extract(board).runs == ()


def test_a_layer_is_split_only_where_a_joint_is_allowed():
    short = (make.shift(end_tod=8 * 60),)  # 120 min: 75 of them for spraying
    long = {"area_m2": 40.0}  # 4.4 m³: 132 min
    _, plan = decoded(problem(zones=zones(1, joint_allowed=True, **long), shifts=short))
    assert [end - start for _, start, end in spell_times(plan)] == [75, 57]
    board, _ = decode(problem(zones=zones(1, **long), shifts=short), plain_guide(1, 1))
    assert extract(board).spells == ()


def test_no_piece_is_shorter_than_the_shortest_spell():
    short = (make.shift(end_tod=8 * 60),)  # 75 min for spraying
    of = problem(zones=zones(1, area_m2=24.0, joint_allowed=True), shifts=short)
    # 2.64 m³: 80 min; 75 and 5 would be too short a piece, so 65 and 15
    _, plan = decoded(of)
    assert [end - start for _, start, end in spell_times(plan)] == [65, 15]


def test_zones_that_wait_for_others_come_after_them():
    row = (make.zone("Z1", after=(Z2,)), make.zone("Z2"))
    of = problem(zones=row)
    _, plan = decoded(of, in_order(of))
    assert spell_times(plan) == [("Z2", 390, 456), ("Z1", 466, 532)]


def test_a_zone_is_not_touched_before_it_is_ready():
    _, plan = decoded(problem(zones=zones(1, ready_from_min=DAY + 500)))
    assert spell_times(plan) == [("Z1", DAY + 500, DAY + 566)]


def test_a_zone_keeps_to_one_mix():
    mixes = (make.mix("dry", layer_max_mm=50.0), make.mix("fine", layer_max_mm=50.0))
    _, plan = decoded(problem(zones=zones(3), mixes=mixes))
    by_run = {run.run: run.mix for run in plan.runs}
    for zone in ("Z1", "Z2", "Z3"):
        assert len({by_run[spell.run] for spell in plan.spells if spell.zone == zone}) == 1


def test_a_run_has_one_mix():
    mixes = (make.mix("dry"), make.mix("fine"))
    row = (make.zone("Z1", mixes=(MixId("dry"),)), make.zone("Z2", mixes=(MixId("fine"),)))
    _, plan = decoded(problem(zones=row, mixes=mixes))
    assert sorted(run.mix for run in plan.runs) == ["dry", "fine"]


# -- idle limit -------------------------------------------------------------------------------


def test_a_wait_longer_than_the_rig_may_idle_ends_the_run():
    row = (make.zone("Z1"), make.zone("Z2", ready_from_min=516))
    idle = problem(zones=row, rigs=(make.rig(idle_max_min=60),))
    _, plan = decoded(idle)
    assert spell_times(plan) == [("Z1", 390, 456), ("Z2", 516, 582)]  # 60 min: still allowed
    assert len(plan.runs) == 1
    strict = problem(zones=row, rigs=(make.rig(idle_max_min=59),))
    _, plan = decoded(strict)
    assert spell_times(plan) == [("Z1", 390, 456), ("Z2", 516, 582)]
    assert len(plan.runs) == 2  # 471 + 20 + 10 = 501, so the start-up still fits in


# -- relocations ------------------------------------------------------------------------------


def far_apart(**changes: object) -> Problem:
    """Two zones and two positions, each reached from its own only."""
    fields: dict[str, object] = {
        "zones": (make.zone("Z1"), make.zone("Z2", x_m=310.0)),
        "positions": (make.position("P1"), make.position("P2", x_m=300.0)),
    }
    return problem(**(fields | changes))


def test_a_crew_moves_its_rig_between_two_runs():
    of = far_apart()
    _, plan = decoded(of, in_order(of))
    (row,) = plan.relocations
    assert (row.crew, row.start_min, row.end_min) == ("C1", 471, 531)
    assert spell_times(plan) == [("Z1", 390, 456), ("Z2", 561, 627)]  # 531 + 20 + 10


def test_a_move_takes_longer_over_a_greater_distance():
    of = far_apart(rigs=(make.rig(move_min_per_100m=10.0),))
    _, plan = decoded(of, in_order(of))
    (row,) = plan.relocations
    assert row.end_min - row.start_min == 90  # 60 + 10 x 300 / 100


def test_a_lifting_gang_moves_rigs_only_in_its_shift():
    of = far_apart(
        shifts=(make.shift(), make.shift("lift", start_tod=20 * 60, end_tod=22 * 60)),
        rules=rules(relocation_shift=ShiftId("lift")),
    )
    _, plan = decoded(of, in_order(of))
    (row,) = plan.relocations
    assert (row.crew, row.start_min, row.end_min) == (None, 1200, 1260)
    assert spell_times(plan)[1] == ("Z2", DAY + 390, DAY + 456)


def test_a_rig_that_stands_somewhere_else_is_moved_before_its_first_run():
    of = problem(
        positions=(make.position("P1"), make.position("P2", x_m=300.0)),
        rigs=(make.rig(at="P2"),),
    )
    _, plan = decoded(of)
    (row,) = plan.relocations
    assert (row.from_position, row.to_position, row.start_min) == ("P2", "P1", 360)


def test_a_first_set_up_of_a_rig_that_stands_nowhere_is_no_relocation():
    _, plan = decoded(problem())
    assert plan.relocations == ()


def test_stays_say_where_a_rig_goes_and_in_which_order():
    of = far_apart()
    _, plan = decoded(of, replace(plain(of), stays=((1, 0),)))
    assert [spell.position for spell in plan.spells] == ["P2", "P1"]


def test_a_zone_shared_out_to_one_pair_is_worked_from_there_only():
    of = problem(positions=(make.position("P1"), make.position("P2", y_m=1.0)))
    _, plan = decoded(of, replace(plain(of), share={0: frozenset({(0, 1)})}))
    assert [spell.position for spell in plan.spells] == ["P2"]


def test_a_zone_banned_by_the_guide_is_not_planned():
    of = problem(zones=zones(2))
    _, plan = decoded(of, replace(plain(of), banned=frozenset({0})))
    assert {spell.zone for spell in plan.spells} == {"Z2"}


# -- progress ---------------------------------------------------------------------------------


def test_a_begun_layer_is_completed_in_one_spell():
    _, plan = decoded(problem(done=(make.done(),)))
    (spell,) = plan.spells
    assert spell.volume_m3 == pytest.approx(1.2)
    assert (spell.start_min, spell.end_min) == (390, 426)  # 1.2 m³ at 2 m³/h


def test_the_next_layer_waits_from_the_progress_of_the_one_before():
    row = make.done(done_m3=1.1, at_min=500)
    _, plan = decoded(problem(mixes=(make.mix(layer_max_mm=50.0),), done=(row,)))
    (spell,) = plan.spells
    assert spell.layer == 2
    assert spell.start_min == DAY + 390  # 500 + 720 lies after the shift


def test_a_complete_zone_is_not_planned_again_and_frees_what_waits_for_it():
    row = (make.zone("Z1"), make.zone("Z2", after=(Z1,)))
    of = problem(zones=row, done=(make.done(done_m3=2.2),))
    assert of.complete == {0}
    _, plan = decoded(of)
    assert {spell.zone for spell in plan.spells} == {"Z2"}


def test_a_rig_stands_where_the_latest_progress_says():
    of = problem(
        positions=(make.position("P1"), make.position("P2", x_m=300.0)),
        done=(make.done(rig_id="R1", position_id="P2"),),
    )
    _, plan = decoded(of)
    assert [row.from_position for row in plan.relocations] == ["P2"]


# -- windows and water --------------------------------------------------------------------------


def test_a_zones_closure_is_kept_with_the_time_to_get_out_and_in():
    shut = (make.closure(ClosureScope.ZONE, "Z1", from_min=400, to_min=600),)
    _, plan = decoded(problem(closures=shut))
    assert spell_times(plan) == [("Z1", 620, 686)]  # 600 + 10 to get in + 10 zone change


def test_a_process_that_is_shut_does_not_spray():
    shut = (make.closure(ClosureScope.PROCESS, Process.DRY, from_min=0, to_min=800),)
    _, plan = decoded(problem(closures=shut))
    assert spell_times(plan) == [("Z1", 830, 896)]


# -- time and stopping --------------------------------------------------------------------------


def test_what_does_not_fit_into_the_campaigns_days_is_left_out_whole():
    of = problem(zones=zones(20, area_m2=200.0))  # a day each, of 14 days
    board, guide = decode(of, plain(of))
    assert broken_rules(of, whole(board)) == []
    assert len(whole(board).spells) == 14
    assert len(guide.banned) == 6


def test_a_stop_leaves_a_valid_plan_of_complete_zones():
    crowd = range(1, 7)
    of = problem(
        zones=zones(70, area_m2=120.0),  # 396 min each, one a day
        positions=(make.position(rigs_max=6),),
        rigs=tuple(make.rig(f"R{k}") for k in crowd),
        crews=tuple(make.crew(f"C{k}") for k in crowd),
    )
    full, _ = decode(of, plain(of))
    board, guide = decode(of, plain(of), stop=lambda: True)
    plan = whole(board)
    assert broken_rules(of, plan) == []
    assert 0 < len(plan.spells) < len(whole(full).spells)
    assert guide.banned == frozenset(z for z in range(70) if not board.is_done(z))


def test_the_same_guide_leads_to_the_same_plan():
    of = two_rigs(zones=zones(9))
    guide = Guide(keys=tuple(float(-z) for z in range(9)), stays=((), ()), weights=Weights())
    assert extract(decode(of, guide)[0]) == extract(decode(of, guide)[0])
    assert decode(of, guide)[0].drafted == decode(of, guide)[0].drafted > 0


@pytest.mark.parametrize(("leave", "moves"), [(True, 1), (False, 0)])
def test_a_rig_whose_stays_are_worked_out_goes_on_or_stays(leave, moves):
    of = problem(
        zones=(*zones(6), make.zone("Far", x_m=300.0)),
        positions=(make.position("P1", rigs_max=2), make.position("P2", x_m=301.0)),
        rigs=(make.rig("R1"), make.rig("R2")),
        crews=(make.crew("C1"), make.crew("C2")),
    )
    guide = replace(plain(of), stays=((0,), (1,)), weights=Weights(leave=leave))
    board, _ = decoded(of, guide)
    assert len(board.moves) == moves
    assert all(board.is_done(z) for z in range(7))
