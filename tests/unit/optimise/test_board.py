"""What committed work still allows: hours, positions, open time, order."""

from __future__ import annotations

import pytest

from planner.model.identifiers import ZoneId
from planner.model.limits import Apart, ApartKind, OpenLimit
from planner.optimise.board import FOREVER, Board, Break, DraftRun, Move
from planner.optimise.problem import Problem
from tests import builders as make
from tests.unit.optimise.scenes import DAY, M3, breakers, piece, problem, rules, run, zones

Z1, Z2, Z3 = ZoneId("Z1"), ZoneId("Z2"), ZoneId("Z3")


def board_with_hours(*spans: tuple[int, int], **crew: object) -> Board:
    """A board on which the only crew has worked already."""
    board = Board(problem(crews=(make.crew(**crew),)))
    for start, end in spans:
        board.occupy_crew(0, start, end)
    return board


def spray(board: Board, start: int, zone: int = 0, **changes: object) -> DraftRun:
    """Spray a whole zone from a minute on."""
    draft = DraftRun(rig=0, crew=0, position=0, mix=0)
    board.spray(draft, piece(start, zone=zone, **changes), 0, ends_layer=True)
    return draft


# -- hours ------------------------------------------------------------------------------------


def test_a_crews_gaps_are_what_its_work_leaves_of_a_stretch():
    board = board_with_hours((400, 500), (600, 700))
    assert board.crew_gaps(0, 300, 800) == [(300, 400), (500, 600), (700, 800)]
    assert board.crew_gaps(0, 450, 650) == [(500, 600)]
    assert board.crew_gaps(0, 410, 490) == []


@pytest.mark.parametrize(
    ("start", "end", "free"),
    [(300, 400, True), (300, 401, False), (500, 600, True), (499, 520, False), (420, 430, False)],
)
def test_work_may_meet_other_work_and_not_overlap_it(start, end, free):
    assert board_with_hours((400, 500), (600, 700)).crew_may(0, start, end) == free


def test_without_limits_a_duty_never_ends():
    assert board_with_hours((400, 500)).duty_end(0, 600) == FOREVER


def test_a_duty_begins_with_the_first_work_after_a_full_rest():
    board = board_with_hours((100, 200), (300, 400), duty_max_min=600, rest_min_min=480)
    assert board.duty_end(0, 450) == 100 + 600
    assert board.duty_end(0, 879) == 100 + 600  # 479 min of rest are not enough
    assert board.duty_end(0, 880) == 880 + 600


def test_work_in_between_joins_the_duties_before_and_after():
    board = board_with_hours((0, 100), (700, 800), duty_max_min=700, rest_min_min=480)
    # on their own both are fine; work from 300 to 320 leaves 200 and 380 min of rest: 800 min
    assert not board.crew_may(0, 300, 320)
    assert board.crew_may(0, 100, 120)  # 580 min until 700 are a rest


def test_a_full_rest_before_later_work_keeps_the_duties_apart():
    board = board_with_hours((1000, 1500), duty_max_min=600, rest_min_min=480)
    assert board.crew_may(0, 400, 520)  # 480 min until 1000
    assert not board.crew_may(0, 400, 521)


def test_hours_of_a_week_count_from_monday():
    board = board_with_hours((100, 400), week_max_min=500)
    assert board.duty_end(0, 1000) == 1000 + 200
    assert board.crew_may(0, 1000, 1200)
    assert not board.crew_may(0, 1000, 1201)
    assert board.crew_may(0, 7 * DAY, 7 * DAY + 500)
    assert [board.week(minute) for minute in (0, 7 * DAY - 1, 7 * DAY)] == [0, 0, 1]


# -- positions ----------------------------------------------------------------------------------


def two_rigs(rigs_max: int = 1, **rigs: object) -> Board:
    """Two rigs and a position for one or two."""
    return Board(
        problem(
            rigs=(make.rig("R1", **rigs), make.rig("R2", **rigs)),
            positions=(make.position("P1", rigs_max=rigs_max), make.position("P2")),
        )
    )


def test_a_position_is_free_while_nobody_stands_there():
    assert two_rigs().position_from(0, 0, 100) == 100


