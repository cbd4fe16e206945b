"""From a board to the plan's rows."""

from __future__ import annotations

import pytest

from planner.model.identifiers import Orientation
from planner.optimise.extract import extract, needed_moves
from planner.optimise.replay import replay
from planner.plan.plan import BreakOut, Relocation, Run, RunKind, Spell
from tests import builders as make
from tests.unit.optimise.scenes import (
    DAY,
    breakers,
    broken,
    move,
    panel,
    piece,
    problem,
    rules,
    run,
    script,
    zones,
)

PLACES = (make.position("P1"), make.position("P2", y_m=30.0))


def test_a_spell_names_its_run_and_has_hose_and_volume():
    plan = extract(replay(problem(), script(run(piece(390)))))
    (spell,) = plan.spells
    assert spell == make.spell("R001", volume_m3=pytest.approx(2.2))
    assert isinstance(spell, Spell)
    (row,) = plan.runs
    assert row == make.run("R001")
    assert isinstance(row, Run)


def test_runs_are_numbered_in_time_order():
    of = problem(zones=zones(2))
    plan = extract(replay(of, script(run(piece(600, zone=1)), run(piece(390)))))
    assert [(row.run, row.start_min) for row in plan.runs] == [("R001", 360), ("R002", 570)]
    assert [(row.run, row.zone) for row in plan.spells] == [("R001", "Z1"), ("R002", "Z2")]


def test_a_panel_run_says_its_orientation_and_one_that_serves_nothing_is_dropped():
    of = problem(rules=rules(panel_days=1.0), crews=(make.crew("C1"), make.crew("C2")))
    idle = panel(500, 595, crew=1)
    plan = extract(replay(of, script(panel(360, 455), idle, run(piece(455 + DAY)))))
    assert [(row.kind, row.crew, row.orientation) for row in plan.runs] == [
        (RunKind.PANEL, "C1", Orientation.OVERHEAD),
        (RunKind.SPRAY, "C1", None),
    ]


def test_a_relocation_after_the_last_run_is_dropped():
    of = problem(positions=PLACES, rigs=(make.rig(at="P1"),))
    board = replay(of, script(run(piece(390)), moves=[move(500, 560)]))
    assert extract(board).relocations == ()
    assert needed_moves(board, board.runs) == []


def test_a_relocation_before_a_run_is_a_row_with_its_crew():
    of = problem(positions=PLACES, rigs=(make.rig(at="P1"),))
    plan = extract(replay(of, script(run(piece(450, position=1)), moves=[move(360, 420)])))
    assert plan.relocations == (make.relocation(start_min=360, end_min=420),)
    assert isinstance(plan.relocations[0], Relocation)


def test_break_out_of_a_zone_that_is_not_planned_is_dropped():
    of = problem(zones=zones(2), crews=(make.crew(), breakers()))
    rows = [broken(360, 420), broken(420, 480, zone=1)]
    plan = extract(replay(of, script(run(piece(600)), breaks=rows)))
    assert plan.break_outs == (make.break_out(start_min=360, end_min=420),)
    assert isinstance(plan.break_outs[0], BreakOut)
