"""Exact neighbourhoods: the plan as it stands fits, a better one is found, and both replay."""

from __future__ import annotations

from dataclasses import replace

import pytest
from ortools.sat.python import cp_model

from planner.model.identifiers import Goal, ShiftId, ZoneId
from planner.model.limits import Apart, ApartKind, ClosureScope, OpenLimit
from planner.optimise.answer import Change, Hint, split_runs
from planner.optimise.board import Board
from planner.optimise.decode import decode
from planner.optimise.freeing import Neighbourhood, free
from planner.optimise.hand_rule import hand_rule
from planner.optimise.problem import Problem
from planner.optimise.repack import Aim, Repack
from planner.optimise.replay import replay
from planner.optimise.score import Scored
from planner.optimise.solving import Limits
from tests import builders as make
from tests.unit.optimise.scenes import (
    DAY,
    breakers,
    broken_rules,
    move,
    piece,
    plain,
    problem,
    rules,
    run,
    script,
    spell_times,
    whole,
    zones,
)

pytestmark = pytest.mark.solver

Z1, Z2, Z3 = ZoneId("Z1"), ZoneId("Z2"), ZoneId("Z3")
NONE: frozenset[int] = frozenset()
PLENTY = Limits(deterministic_s=5.0, seconds=60.0)
TWO_PLACES = (make.position("P1"), make.position("P2", y_m=30.0))


def freed(board: Board, banned: frozenset[int] = NONE) -> Neighbourhood:
    """Everything that every rig does."""
    of = board.problem
    near = free(board, banned, tuple(range(len(of.rigs))), of.start, of.end)
    assert near is not None
    return near


def everywhere(of: Problem) -> dict[int, list[int]]:
    """Every position, for every rig."""
    return {r: list(range(len(of.campaign.positions))) for r in range(len(of.rigs))}


def better(board: Board, aim: Aim, banned: frozenset[int] = NONE) -> Board | None:
    """The plan that the exact model finds, replayed and looked at by the outside auditor."""
    model = Repack(board, freed(board, banned), everywhere(board.problem))
    change = model.solve(aim, PLENTY)
    if change is None:
        return None
    events = change.on(board, banned)
    assert events is not None
    found = replay(board.problem, events)
    assert broken_rules(board.problem, whole(found)) == []
    return found


def lengths(*minutes: int) -> tuple[object, ...]:
    """Zones that take so long with their zone change of 10 min, at 2 m³/h."""
    return tuple(
        make.zone(f"Z{number}", volume_m3=(length - 10) / 30)
        for number, length in enumerate(minutes, start=1)
    )


def packed(*minutes: int) -> Problem:
    """A shift that holds spells and changes of 100 min in all."""
    return problem(zones=lengths(*minutes), shifts=(make.shift(end_tod=360 + 20 + 100 + 15),))


# -- the plan as it stands ----------------------------------------------------------------------


