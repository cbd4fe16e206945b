"""Teams of like crews, and the stretches in which they can work on zones."""

from __future__ import annotations

from typing import Any

from planner.model.identifiers import Process
from planner.model.limits import ClosureScope
from planner.optimise.bounds.cells import cells_of, first_spray, hours_in, rigs_of, teams_of
from planner.optimise.bounds.tasks import tasks_of
from tests import builders as make
from tests.unit.optimise.scenes import DAY, breakers, problem, rules, zones


def cells(days: int = 2, **changes: Any) -> list[tuple[int, int, int]]:
    """Cells of the first team with the first rig at the first position, on the first days."""
    of = problem(**changes)
    hours = hours_in(of, teams_of(of)[0], 0, of.room[0, 0])
    found = cells_of([hours], tasks_of(of)).before(days * DAY)
    return list(zip(found.start.tolist(), found.end.tolist(), found.piece.tolist(), strict=True))


def test_crews_with_the_same_hours_and_skills_are_a_team():
    crews = (make.crew("C1"), make.crew("C2", duty_max_min=300), make.crew("C3"), breakers())
    teams = teams_of(problem(crews=crews))
    assert [(team.crews, team.count) for team in teams] == [((0, 2), 2), ((1,), 1)]


def test_a_crew_that_no_rig_suits_is_in_no_team():
    crews = (make.crew("C1", processes=(Process.WET,)), make.crew("C2"))
    of = problem(crews=crews)
    assert [team.crews for team in teams_of(of)] == [(1,)]
    assert rigs_of(of, of.crews[1]) == (0,)


def test_a_cell_is_a_shift_less_start_up_and_clean_up():
    assert cells() == [(380, 1065, 0), (DAY + 380, DAY + 1065, 1)]


def test_a_closure_of_the_rig_parts_a_cell_in_one_piece():
    shut = make.closure(ClosureScope.RIG, "R1", from_min=600, to_min=660)
    assert cells(1, closures=(shut,)) == [(380, 585, 0), (680, 1065, 0)]


def test_a_cell_lies_where_some_task_can_be_worked():
    shut = make.closure(ClosureScope.ZONE, "Z1", from_min=480, to_min=600)
    # open until 07:50 and from 10:10 on: 10 min to get out and in
    assert cells(1, closures=(shut,)) == [(380, 470, 0), (610, 1065, 0)]
    assert cells(1, zones=zones(2), closures=(shut,)) == [(380, 1065, 0)]


def test_no_zone_begins_before_the_panel_is_old_enough():
    of = problem(rules=rules(panel_days=1.0, panel_min=30))
    # panel run 06:00-07:05; the change before the spell may lie in the day after
    assert first_spray(of, 0, 0) == 425 + DAY - 10
    assert first_spray(problem(), 0, 0) == 0
    assert cells(2, rules=rules(panel_days=1.0, panel_min=30)) == [(DAY + 415, DAY + 1065, 1)]
