"""Nothing is believed until it was replayed: one script for each refusal, broken in one rule."""

from __future__ import annotations

import pytest

from planner.model.identifiers import MixId, Orientation, Process, ShiftId, ZoneId
from planner.model.limits import Apart, ApartKind, ClosureScope, OpenLimit
from planner.optimise.board import DraftRun
from planner.optimise.problem import Problem
from planner.optimise.replay import BrokenRuleError, Script, replay, script_of
from planner.optimise.score import Scored
from tests import builders as make
from tests.unit.optimise.scenes import (
    DAY,
    M3,
    breakers,
    broken,
    broken_rules,
    move,
    panel,
    piece,
    problem,
    rules,
    run,
    script,
    zones,
)

Z1, Z2 = ZoneId("Z1"), ZoneId("Z2")
WET = (Process.WET,)
TWO_PLACES = (make.position("P1"), make.position("P2", y_m=30.0))


def refuse(of: Problem, events: Script, why: str) -> None:
    """Hold that a script is refused for one reason."""
    with pytest.raises(BrokenRuleError) as refused:
        replay(of, events)
    assert str(refused.value) == why


def accept(of: Problem, events: Script) -> None:
    """Hold that a script stands, here and before the outside auditor."""
    assert broken_rules(of, Scored(replay(of, events)).plan) == []


def test_a_run_to_the_minute_stands():
    accept(problem(), script(run(piece(390))))


def test_what_was_replayed_gives_the_same_script_again():
    of = problem()
    board = replay(of, script(run(piece(390))))
    again = replay(of, script_of(board, frozenset()))
    assert [one.pieces for one in again.runs] == [[piece(390)]]
    assert Scored(again).plan == Scored(board).plan


# -- crews ------------------------------------------------------------------------------------


def test_a_run_that_begins_before_the_shift_is_refused():
    refuse(problem(), script(run(piece(389))), "crew outside its shift")


def test_a_run_that_ends_after_the_shift_is_refused():
    # 18:00 is minute 1080: the last spell that leaves 15 min for the clean-up begins at 999
    accept(problem(), script(run(piece(999))))
    refuse(problem(), script(run(piece(1000))), "crew outside its shift")


def test_a_crew_in_two_runs_at_once_is_refused():
    of = problem(zones=zones(2), rigs=(make.rig("R1"), make.rig("R2")), positions=TWO_PLACES)
    second = run(piece(390 + 111, zone=1, rig=1, position=1))
    accept(of, script(run(piece(390)), second))  # 360 + 111 = 471, the end of the first run
    early = run(piece(390 + 110, zone=1, rig=1, position=1))
    refuse(of, script(run(piece(390)), early), "crew busy, duty, rest or week")


def test_a_duty_longer_than_allowed_is_refused():
    crews = (make.crew(duty_max_min=260, rest_min_min=480),)
    of = problem(zones=zones(2), crews=crews)
    # from 360 to 620 are 260 min; the second run ends 81 min after its spell begins
    accept(of, script(run(piece(390)), run(piece(539, zone=1))))
    refuse(of, script(run(piece(390)), run(piece(540, zone=1))), "crew busy, duty, rest or week")


def test_a_rest_shorter_than_asked_makes_one_duty_of_two_and_is_refused():
    shifts = (make.shift(start_tod=0, end_tod=0),)
    crews = (make.crew(duty_max_min=300, rest_min_min=480),)
    of = problem(zones=zones(2), crews=crews, shifts=shifts)
    # the first run ends at 471; rest until 951; the first spell then begins at 981
    accept(of, script(run(piece(390)), run(piece(981, zone=1))))
    refuse(of, script(run(piece(390)), run(piece(980, zone=1))), "crew busy, duty, rest or week")


def test_more_hours_in_a_week_than_allowed_are_refused():
    crews = (make.crew(week_max_min=221),)
    of = problem(zones=zones(2), crews=crews)
    # each run lasts 111 min; 222 min in the first week are one too many
    tuesday, monday = run(piece(DAY + 390, zone=1)), run(piece(7 * DAY + 390, zone=1))
    refuse(of, script(run(piece(390)), tuesday), "crew busy, duty, rest or week")
    accept(of, script(run(piece(390)), monday))


# -- rigs, relocations and positions ----------------------------------------------------------