SCENES: dict[str, dict[str, object]] = {
    "one rig": {"zones": zones(5)},
    "several days": {"zones": zones(9, area_m2=60.0)},
    "two rigs": {
        "zones": zones(6, area_m2=60.0),
        "positions": (make.position(rigs_max=2),),
        "rigs": (make.rig("R1"), make.rig("R2")),
        "crews": (make.crew("C1"), make.crew("C2")),
    },
    "a relocation between two shifts": {
        "zones": (make.zone("Z1"), make.zone("Z2", x_m=310.0)),
        "positions": (make.position("P1"), make.position("P2", x_m=300.0)),
        "shifts": (make.shift(end_tod=9 * 60),),
    },
    "a lifting gang": {
        "zones": (make.zone("Z1"), make.zone("Z2", x_m=310.0)),
        "positions": (make.position("P1"), make.position("P2", x_m=300.0)),
        "shifts": (make.shift(), make.shift("lift", start_tod=1200, end_tod=1320)),
        "rules": rules(relocation_shift=ShiftId("lift")),
    },
    "a rig that stands elsewhere": {
        "positions": (make.position("P1"), make.position("P2", x_m=300.0)),
        "rigs": (make.rig(at="P2"),),
    },
    "layers": {"zones": zones(3), "mixes": (make.mix(layer_max_mm=50.0, layer_gap_max_h=40.0),)},
    "joints": {"zones": zones(3, area_m2=150.0, joint_allowed=True)},
    "lifts": {"zones": (make.zone("Z1"), make.zone("Z2", after=(Z1,)), make.zone("Z3"))},
    "zones apart at work": {
        "zones": zones(2),
        "positions": (make.position(rigs_max=2),),
        "rigs": (make.rig("R1"), make.rig("R2")),
        "crews": (make.crew("C1"), make.crew("C2")),
        "apart": (Apart(zone_a=Z1, zone_b=Z2, kind=ApartKind.WORK),),
    },
    "zones apart while open": {
        "zones": zones(3),
        "apart": (Apart(zone_a=Z1, zone_b=Z2, kind=ApartKind.OPEN),),
        "rules": rules(strength_hold_h=3.0),
    },
    "an open limit": {
        "zones": zones(3),
        "open_limits": (OpenLimit(group="bay", zones=(Z1, Z2, Z3), open_max=1),),
        "rules": rules(strength_hold_h=3.0),
    },
    "duties and weeks": {
        "zones": zones(8, area_m2=60.0),
        "crews": (make.crew(duty_max_min=500, rest_min_min=660, week_max_min=2400),),
    },
    "panels": {"zones": zones(3), "rules": rules(panel_days=1.0)},
    "break-out": {
        "zones": zones(3),
        "crews": (make.crew(), breakers()),
        "rules": rules(prepare_min_h=2.0, max_open_days=3.0),
    },
    "progress": {"zones": zones(2), "done": (make.done(),)},
    "a closure of a zone": {
        "zones": zones(3),
        "closures": (make.closure(ClosureScope.ZONE, "Z1", from_min=0, to_min=600),),
    },
}

BEYOND: dict[str, dict[str, object]] = {
    "a relocation within a shift": {
        "zones": (make.zone("Z1"), make.zone("Z2", x_m=310.0)),
        "positions": (make.position("P1"), make.position("P2", x_m=300.0)),
    },
    "a closure of a position within a shift": {
        "zones": zones(3),
        "closures": (
            make.closure(ClosureScope.ZONE, "Z1", from_min=0, to_min=600),
            make.closure(ClosureScope.POSITION, "P1", from_min=500, to_min=560),
        ),
    },
}
"""Plans that the model cannot say: a slot holds one run, at one position, in one open stretch."""


@pytest.mark.parametrize("name", SCENES)
def test_the_present_plan_is_an_answer_of_its_own_model(name):
    of = problem(**SCENES[name])
    board, guide = decode(of, plain(of))
    assert not guide.banned
    model = Repack(board, freed(board), everywhere(of))
    Hint(model.own, model.moves).give()
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.fix_variables_to_their_hinted_value = True
    solver.parameters.catch_sigint_signal = False
    status = solver.solve(model.own.model)
    assert solver.status_name(status) == "OPTIMAL"


@pytest.mark.parametrize("name", SCENES)
def test_whatever_the_model_answers_is_a_valid_plan_that_ends_no_later(name):
    of = problem(**SCENES[name])
    board, _ = decode(of, plain(of))
    found = better(board, Aim(end=1000))
    assert found is not None
    before, after = Scored(board), Scored(found)
    assert after.volumes == before.volumes
    assert after.value(Goal.FINISH) <= before.value(Goal.FINISH)


@pytest.mark.parametrize("name", BEYOND)
def test_what_the_model_answers_beyond_its_limits_is_valid_all_the_same(name):
    board, _ = decode(problem(**BEYOND[name]), plain(problem(**BEYOND[name])))
    assert better(board, Aim(end=1000)) is not None


# -- a better plan ------------------------------------------------------------------------------


