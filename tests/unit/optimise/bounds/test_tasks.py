"""What is left to be sprayed, with the least time of each way of doing it."""

from __future__ import annotations

import pytest

from planner.optimise.bounds.tasks import by_zone, tasks_at, tasks_of
from tests import builders as make
from tests.unit.optimise.scenes import problem, rules, zones


def test_each_layer_of_each_zone_on_each_mix_is_a_task():
    mixes = (make.mix("dry", layer_max_mm=50.0), make.mix("quick"))
    tasks = tasks_of(problem(zones=zones(2), mixes=mixes))
    assert [(task.zone, task.mix, task.layer) for task in tasks] == [
        (0, 0, 0),
        (0, 0, 1),
        (0, 1, 0),
        (1, 0, 0),
        (1, 0, 1),
        (1, 1, 0),
    ]
    assert by_zone(tasks) == {0: {0: (0, 1), 1: (2,)}, 1: {0: (3, 4), 1: (5,)}}


def test_a_task_takes_change_and_nozzle_time_at_each_place():
    rigs = (make.rig("R1"), make.rig("R2", rate_m3_h=3.0))
    (task,) = tasks_of(problem(rigs=rigs))
    # 2.2 m³ at 2 and at 1.2 m³/h in place, 10 min change
    assert task.minutes == {(0, 0): 66 + 10, (1, 0): 110 + 10}
    assert task.spell == pytest.approx({(0, 0): 66.0, (1, 0): 110.0})
    assert task.piece is None


def test_a_layer_that_may_be_split_has_pieces_and_may_save_a_minute_by_rounding():
    ten = rules(spell_min_min=30, zone_change_min=10)
    patches = zones(1, joint_allowed=True)
    # change x (piece - 1) = 290 is at least 66: nothing is saved
    (task,) = tasks_of(problem(zones=patches, rules=ten))
    assert (task.piece, task.minutes) == (30, {(0, 0): 76})
    quick = rules(spell_min_min=30, zone_change_min=1)
    (task,) = tasks_of(problem(zones=patches, rules=quick))
    assert task.minutes == {(0, 0): 66}  # 29 < 66: one minute less than 66 + 1


def test_a_zone_out_of_reach_has_no_tasks_and_one_that_is_done_has_none_left():
    assert tasks_of(problem(zones=(make.zone(x_m=500.0),))) == ()
    assert tasks_of(problem(done=(make.done(done_m3=2.2),))) == ()


def test_from_some_places_only_zones_with_every_layer_in_reach_are_left():
    positions = (make.position("P1"), make.position("P2", x_m=150.0))
    patches = (make.zone("Z1"), make.zone("Z2", x_m=160.0), make.zone("Z3", x_m=75.0))
    tasks = tasks_of(problem(zones=patches, positions=positions))
    assert [sorted(task.minutes) for task in tasks] == [[(0, 0)], [(0, 1)], [(0, 0), (0, 1)]]
    near = tasks_at(tasks, frozenset({(0, 0)}))
    assert [(task.zone, sorted(task.minutes)) for task in near] == [(0, [(0, 0)]), (2, [(0, 0)])]