def test_a_rig_in_two_runs_at_once_is_refused():
    of = problem(zones=zones(2), crews=(make.crew("C1"), make.crew("C2")))
    early = run(piece(500, zone=1), crew=1)  # begins at 470, a minute before the first run ends
    refuse(of, script(run(piece(390)), early), "rig busy")
    accept(of, script(run(piece(390)), run(piece(501, zone=1), crew=1)))


def test_a_run_where_the_rig_does_not_stand_is_refused():
    of = problem(positions=TWO_PLACES, rigs=(make.rig(at="P1"),))
    refuse(of, script(run(piece(390, position=1))), "rig elsewhere")


def test_a_relocation_from_where_the_rig_does_not_stand_is_refused():
    of = problem(positions=TWO_PLACES, rigs=(make.rig(at="P2"),))
    there = run(piece(450, position=1))
    refuse(of, script(there, moves=[move(360, 420)]), "rig elsewhere")


def test_a_relocation_shorter_than_the_move_is_refused():
    of = problem(positions=TWO_PLACES, rigs=(make.rig(at="P1"),))
    there = run(piece(450, position=1))
    accept(of, script(there, moves=[move(360, 420)]))  # 60 min, as the rig needs
    refuse(of, script(there, moves=[move(361, 420)]), "move too short")


@pytest.mark.parametrize(
    ("scope", "target"),
    [
        (ClosureScope.RIG, "R1"),
        (ClosureScope.POSITION, "P1"),
        (ClosureScope.POSITION, "P2"),
    ],
)
def test_a_relocation_in_a_closure_of_the_rig_or_either_position_is_refused(scope, target):
    shut = (make.closure(scope, target, from_min=300, to_min=361),)
    of = problem(positions=TWO_PLACES, rigs=(make.rig(at="P1"),), closures=shut)
    there = run(piece(451, position=1))
    refuse(of, script(there, moves=[move(360, 420)]), "move in a closure")
    accept(of, script(there, moves=[move(361, 421)]))


def gang_scene(**changes: object) -> Problem:
    """A lifting gang from 04:00 to 06:00 moves the rig from where it stands, P1."""
    return problem(
        **changes,
        positions=TWO_PLACES,
        rigs=(make.rig(at="P1"),),
        shifts=(make.shift(), make.shift("lift", start_tod=240, end_tod=360)),
        rules=rules(relocation_shift=ShiftId("lift")),
    )


def test_a_relocation_outside_the_gangs_shift_is_refused():
    of = gang_scene()
    there = run(piece(450, position=1))
    accept(of, script(there, moves=[move(300, 360, crew=None)]))
    refuse(of, script(there, moves=[move(301, 361, crew=None)]), "gang off")


def test_a_relocation_by_the_gang_while_the_site_is_shut_is_refused():
    of = gang_scene(closures=(make.closure(from_min=0, to_min=270),))
    there = run(piece(450, position=1))
    accept(of, script(there, moves=[move(270, 330, crew=None)]))
    refuse(of, script(there, moves=[move(269, 329, crew=None)]), "move in a closure")


def test_a_relocation_by_nobody_is_refused_where_there_is_no_gang():
    of = problem(positions=TWO_PLACES, rigs=(make.rig(at="P1"),))
    there = run(piece(450, position=1))
    refuse(of, script(there, moves=[move(360, 420, crew=None)]), "gang off")


@pytest.mark.parametrize(
    ("scope", "target"),
    [
        (ClosureScope.RIG, "R1"),
        (ClosureScope.POSITION, "P1"),
        (ClosureScope.PROCESS, "dry"),
    ],
)
def test_a_run_in_a_closure_of_rig_position_or_process_is_refused(scope, target):
    shut = (make.closure(scope, target, from_min=470, to_min=480),)
    of = problem(closures=shut)
    refuse(of, script(run(piece(390))), "rig or position shut")  # it ends at 471
    accept(of, script(run(piece(389 + 121))))  # begins at 480


def test_a_run_before_the_rig_is_on_site_is_refused():
    of = problem(rigs=(make.rig(available_from_min=DAY),))
    refuse(of, script(run(piece(390))), "rig or position shut")


def two_rigs_one_place() -> Problem:
    """Two rigs and crews, one position that holds one rig."""
    return problem(
        zones=zones(2),
        rigs=(make.rig("R1"), make.rig("R2")),
        crews=(make.crew("C1"), make.crew("C2")),
    )


