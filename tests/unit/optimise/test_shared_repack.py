"""Exact neighbourhoods keep what is shared within its number, and still find better plans."""

from __future__ import annotations

from typing import Any

import pytest
from ortools.sat.python import cp_model

from planner.model.identifiers import ResourceId
from planner.model.resource import Need, Resource
from planner.optimise.answer import Hint
from planner.optimise.board import Board
from planner.optimise.freeing import free
from planner.optimise.repack import Aim, Repack
from planner.optimise.replay import replay
from planner.optimise.solving import Limits
from tests import builders as make
from tests.unit.optimise.scenes import (
    DAY,
    breakers,
    broken_rules,
    decoded,
    piece,
    problem,
    run,
    script,
    whole,
    zones,
)

pytestmark = pytest.mark.solver

FLOAT = (Need(resource_id=ResourceId("float")),)
ONE = (Resource(resource_id=ResourceId("float"), number=1),)
TWO: dict[str, Any] = {
    "positions": (make.position(rigs_max=2),),
    "rigs": (make.rig("R1"), make.rig("R2")),
    "crews": (make.crew("C1"), make.crew("C2")),
    "resources": ONE,
}
PLENTY = Limits(deterministic_s=5.0, seconds=60.0)
SCENES: dict[str, dict[str, Any]] = {
    "zones": {"zones": zones(4, needs=FLOAT)} | TWO,
    "zones with trimming": {
        "zones": zones(3, needs=FLOAT),
        "mixes": (make.mix(finish_min_m2=1.5),),
    }
    | TWO,
    "layers": {"zones": zones(2, needs=FLOAT), "mixes": (make.mix(layer_max_mm=50.0),)} | TWO,
    "rigs": {"zones": zones(4)}
    | TWO
    | {"rigs": (make.rig("R1", needs=FLOAT), make.rig("R2", needs=FLOAT))},
    "crews": {"zones": zones(4)}
    | TWO
    | {"crews": (make.crew("C1", needs=FLOAT), make.crew("C2", needs=FLOAT))},
    "positions": {"zones": zones(4)}
    | TWO
    | {
        "positions": (
            make.position("P1", needs=FLOAT),
            make.position("P2", y_m=5.0, needs=FLOAT),
        )
    },
    "break-out": {"zones": zones(3, needs=FLOAT)}
    | TWO
    | {"crews": (make.crew("C1"), make.crew("C2"), breakers())},
}


def model_of(board: Board) -> Repack:
    of = board.problem
    near = free(board, frozenset(), tuple(range(len(of.rigs))), of.start, of.end)
    assert near is not None
    places = {r: list(range(len(of.campaign.positions))) for r in range(len(of.rigs))}
    return Repack(board, near, places)


def as_it_stands(board: Board) -> str:
    """The model's status with every hinted variable fixed."""
    model = model_of(board)
    Hint(model.own, model.moves).give()
    solver = cp_model.CpSolver()
    solver.parameters.fix_variables_to_their_hinted_value = True
    solver.parameters.num_workers = 1
    return solver.status_name(solver.solve(model.own.model))


def better(board: Board, aim: Aim) -> Board:
    change = model_of(board).solve(aim, PLENTY)
    assert change is not None
    events = change.on(board, frozenset())
    assert events is not None
    found = replay(board.problem, events)
    assert broken_rules(board.problem, whole(found)) == []
    return found


@pytest.mark.parametrize("name", list(SCENES))
def test_the_plan_as_it_stands_is_an_answer(name: str):
    board, plan = decoded(problem(**SCENES[name]))
    assert not plan.unplanned
    assert as_it_stands(board) in {"OPTIMAL", "FEASIBLE"}


@pytest.mark.parametrize("name", list(SCENES))
def test_the_best_answer_keeps_the_rule_and_is_no_worse(name: str):
    board, _ = decoded(problem(**SCENES[name]))
    found = better(board, Aim(end=20_000))
    assert max(found.rig_last_run) <= max(board.rig_last_run)


def test_a_late_plan_is_pulled_forward_as_far_as_the_float_allows():
    of = problem(**SCENES["zones"] | {"zones": zones(2, needs=FLOAT)})
    late = replay(
        of,
        script(run(piece(390)), run(piece(DAY + 390, zone=1, rig=1), rig=1, crew=1)),
    )
    found = better(late, Aim(end=20_000))
    starts = sorted(p.start for one in found.runs for p in one.pieces)
    assert starts == [390, 466]  # the second change begins when the first spell has ended


def test_without_the_rule_the_same_model_would_overlap():
    bare = problem(**SCENES["zones"] | {"zones": zones(2)})
    events = script(run(piece(390)), run(piece(DAY + 390, zone=1, rig=1), rig=1, crew=1))
    found = better(replay(bare, events), Aim(end=20_000))
    assert sorted(p.start for one in found.runs for p in one.pieces) == [390, 390]