def test_a_position_that_nobody_is_known_to_leave_is_never_free():
    board = two_rigs()
    board.rig_hold(1, 0, 50)
    assert board.position_from(0, 0, 100) is None


def test_a_position_is_free_again_when_the_rig_there_leaves():
    board = two_rigs()
    board.commit_run(run(piece(390)))
    board.commit_move(Move(rig=0, crew=0, origin=0, target=1, start=500, end=560))
    assert board.position_from(1, 0, 100) == 500
    assert board.position_from(1, 0, 600) == 600
    assert board.position_from(1, 1, 600) is None
    assert (board.rig_at[0], board.rig_free[0]) == (1, 560)
    assert not board.crew_may(0, 550, 570)


def test_a_rig_without_further_work_holds_its_position_to_the_end_of_its_last_run():
    board = two_rigs()
    board.commit_run(run(piece(390)))  # until 471
    assert board.position_from(1, 0, 100) is None
    board.release(0)
    assert board.position_from(1, 0, 100) == 471


def test_where_two_may_stand_the_first_to_leave_makes_room():
    board = two_rigs(rigs_max=2)
    board.rig_hold(0, 0, 0)
    assert board.position_from(1, 0, 100) == 100


def test_of_rigs_that_stand_at_one_position_only_as_many_as_it_takes_may_begin():
    board = two_rigs(at="P1")
    assert board.may_begin(0)
    assert board.may_begin(1)
    board.commit_run(run(piece(390)))
    assert board.may_begin(0)
    assert not board.may_begin(1)


def test_both_may_begin_where_two_may_stand():
    board = two_rigs(rigs_max=2, at="P1")
    board.commit_run(run(piece(390)))
    assert board.may_begin(1)


def test_a_rig_that_stands_nowhere_may_always_begin():
    board = two_rigs()
    board.commit_run(run(piece(390)))
    assert board.may_begin(1)


# -- zones ----------------------------------------------------------------------------------------


def test_a_zone_is_done_when_its_last_layer_is_sprayed():
    board = Board(problem(rules=rules(strength_hold_h=2.0)))
    assert not board.is_done(0)
    assert not board.work_begun(0)
    spray(board, 390)
    assert board.is_done(0)
    assert board.done_end(0) == 456
    assert board.zones[0].closed == 456 + 120
    assert board.work[0] == [(380, 456)]  # the zone change belongs to the work


def test_what_was_drafted_can_be_taken_back():
    board = Board(problem(zones=zones(2)))
    before = list(board.zones)
    draft = spray(board, 390)
    board.spray(draft, piece(466, zone=1), 0, ends_layer=True)
    board.take_back(draft)
    assert board.zones == before
    assert board.work == [[], []]
    assert draft.pieces == []


def test_a_part_of_a_layer_leaves_the_rest():
    board = Board(problem(zones=zones(1, joint_allowed=True)))
    draft = DraftRun(rig=0, crew=0, position=0, mix=0)
    board.spray(draft, piece(390, 420, volume=1.0), 0, ends_layer=False)
    assert board.zones[0].left == pytest.approx(M3 - 1.0)
    assert not board.zones[0].whole
    assert board.earliest(0, 0) == 420  # the next piece of a layer need not wait
    assert board.latest(0, 0) == FOREVER


def two_layers(**changes: object) -> Problem:
    """One zone of two layers, 12 h apart."""
    return problem(mixes=(make.mix(layer_max_mm=50.0, **changes),))


def test_the_next_layer_has_an_earliest_and_a_latest_start():
    board = Board(two_layers(layer_gap_max_h=36.0))
    assert board.earliest(0, 0) == 0
    assert board.latest(0, 0) == FOREVER
    spray(board, 390, volume=1.1)
    assert board.earliest(0, 0) == 456 + 12 * 60
    assert board.latest(0, 0) == 456 + 36 * 60


def test_without_a_longest_gap_the_next_layer_may_come_any_time():
    board = Board(two_layers())
    spray(board, 390, volume=1.1)
    assert board.latest(0, 0) == FOREVER


def test_a_zone_has_no_earliest_start_until_those_before_it_are_done():
    board = Board(problem(zones=(make.zone("Z1"), make.zone("Z2", after=(Z1,)))))
    assert board.earliest(1, 0) is None
    spray(board, 390)
    assert board.earliest(1, 0) == 456