def test_a_second_rig_at_a_full_position_is_refused():
    of = two_rigs_one_place()
    second = run(piece(501, zone=1, rig=1), crew=1)  # begins when the first run ends, at 471
    accept(of, script(run(piece(390)), second))
    early = run(piece(500, zone=1, rig=1), crew=1)
    refuse(of, script(run(piece(390)), early), "position full")


def test_two_rigs_that_come_at_the_same_minute_do_not_share_a_place():
    of = two_rigs_one_place()
    both = (run(piece(390)), run(piece(390, zone=1, rig=1), crew=1))
    refuse(of, script(*both), "position full")


def test_a_rig_holds_its_position_between_its_runs():
    of = problem(
        zones=zones(3),
        rigs=(make.rig("R1"), make.rig("R2")),
        crews=(make.crew("C1"), make.crew("C2")),
    )
    between = run(piece(600, zone=1, rig=1), crew=1)
    later = run(piece(900, zone=2))
    refuse(of, script(run(piece(390)), between, later), "position full")


@pytest.mark.parametrize("kind", ["of break-out", "of the other process"])
def test_a_relocation_by_a_crew_that_does_not_work_the_rig_is_refused(kind):
    crews = (make.crew(), breakers() if kind == "of break-out" else make.crew("W", processes=WET))
    of = problem(
        zones=zones(1, broken_out=True),
        positions=TWO_PLACES,
        rigs=(make.rig(at="P1"),),
        crews=crews,
    )
    there = run(piece(450, position=1))
    refuse(of, script(there, moves=[move(360, 420, crew=1)]), "crew may not move this rig")
    accept(of, script(there, moves=[move(360, 420, crew=0)]))


# -- inside a run -----------------------------------------------------------------------------


def test_a_run_without_its_start_up_is_refused():
    of = problem()
    refuse(of, script(run(piece(390), start=361)), "no start-up")


def test_a_run_without_its_clean_up_is_refused():
    of = problem()
    refuse(of, script(run(piece(390), end=470)), "no clean-up")


def test_a_spell_without_its_zone_change_is_refused():
    of = problem(zones=zones(2))
    accept(of, script(run(piece(390), piece(466, zone=1))))  # 456 + 10
    refuse(of, script(run(piece(390), piece(465, zone=1))), "no zone change")


def test_a_longer_wait_in_a_run_than_the_rig_may_idle_is_refused():
    of = problem(zones=zones(2), rigs=(make.rig(idle_max_min=40),))
    accept(of, script(run(piece(390), piece(496, zone=1))))  # 456 + 40
    refuse(of, script(run(piece(390), piece(497, zone=1))), "idle too long")


# -- zones ------------------------------------------------------------------------------------


def test_a_zone_planned_in_part_is_refused():
    of = problem(zones=zones(1, joint_allowed=True))
    refuse(of, script(run(piece(390, 423, volume=1.1))), "zone in part")


def test_a_joint_where_none_is_allowed_is_refused():
    parts = run(piece(390, 423, volume=1.1), piece(433, 466, volume=1.1))
    accept(problem(zones=zones(1, joint_allowed=True)), script(parts))
    refuse(problem(), script(parts), "joint not allowed")


def test_a_piece_shorter_than_the_shortest_spell_is_refused():
    # 2 m³/h: 15 min are 0.5 m³, the rest of 1.7 m³ takes 51 min; 14 min are 14/30 m³
    of = problem(zones=zones(1, joint_allowed=True))
    accept(of, script(run(piece(390, 405, volume=0.5), piece(415, 466, volume=1.7))))
    short = 14 / 30
    parts = run(piece(390, 404, volume=short), piece(414, 466, volume=M3 - short))
    refuse(of, script(parts), "piece too short")


def test_a_spell_of_more_than_is_left_is_refused():
    of = problem()
    refuse(of, script(run(piece(390, 459, volume=2.3))), "too much volume")


@pytest.mark.parametrize("end", [455, 457])
def test_a_spell_shorter_or_longer_than_its_volume_takes_is_refused(end):
    refuse(problem(), script(run(piece(390, end))), "wrong minutes")