def test_a_better_packing_of_the_shifts_is_found():
    of = packed(50, 40, 30, 60, 20)
    board, _ = hand_rule(of)
    # in table order: 50 + 40, 30 + 60, 20: three days; 60 + 40 and 50 + 30 + 20 take two
    assert {start // DAY for _, start, _ in spell_times(whole(board))} == {0, 1, 2}
    found = better(board, Aim(end=1000))
    assert found is not None
    assert {start // DAY for _, start, _ in spell_times(whole(found))} == {0, 1}
    # 100 min a day, of which the first 10 are the zone change: 380 + 100 on the second day
    assert Scored(found).plan.spells[-1].end_min == DAY + 480


def test_a_rig_that_went_to_and_fro_goes_once():
    row = (make.zone("Z1"), make.zone("Z2", x_m=310.0), make.zone("Z3"))
    places = (make.position("P1"), make.position("P2", x_m=300.0))
    of = problem(zones=row, positions=places)
    there = piece(DAY + 390, zone=1, position=1)
    board = replay(
        of,
        script(
            run(piece(390)),
            run(there),
            run(piece(2 * DAY + 390, zone=2)),
            moves=[move(480, 540), move(DAY + 600, DAY + 660, origin=1, target=0)],
        ),
    )
    found = better(board, Aim(move=1_000_000))
    assert found is not None
    assert (len(board.moves), len(found.moves)) == (2, 1)


def test_a_position_that_reaches_everything_saves_the_relocation():
    places = (make.position("P1"), make.position("P2", x_m=150.0), make.position("P3", x_m=75.0))
    row = (make.zone("Z1", x_m=0.0), make.zone("Z2", x_m=150.0))
    of = problem(zones=row, positions=places)
    first, second = run(piece(390)), run(piece(600, zone=1, position=1))
    board = replay(of, script(first, second, moves=[move(480, 540)]))
    found = better(board, Aim(move=1_000_000))
    assert found is not None
    assert found.moves == []
    assert {one.position for one in found.runs} == {2}


def test_a_run_that_touches_the_night_goes_to_the_day():
    of = problem(shifts=(make.shift(start_tod=0, end_tod=0),))
    board = replay(of, script(run(piece(100))))
    found = better(board, Aim(night=1_000_000))
    assert found is not None
    (only,) = found.runs
    assert only.start >= 360
    assert only.end <= 22 * 60


def test_a_zone_that_is_due_comes_before_one_that_is_not():
    row = (make.zone("Z1"), make.zone("Z2", due_min=DAY))
    of = problem(zones=row, shifts=(make.shift(end_tod=8 * 60),))  # one zone a day
    board = replay(of, script(run(piece(390)), run(piece(DAY + 390, zone=1))))
    found = better(board, Aim(late=1_000_000))
    assert found is not None
    assert Scored(found).value(Goal.LATE) == 0.0
    assert Scored(board).value(Goal.LATE) > 0.0


def test_a_day_that_costs_money_is_saved():
    of = problem(zones=zones(2), prices=make.prices(day=1000.0))
    board = replay(of, script(run(piece(390)), run(piece(DAY + 390, zone=1))))
    found = better(board, Aim(money=1))
    assert found is not None
    assert (Scored(board).value(Goal.COST), Scored(found).value(Goal.COST)) == (2000.0, 1000.0)


def test_a_shift_that_costs_money_is_saved():
    of = problem(
        zones=zones(2),
        crews=(make.crew("C1"), make.crew("C2")),
        prices=make.prices(crew_shift={"C1": 500.0, "C2": 500.0}),
    )
    board = replay(of, script(run(piece(390)), run(piece(600, zone=1), crew=1)))
    found = better(board, Aim(money=1))
    assert found is not None
    assert len({one.crew for one in found.runs}) == 1


def test_no_answer_ends_later_than_it_may():
    of = packed(50, 40, 30, 60, 20)
    board, _ = hand_rule(of)
    assert better(board, Aim(latest=DAY + 479)) is None  # a minute less than the best possible
    found = better(board, Aim(latest=DAY + 480))
    assert found is not None


def test_kept_work_is_worked_around():
    of = problem(zones=zones(3))
    board = replay(
        of,
        script(run(piece(390)), run(piece(DAY + 390, zone=1)), run(piece(2 * DAY + 390, zone=2))),
    )
    near = free(board, NONE, (0,), DAY, 3 * DAY)
    assert near is not None
    change = Repack(board, near, everywhere(of)).solve(Aim(end=1000), PLENTY)
    assert change is not None
    assert {one.zone for row in change.old_runs for one in row.pieces} == {1, 2}
    assert min(row.start for row in change.new_runs) >= DAY


def test_a_late_run_is_pulled_forward_into_the_stretch():
    of = problem(zones=zones(3))
    days = [run(piece(day * DAY + 390, zone=day)) for day in range(3)]
    board = replay(of, script(*days))
    near = free(board, NONE, (0,), 0, DAY, extra=(board.runs[2],))
    assert near is not None
    change = Repack(board, near, everywhere(of)).solve(Aim(end=1000), PLENTY)
    assert change is not None
    events = change.on(board, NONE)
    assert events is not None
    found = replay(of, events)
    assert broken_rules(of, whole(found)) == []
    assert max(one.end for one in found.runs) < 2 * DAY


def test_a_gap_longer_than_the_rig_may_idle_becomes_two_runs():
    row = (make.zone("Z1"), make.zone("Z2", ready_from_min=700))
    of = problem(zones=row, rigs=(make.rig(idle_max_min=60),))
    board, _ = decode(of, plain(of))
    found = better(board, Aim(end=1000))
    assert found is not None
    assert [len(one.pieces) for one in found.runs] == [1, 1]


# -- answers ------------------------------------------------------------------------------------


def test_a_change_whose_runs_are_gone_is_none():
    of = problem()
    board = replay(of, script(run(piece(390))))
    change = Change(old_runs=(run(piece(390)),), old_moves=(), new_runs=(), new_moves=())
    assert change.on(board, NONE) is None
    there = replace(change, old_runs=tuple(board.runs), new_runs=(run(piece(400)),))
    events = there.on(board, NONE)
    assert events is not None
    assert [one.start for one in events.runs] == [370]
    lost = replace(there, old_moves=(move(500, 560),))
    assert lost.on(board, NONE) is None


def test_the_spells_of_a_slot_become_a_run_for_each_stretch_of_one_mix():
    of = problem(zones=zones(3), mixes=(make.mix("dry"), make.mix("fine")))
    board = replay(
        of,
        script(
            run(piece(390), piece(466, zone=1)),
            run(piece(700, zone=2), mix=1),
        ),
    )
    near = freed(board)
    rows = [(atom.now, atom) for atom in reversed(near.atoms)]
    found = split_runs(board, near.slots[0], rows)
    assert [(one.mix, one.start, one.end) for one in found] == [(0, 360, 547), (1, 670, 781)]


def test_the_same_model_and_limits_give_the_same_answer():
    of = packed(50, 40, 30, 60, 20, 70, 30)
    board, _ = hand_rule(of)
    one, other = (
        Repack(board, freed(board), everywhere(of)).solve(Aim(end=1000), PLENTY) for _ in range(2)
    )
    assert one is not None
    assert other is not None
    assert [row.pieces for row in one.new_runs] == [row.pieces for row in other.new_runs]


def test_a_model_says_how_its_solve_went():
    of = packed(50, 40)
    board, _ = hand_rule(of)
    model = Repack(board, freed(board), everywhere(of))
    assert model.status == ""
    # one slot a day for 14 days, one position: 14 places for each of two atoms
    assert model.choices == 28
    model.solve(Aim(end=1000), PLENTY)
    assert model.status == "OPTIMAL"
    assert model.deterministic_s > 0.0
