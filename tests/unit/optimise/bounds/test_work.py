"""When rigs and crews can spray at all."""

from __future__ import annotations

from typing import Any

from planner.model.identifiers import MixId, Process
from planner.optimise.bounds.work import Work
from tests import builders as make
from tests.unit.optimise.scenes import DAY, problem, rules, zones


def work(**changes: Any) -> Work:
    return Work(problem(**changes))


def test_a_rig_works_between_start_up_and_clean_up():
    (hours,) = work().rig_time
    assert list(hours)[:2] == [(380, 1065), (DAY + 380, DAY + 1065)]


def test_a_mix_is_sprayed_after_the_change_by_the_first_rig_that_can():
    rigs = (make.rig("R1"), make.rig("R2", start_up_min=5))
    spray = work(rigs=rigs).spray_time
    assert next(iter(spray[0])) == (375, 1065)


def test_rigs_that_spray_one_mix_only_count_for_it():
    rigs = (make.rig("R1", mixes=(MixId("dry"),)), make.rig("R2", start_up_min=5))
    mixes = (make.mix("dry"), make.mix("other"))
    spray = work(rigs=rigs, mixes=mixes).spray_time
    assert [next(iter(spray[m]))[0] for m in (0, 1)] == [375, 375]
    alone = work(rigs=rigs[:1], mixes=mixes).spray_time
    assert list(alone) == [0]


def test_crews_without_the_process_work_no_rig():
    crews = (make.crew("C1"), make.crew("C2", processes=(Process.WET,)))
    assert work(crews=crews).crews_of((0,)) == (0,)


def test_the_least_start_up_and_clean_up_of_a_crews_rigs_count():
    rigs = (make.rig("R1"), make.rig("R2", start_up_min=25, clean_up_min=5))
    assert work(rigs=rigs).overhead(0) == (20, 5)


def test_a_crew_begins_after_its_panel():
    assert work().first_spray == [0]
    assert work(rules=rules(panel_days=1.0, panel_min=30)).first_spray == [425 + DAY - 10]


def test_places_that_are_given_leave_the_others_out():
    positions = (make.position("P1"), make.position("P2", x_m=20.0))
    of = problem(zones=zones(1), positions=positions)
    assert sorted(Work(of).tasks[0].minutes) == [(0, 0), (0, 1)]
    assert sorted(Work(of, frozenset({(0, 1)})).tasks[0].minutes) == [(0, 1)]