def test_a_zone_sprayed_twice_is_refused():
    refuse(problem(), script(run(piece(390), piece(466))), "zone complete")


def test_a_zone_with_two_mixes_is_refused():
    mixes = (make.mix("dry"), make.mix("fine"))
    of = problem(zones=zones(1, joint_allowed=True), mixes=mixes)
    first = run(piece(390, 423, volume=1.1), mix=0)
    again = run(piece(501, 534, volume=1.1), mix=1)
    refuse(of, script(first, again), "two mixes")
    accept(of, script(first, run(piece(501, 534, volume=1.1), mix=0)))


def test_a_crew_that_may_not_spray_the_orientation_is_refused():
    of = problem(
        crews=(make.crew("C1"), make.crew("C2", orientations=(Orientation.FLOOR,))),
    )
    refuse(of, script(run(piece(390), crew=1)), "crew may not")


def test_a_spell_out_of_the_hoses_reach_is_refused():
    of = problem(zones=(make.zone("Z1"), make.zone("Z2", x_m=101.0)))
    refuse(of, script(run(piece(390, zone=1))), "out of reach")


def two_layers(**changes: float) -> Problem:
    """A zone of two layers of 1.1 m³, 33 min each, 12 h apart."""
    return problem(mixes=(make.mix(layer_max_mm=50.0, **changes),))


def layers(first: int, second: int) -> Script:
    """Both layers, each in a run of its own."""
    return script(
        run(piece(first, first + 33, number=1, volume=1.1)),
        run(piece(second, second + 33, number=2, volume=1.1)),
    )


def test_a_second_layer_before_its_gap_is_refused():
    # the first ends at 390 + 33 = 423, so the second starts at 423 + 720 = 1143, in the evening
    of = problem(
        mixes=(make.mix(layer_max_mm=50.0),), shifts=(make.shift(start_tod=0, end_tod=0),)
    )
    accept(of, layers(390, 1143))
    refuse(of, layers(390, 1142), "order or gap")


def test_a_second_layer_after_the_longest_gap_is_refused():
    of = two_layers(layer_gap_max_h=25.0)
    # 423 + 25 x 60 = 1923
    accept(of, layers(390, 1923))
    refuse(of, layers(390, 1924), "gap too long")


def test_layers_in_the_wrong_order_are_refused():
    swapped = script(
        run(piece(390, 423, number=2, volume=1.1)),
        run(piece(DAY + 390, DAY + 423, number=1, volume=1.1)),
    )
    refuse(two_layers(), swapped, "layers out of order")


def test_a_zone_before_those_it_waits_for_is_refused():
    of = problem(zones=(make.zone("Z1"), make.zone("Z2", after=(Z1,))))
    accept(of, script(run(piece(390), piece(466, zone=1))))
    refuse(of, script(run(piece(390, zone=1), piece(466))), "order or gap")


def test_a_zone_that_waits_for_one_left_out_is_refused():
    of = problem(zones=(make.zone("Z1"), make.zone("Z2", after=(Z1,))))
    refuse(of, script(run(piece(390, zone=1)), banned=frozenset({0})), "order or gap")


def test_a_spell_before_the_zone_is_ready_is_refused():
    of = problem(zones=zones(1, ready_from_min=500))
    accept(of, script(run(piece(500))))
    refuse(of, script(run(piece(499))), "outside window")


def test_a_spell_outside_of_the_zones_window_is_refused():
    shut = (make.closure(ClosureScope.ZONE, "Z1", from_min=600, to_min=700),)
    of = problem(closures=shut)
    # 10 min to get out: people leave from 590; 10 min to get in and 10 min zone change: from 720
    accept(of, script(run(piece(524))))
    refuse(of, script(run(piece(525))), "outside window")
    accept(of, script(run(piece(720))))
    refuse(of, script(run(piece(719))), "outside window")


def test_finishing_after_the_last_spell_belongs_to_the_window():
    shut = (make.closure(ClosureScope.ZONE, "Z1", from_min=600, to_min=700),)
    of = problem(closures=shut, mixes=(make.mix(finish_min_m2=1.0),))  # 20 m² : 20 min
    accept(of, script(run(piece(504))))
    refuse(of, script(run(piece(505))), "outside window")


# -- zones together ---------------------------------------------------------------------------


