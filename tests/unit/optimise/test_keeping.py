"""Which rows of an old plan stand on a new problem, and where lost work goes.

A run of one zone lasts 20 + 10 + 66 + 15 = 111 min; the shift is 06:00 (360) to 18:00 (1080).
"""

from typing import Any

from planner.model.limits import ClosureScope
from planner.optimise.board import FOREVER
from planner.optimise.filling import fill_in
from planner.optimise.keeping import Kept, keep
from planner.optimise.old_plan import old_plan
from planner.optimise.problem import Problem
from planner.plan.plan import Plan
from tests import builders as make
from tests.unit.optimise import scenes

BEFORE = Plan(
    spells=(
        make.spell("1", zone="Z1", start_min=390, end_min=456),
        make.spell("1", zone="Z2", start_min=466, end_min=532),
        make.spell("2", zone="Z3", start_min=790, end_min=856),
    ),
    runs=(
        make.run("1", start_min=360, end_min=547),
        make.run("2", start_min=760, end_min=871),
    ),
)


def problem(**changes: Any) -> Problem:
    return scenes.problem(**({"zones": scenes.zones(3)} | changes))


def kept_of(one: Problem, before: Plan = BEFORE, until: int = FOREVER) -> Kept:
    return keep(one, old_plan(one, before), until)


def rows(kept: Kept) -> list[tuple[int, int, list[tuple[int, int]]]]:
    return sorted(
        (run.start, run.end, [(piece.zone, piece.start) for piece in run.pieces])
        for run in kept.runs
    )


def test_all_rows_stand_where_nothing_has_changed():
    assert rows(kept_of(problem())) == [
        (360, 547, [(0, 390), (1, 466)]),
        (760, 871, [(2, 790)]),
    ]


def test_rows_that_begin_at_the_limit_or_later_are_not_kept():
    assert rows(kept_of(problem(), until=760)) == [(360, 547, [(0, 390), (1, 466)])]


def test_of_a_run_only_the_spell_at_fault_goes_and_the_run_is_cut_to_the_rest():
    shut = make.closure(ClosureScope.ZONE, "Z1", from_min=0, to_min=430)
    one = problem(closures=(shut,))
    kept = kept_of(one)
    assert rows(kept) == [(436, 547, [(1, 466)]), (760, 871, [(2, 790)])]
    assert kept.lost == {
        ("Z1", 1, "R1", 390): "Zone Z1 cannot be sprayed then: its window is shut (rules 1 to 3)."
    }


def test_a_shift_cut_short_in_the_middle_of_a_spell_names_the_rule():
    shut = make.closure(ClosureScope.CREW, "C1", from_min=500, to_min=600)
    kept = kept_of(problem(closures=(shut,)))
    assert rows(kept) == [(360, 471, [(0, 390)]), (760, 871, [(2, 790)])]
    assert list(kept.lost.values()) == [
        "Zone Z2, layer 1: its crew is not on shift for all of it (rule 4)."
    ]


def test_lost_work_goes_behind_the_spells_of_a_run_or_into_a_run_of_its_own():
    # Z2 was at 466; the crew is away from 08:20 to 10:00.  From 600 a run of its own ends at
    # 600 + 111 = 711; behind Z3 it would end after 871.
    shut = make.closure(ClosureScope.CREW, "C1", from_min=500, to_min=600)
    one = problem(closures=(shut,))
    kept = kept_of(one)
    fill_in(kept, old_plan(one, BEFORE))
    assert (600, 711, [(1, 630)]) in rows(kept)
    assert kept.stands() is None


def test_spells_that_no_plan_can_hold_are_the_bound_and_others_are_not():
    away = make.closure(ClosureScope.CREW, "C1", from_min=360, to_min=480)
    assert old_plan(problem(closures=(away,)), BEFORE).impossible == {
        ("Z1", 1, "R1", 390),
        ("Z2", 1, "R1", 466),
    }
    two = problem(closures=(away,), crews=(make.crew("C1"), make.crew("C2")))
    found = old_plan(two, BEFORE)
    assert found.impossible == set()
    assert len(found.lost) == 2


def test_a_spell_whose_start_up_would_begin_before_now_cannot_stay():
    # Now is 07:00 (420): a spell can begin at 420 + 20 + 10 = 450 at the earliest.
    found = old_plan(problem(not_before_min=420), BEFORE)
    assert [piece.zone for run in found.runs for piece in run.pieces] == [1, 2]
    late = old_plan(problem(not_before_min=440), BEFORE)
    assert late.impossible == {("Z2", 1, "R1", 466)}
