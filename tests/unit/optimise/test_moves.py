"""Relocations: the first slot that anybody has."""

from __future__ import annotations

from planner.model.identifiers import CrewKind, Process, ShiftId
from planner.model.limits import ClosureScope
from planner.optimise.board import FOREVER, Board
from planner.optimise.moves import move_room, plan_move
from planner.optimise.problem import Problem
from tests import builders as make
from tests.unit.optimise.scenes import DAY, piece, problem, rules, run

PLACES = (make.position("P1"), make.position("P2", x_m=30.0))


def scene(**changes: object) -> Problem:
    """A rig that stands at P1 and takes 60 min to move."""
    fields: dict[str, object] = {"positions": PLACES, "rigs": (make.rig(at="P1"),)}
    return problem(**(fields | changes))


def found(of: Problem, after: int = 0, until: int = FOREVER) -> tuple[int | None, int] | None:
    """Crew and start of the relocation to P2."""
    move = plan_move(Board(of), 0, 1, after, until)
    return None if move is None else (move.crew, move.start)


def test_a_rig_is_moved_in_the_first_hour_of_a_shift():
    assert found(scene()) == (0, 360)
    assert found(scene(), after=700) == (0, 700)
    assert found(scene(), after=1020) == (0, 1020)
    assert found(scene(), after=1021) == (0, DAY + 360)  # 1080 - 60 = 1020 is too late


def test_a_move_that_would_end_too_late_is_none():
    assert found(scene(), until=420) == (0, 360)
    assert found(scene(), until=419) is None


def test_a_rig_does_not_move_to_where_it_stands_nor_from_nowhere():
    assert plan_move(Board(scene()), 0, 0, 0, FOREVER) is None
    assert found(scene(rigs=(make.rig(),))) is None


def test_a_crew_at_work_moves_no_rig_meanwhile():
    board = Board(scene())
    board.occupy_crew(0, 380, 500)
    move = plan_move(board, 0, 1, 0, FOREVER)
    assert move is not None
    assert move.start == 500


def test_the_crew_that_is_free_first_moves_the_rig():
    crews = (make.crew("C1", shift_id="late"), make.crew("C2"))
    shifts = (make.shift(), make.shift("late", start_tod=600, end_tod=1200))
    assert found(scene(crews=crews, shifts=shifts)) == (1, 360)


def test_of_two_free_crews_the_one_that_last_worked_the_rig_moves_it():
    of = scene(crews=(make.crew("C1"), make.crew("C2")))
    board = Board(of)
    board.commit_run(run(piece(390), crew=1))
    move = plan_move(board, 0, 1, DAY, FOREVER)
    assert move is not None
    assert (move.crew, move.start) == (1, DAY + 360)


def test_break_out_crews_and_those_of_the_other_process_move_no_rig():
    crews = (
        make.crew("B1", kind=CrewKind.BREAK_OUT, rate_m3_h=1.0),
        make.crew("C1", processes=(Process.WET,)),
        make.crew("C2", processes=(Process.DRY,), shift_id="late"),
    )
    shifts = (make.shift(), make.shift("late", start_tod=600, end_tod=1200))
    assert found(scene(crews=crews, shifts=shifts)) == (2, 600)


def test_the_rest_of_a_crew_is_kept():
    of = scene(crews=(make.crew(duty_max_min=300, rest_min_min=600),))
    board = Board(of)
    board.occupy_crew(0, 360, 620)
    move = plan_move(board, 0, 1, 620, FOREVER)
    assert move is not None
    assert move.start == DAY + 360  # 620 + 60 would make a duty of 320 min


def test_no_move_happens_in_a_closure_of_either_position():
    shut = (make.closure(ClosureScope.POSITION, "P2", from_min=0, to_min=500),)
    assert found(scene(closures=shut)) == (0, 500)
    room = move_room(scene(closures=shut), 0, 0, 1)
    assert room.starts[0] == 500


def gang(**changes: object) -> Problem:
    """A lifting gang from 20:00 to 22:00."""
    return scene(
        shifts=(make.shift(), make.shift("lift", start_tod=1200, end_tod=1320)),
        rules=rules(relocation_shift=ShiftId("lift")),
        **changes,
    )


def test_a_gang_moves_rigs_in_its_shift():
    assert found(gang()) == (None, 1200)
    assert found(gang(), after=1260) == (None, 1260)
    assert found(gang(), after=1261) == (None, DAY + 1200)


def test_a_gang_waits_for_a_closure_to_end():
    shut = (make.closure(from_min=0, to_min=1280),)
    assert found(gang(closures=shut)) == (None, DAY + 1200)


def test_a_rig_arrives_no_earlier_than_the_one_there_has_left():
    rigs = (make.rig("R1", at="P1"), make.rig("R2", at="P2"))
    of = scene(rigs=rigs, crews=(make.crew("C1"), make.crew("C2")))
    board = Board(of)
    board.commit_run(run(piece(390, rig=1, position=1)))
    assert plan_move(board, 0, 1, 0, FOREVER) is None  # nobody knows when it leaves
    board.release(1)  # its last run ends at 471
    move = plan_move(board, 0, 1, 0, FOREVER)
    assert move is not None
    assert (move.crew, move.start, move.end) == (1, 411, 471)