def beside(kind: ApartKind, **changes: object) -> Problem:
    """Two zones kept apart, a rig and a crew for each."""
    return problem(
        zones=zones(2),
        positions=TWO_PLACES,
        rigs=(make.rig("R1"), make.rig("R2")),
        crews=(make.crew("C1"), make.crew("C2")),
        apart=(Apart(zone_a=Z1, zone_b=Z2, kind=kind),),
        **changes,
    )


def other(start: int) -> DraftRun:
    """Zone 1 by the second rig and crew at the second position."""
    return run(piece(start, zone=1, rig=1, position=1), crew=1)


def test_work_beside_a_zone_kept_apart_is_refused():
    of = beside(ApartKind.WORK)
    # work in zone 0 ends at 456; the zone change of zone 1 may begin then
    accept(of, script(run(piece(390)), other(466)))
    refuse(of, script(run(piece(390)), other(465)), "work beside a zone kept apart")


def test_a_zone_open_beside_one_kept_apart_is_refused():
    of = beside(ApartKind.OPEN, rules=rules(strength_hold_h=2.0))
    # zone 0 counts as open until 456 + 120 = 576; open begins with the spell
    accept(of, script(run(piece(390)), other(576)))
    refuse(of, script(run(piece(390)), other(575)), "open beside a zone kept apart")


def test_more_open_zones_than_the_limit_are_refused():
    of = problem(
        zones=zones(2),
        rules=rules(strength_hold_h=2.0),
        open_limits=(OpenLimit(group="bay", zones=(Z1, Z2), open_max=1),),
    )
    accept(of, script(run(piece(390)), run(piece(576, zone=1))))
    refuse(of, script(run(piece(390)), run(piece(575, zone=1))), "too many open")


# -- panels -----------------------------------------------------------------------------------


def panel_scene() -> Problem:
    """A panel a day before the first spell: 20 + 60 + 15 = 95 min."""
    return problem(rules=rules(panel_days=1.0))


def test_a_panel_shorter_than_start_up_panel_and_clean_up_is_refused():
    of = panel_scene()
    accept(of, script(panel(360, 455), run(piece(455 + DAY))))
    refuse(of, script(panel(360, 454), run(piece(455 + DAY))), "panel too short")


def test_a_spell_before_its_panel_is_old_enough_is_refused():
    of = panel_scene()
    refuse(of, script(panel(360, 455), run(piece(454 + DAY))), "panel too young")


def test_a_spell_without_a_panel_is_refused():
    refuse(panel_scene(), script(run(piece(455 + DAY))), "panel too young")


def test_a_panel_of_another_crew_does_not_count():
    of = problem(
        rules=rules(panel_days=1.0), crews=(make.crew("C1"), make.crew("C2")), zones=zones(1)
    )
    refuse(of, script(panel(360, 455, crew=1), run(piece(455 + DAY))), "panel too young")


# -- break-out --------------------------------------------------------------------------------


def broken_out_scene(**changes: object) -> Problem:
    """A break-out crew that takes 60 min for the zone."""
    return problem(crews=(make.crew(), breakers()), **changes)


def test_a_spell_without_break_out_is_refused():
    of = broken_out_scene()
    refuse(of, script(run(piece(600))), "order or gap")


def test_a_spell_before_the_zone_is_prepared_is_refused():
    of = broken_out_scene(rules=rules(prepare_min_h=2.0))
    # broken out until 420, prepared until 540
    accept(of, script(run(piece(540)), breaks=[broken(360, 420)]))
    refuse(of, script(run(piece(539)), breaks=[broken(360, 420)]), "order or gap")


def test_a_first_layer_too_long_after_break_out_is_refused():
    of = broken_out_scene(rules=rules(max_open_days=1.0))
    # 420 + 1440 = 1860
    accept(of, script(run(piece(1860)), breaks=[broken(360, 420)]))
    refuse(of, script(run(piece(1861)), breaks=[broken(360, 420)]), "gap too long")


def test_break_out_outside_of_the_zones_window_is_refused():
    shut = (make.closure(ClosureScope.ZONE, "Z1", from_min=200, to_min=400),)
    of = broken_out_scene(closures=shut)
    # 10 min to get in
    accept(of, script(run(piece(600)), breaks=[broken(410, 470)]))
    refuse(of, script(run(piece(600)), breaks=[broken(409, 469)]), "break-out outside window")


