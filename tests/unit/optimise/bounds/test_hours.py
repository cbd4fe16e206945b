"""Hours of rigs and crews as a rising curve: shifts, duties and weeks."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest

from planner.core.spans import Spans
from planner.model.limits import ClosureScope
from planner.optimise.bounds.cells import teams_of
from planner.optimise.bounds.hours import Block, Curve, rig_curve, rig_sets, rows_of
from planner.optimise.bounds.work import Work, count_steps
from tests import builders as make
from tests.unit.optimise.scenes import DAY, problem

FREE = 720 - 35
"""Minutes of a shift less start-up and clean-up [min]."""


def curve(**changes: Any) -> Curve:
    work = Work(problem(**changes))
    return rig_curve(work, tuple(range(len(work.problem.rigs))), Spans([(0, 14 * DAY)]))


def test_a_curve_rises_with_what_can_work_at_once():
    steps = Curve([(10, 20, 1), (20, 30, 2)])
    assert [steps.before(m) for m in (0, 10, 15, 20, 25, 30, 99)] == [0, 0, 5, 10, 20, 30, 30]


def test_a_block_holds_no_more_than_its_most():
    steps = Curve([(0, 100, 1), (200, 300, 1)], [Block(0, 100, 60, 0), Block(200, 300, 60, 0)])
    assert [steps.before(m) for m in (30, 100, 230, 400)] == [30, 60, 90, 120]


def test_a_week_holds_no_more_than_its_most():
    blocks = [Block(0, 100, 100, 0), Block(200, 300, 100, 0), Block(400, 500, 100, 1)]
    steps = Curve([(0, 100, 1), (200, 300, 1), (400, 500, 1)], blocks, {0: 150})
    assert [steps.before(m) for m in (100, 250, 300, 450, 500)] == [100, 150, 150, 200, 250]


def test_a_shift_is_worth_its_minutes_less_start_up_and_clean_up():
    hours = curve()
    assert [hours.before(m) for m in (380, 400, 1080, DAY + 400)] == [0, 20, FREE, FREE + 20]


def test_two_rigs_with_one_crew_work_one_at_a_time():
    rigs = (make.rig("R1"), make.rig("R2"))
    assert curve(rigs=rigs).before(DAY) == FREE
    assert curve(rigs=rigs, crews=(make.crew("C1"), make.crew("C2"))).before(DAY) == 2 * FREE


def test_a_rig_that_is_away_does_not_work():
    away = make.closure(ClosureScope.RIG, "R1", from_min=0, to_min=DAY)
    assert curve(closures=(away,)).before(DAY + 1080) == FREE


def test_a_duty_ends_a_shift_early():
    crews = (make.crew(duty_max_min=300, rest_min_min=660),)
    # of 720 min: one duty of 300, or what a rest of 660 leaves; less start-up and clean-up
    assert curve(crews=crews).before(DAY) == 300 - 35
    rested = (make.crew(duty_max_min=300, rest_min_min=60),)
    assert curve(crews=rested).before(DAY) == 660 - 35


def test_a_week_pays_start_up_and_clean_up_of_every_run():
    crews = (make.crew(week_max_min=1500),)
    # 2 shifts of 685 need 1370 + 70 = 1440; 3 shifts 1500 - 105 = 1395, more shifts less
    assert curve(crews=crews).before(7 * DAY) == 1395
    assert curve(crews=crews).before(14 * DAY) == 2 * 1395


def test_rows_are_written_for_teams_rigs_processes_and_all():
    rigs = (make.rig("R1"), make.rig("R2"))
    of = problem(rigs=rigs)
    assert rig_sets(of) == [(0,), (1,), (0, 1)]
    rows = rows_of(Work(of), teams_of(of))
    assert [sorted(row.rigs) for row in rows] == [[0, 1], [0], [1], [0, 1]]


@pytest.mark.parametrize("limits", [{}, {"duty_max_min": 300, "rest_min_min": 600}])
def test_a_curve_never_falls_nor_rises_faster_than_the_rigs(limits: dict[str, int]):
    rigs = (make.rig("R1"), make.rig("R2", start_up_min=40))
    crews = tuple(make.crew(name, week_max_min=2000, **limits) for name in ("C1", "C2"))
    hours = curve(rigs=rigs, crews=crews)
    values = [hours.before(m) for m in range(0, 14 * DAY, 30)]
    rises = [b - a for a, b in pairwise(values)]
    assert min(rises) >= 0
    assert max(rises) <= 60


def test_minutes_are_counted_by_how_many_sets_hold_them():
    steps = count_steps([Spans([(0, 10), (20, 30)]), Spans([(5, 25)])])
    assert steps == [(0, 5, 1), (5, 10, 2), (10, 20, 1), (20, 25, 2), (25, 30, 1)]