def breaking(**changes: object) -> Board:
    """A zone to be broken out."""
    return Board(problem(crews=(make.crew(), breakers()), rules=rules(**changes)))


def test_a_zone_has_no_earliest_start_until_it_is_broken_out_and_prepared():
    board = breaking(prepare_min_h=3.0, max_open_days=2.0)
    assert board.earliest(0, 0) is None
    board.commit_break(Break(crew=1, zone=0, start=360, end=390, volume=1.1), finished=False)
    assert board.earliest(0, 0) is None
    assert board.break_left[0] == pytest.approx(1.1)
    board.commit_break(Break(crew=1, zone=0, start=400, end=430, volume=1.1), finished=True)
    assert board.earliest(0, 0) == 430 + 180
    assert board.latest(0, 0) == 430 + 2 * DAY
    assert board.zones[0].opened == 360
    assert board.crew_gaps(1, 360, 430) == [(390, 400)]


def test_break_out_is_done_when_the_last_of_its_crews_is_done():
    board = breaking()
    board.commit_break(Break(crew=1, zone=0, start=500, end=530, volume=1.1), finished=False)
    board.commit_break(Break(crew=1, zone=0, start=400, end=430, volume=1.1), finished=True)
    assert board.broken[0] == 530


def test_a_zone_broken_out_already_is_open_from_the_start_where_there_are_crews_for_it():
    row = zones(1, broken_out=True)
    with_crews = Board(problem(zones=row, crews=(make.crew(), breakers())))
    assert with_crews.zones[0].opened == 0
    assert with_crews.earliest(0, 0) == 0
    assert Board(problem(zones=row)).zones[0].opened is None


def test_a_zone_waits_until_one_kept_apart_from_it_is_closed():
    pair = (Apart(zone_a=Z1, zone_b=Z2, kind=ApartKind.OPEN),)
    of = problem(zones=zones(2), apart=pair, rules=rules(strength_hold_h=1.0))
    board = Board(of)
    assert board.opening(1, 100) == 100
    spray(board, 390)
    assert board.opening(1, 100) == 456 + 60
    assert board.opening(1, 600) == 600


def test_a_zone_never_opens_beside_one_kept_apart_that_is_not_complete():
    pair = (Apart(zone_a=Z1, zone_b=Z2, kind=ApartKind.OPEN),)
    board = Board(problem(zones=zones(2, joint_allowed=True), apart=pair))
    draft = DraftRun(rig=0, crew=0, position=0, mix=0)
    board.spray(draft, piece(390, 420, volume=1.0), 0, ends_layer=False)
    assert board.opening(1, 100) is None


def test_a_group_opens_its_next_zone_when_enough_of_it_are_closed():
    limit = (OpenLimit(group="bay", zones=(Z1, Z2, Z3), open_max=2),)
    board = Board(problem(zones=zones(3), open_limits=limit))
    spray(board, 390)
    assert board.opening(2, 400) == 400  # one is open
    spray(board, 466, zone=1)
    assert board.opening(2, 400) == 456  # two are, until the first closes


def test_a_group_that_may_not_open_any_zone_opens_none():
    limit = (OpenLimit(group="bay", zones=(Z1,), open_max=0),)
    assert Board(problem(open_limits=limit)).opening(0, 0) is None


def test_work_moves_behind_that_of_a_zone_kept_apart():
    pair = (Apart(zone_a=Z1, zone_b=Z2, kind=ApartKind.WORK),)
    board = Board(problem(zones=zones(2), apart=pair))
    assert board.clear_of(1, 380, 76) == 380
    spray(board, 390)  # work from 380 to 456
    assert board.clear_of(1, 304, 76) == 304
    assert board.clear_of(1, 305, 76) == 456
    assert board.clear_of(0, 305, 76) == 305  # its own work does not count


def test_progress_opens_its_zone_at_the_start_and_a_complete_one_is_done():
    of = problem(zones=zones(2), done=(make.done(at_min=60), make.done("Z2", done_m3=2.2)))
    board = Board(of)
    assert board.zones[0].opened == 60
    assert not board.is_done(0)
    assert board.is_done(1)
    assert board.done_end(1) == 60