def test_break_out_before_the_zone_is_ready_is_refused():
    of = broken_out_scene(zones=zones(1, ready_from_min=400))
    accept(of, script(run(piece(600)), breaks=[broken(400, 460)]))
    refuse(of, script(run(piece(600)), breaks=[broken(399, 459)]), "not ready")


def test_break_out_outside_of_its_crews_shift_is_refused():
    of = broken_out_scene()
    refuse(of, script(run(piece(600)), breaks=[broken(359, 419)]), "crew outside its shift")


def test_one_crew_breaking_out_two_zones_at_once_is_refused():
    of = broken_out_scene(zones=zones(2))
    both = run(piece(600), piece(676, zone=1))
    accept(of, script(both, breaks=[broken(360, 420), broken(420, 480, zone=1)]))
    rows = [broken(360, 420), broken(419, 479, zone=1)]
    refuse(of, script(both, breaks=rows), "crew busy, duty, rest or week")


def test_a_zone_is_open_from_its_break_out():
    pair = (Apart(zone_a=Z1, zone_b=Z2, kind=ApartKind.OPEN),)
    row = (make.zone("Z1"), make.zone("Z2", broken_out=False))
    of = broken_out_scene(zones=row, apart=pair)
    both = [run(piece(600)), run(piece(800, zone=1))]
    # the first is closed at 666
    accept(of, script(*both, breaks=[broken(360, 420), broken(666, 726, zone=1)]))
    early = [broken(360, 420), broken(665, 725, zone=1)]
    refuse(of, script(*both, breaks=early), "open beside a zone kept apart")


def test_break_out_of_less_than_the_zone_is_refused():
    of = broken_out_scene()
    rows = [broken(360, 390, volume=1.1)]
    refuse(of, script(run(piece(600)), breaks=rows), "wrong volume broken out")
    accept(of, script(run(piece(600)), breaks=[*rows, broken(400, 430, volume=1.1)]))


@pytest.mark.parametrize("end", [419, 421])
def test_break_out_shorter_or_longer_than_its_volume_takes_is_refused(end):
    refuse(broken_out_scene(), script(run(piece(600)), breaks=[broken(360, end)]), "wrong minutes")


def test_break_out_beside_a_zone_kept_apart_is_refused():
    of = problem(
        zones=zones(2),
        crews=(make.crew(), breakers(), make.crew("B2", kind=breakers().kind, rate_m3_h=2.2)),
        apart=(Apart(zone_a=Z1, zone_b=Z2, kind=ApartKind.WORK),),
    )
    both = run(piece(600), piece(676, zone=1))
    beside_each_other = [broken(360, 420), broken(419, 479, zone=1, crew=2)]
    refuse(of, script(both, breaks=beside_each_other), "break-out beside a zone kept apart")
    accept(of, script(both, breaks=[broken(360, 420), broken(420, 480, zone=1, crew=2)]))


# -- progress ---------------------------------------------------------------------------------


def test_a_zone_that_was_begun_before_may_be_left_out():
    of = problem(done=(make.done(at_min=60),))
    assert not replay(of, script(banned=frozenset({0}))).is_done(0)


def test_a_begun_layer_takes_one_more_spell_whatever_joints_allow():
    # 1 m³ of 2.2 is done; 1.2 m³ take 36 min
    of = problem(done=(make.done(at_min=60),))
    accept(of, script(run(piece(390, 426, volume=2.2 - 1.0))))
    refuse(
        of,
        script(run(piece(390, 408, volume=0.6), piece(418, 436, volume=0.6))),
        "joint not allowed",
    )


def test_nothing_happens_before_the_latest_progress():
    of = problem(done=(make.done(at_min=500),))
    late = replay(of, script(run(piece(531, 567, volume=2.2 - 1.0))))
    assert late.is_done(0)
    early = script(run(piece(529, 565, volume=2.2 - 1.0)))
    refuse(of, early, "crew outside its shift")


def test_a_mix_that_is_not_the_zones_is_out_of_reach():
    of = problem(zones=zones(1, mixes=(MixId("fine"),)), mixes=(make.mix("dry"), make.mix("fine")))
    refuse(of, script(run(piece(390), mix=0)), "out of reach")
    accept(of, script(run(piece(390), mix=1)))
