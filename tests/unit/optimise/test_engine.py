"""From a campaign to a plan with its proof: goals in order, repeatable, ended when asked."""

from __future__ import annotations

import os
import subprocess
import sys
from itertools import pairwise
from typing import Any

import pytest

from planner.checks.check import check_plan
from planner.core.progress import Progress
from planner.model.campaign import Campaign
from planner.model.identifiers import Goal
from planner.model.limits import ClosureScope
from planner.optimise.bounds.claims import Claims
from planner.optimise.engine import NoPlanInTimeError, Settings, optimise
from planner.plan.measures import value
from planner.plan.plan import Plan, Proof, Status
from tests import builders as make
from tests.unit.optimise.scenes import DAY, breakers, rules, zones

pytestmark = pytest.mark.solver


def best(scene: Campaign, **settings: Any) -> tuple[Plan, Proof]:
    """The optimiser's plan with little effort, after the auditor found nothing wrong."""
    fields: dict[str, Any] = {"effort": 0.3, "workers": 1}
    plan, proof = optimise(scene, settings=Settings(**(fields | settings)))
    assert check_plan(scene, plan, None) == []
    return plan, proof


def awkward(**changes: Any) -> Campaign:
    """Spells and changes of 100 min a shift; 50, 40, 30, 60, 20 fit into two days."""
    row = tuple(
        make.zone(f"Z{number}", volume_m3=(length - 10) / 30)
        for number, length in enumerate((50, 40, 30, 60, 20), start=1)
    )
    fields: dict[str, Any] = {"zones": row, "shifts": (make.shift(end_tod=495),)}
    return make.campaign(**(fields | changes))


def busy() -> Campaign:
    """Two rigs with three positions and two dozen zones: plenty to choose from."""
    row = tuple(
        make.zone(f"Z{k}", x_m=20.0 * k, area_m2=20.0 + 3.0 * (k % 7), due_min=(k % 5 + 1) * DAY)
        for k in range(24)
    )
    places = tuple(make.position(f"P{k}", x_m=150.0 * k, set_up_cost=10.0) for k in range(4))
    return make.campaign(
        zones=row,
        positions=places,
        rigs=(make.rig("R1"), make.rig("R2")),
        crews=(make.crew("C1"), make.crew("C2")),
        prices=make.prices(day=100.0, relocation=50.0, crew_shift={"C1": 30.0, "C2": 40.0}),
        goals=(Goal.FINISH, Goal.RELOCATIONS, Goal.COST, Goal.LATE),
        may_worsen=(0.05, 0.0, 0.0),
    )


def test_a_plan_that_cannot_be_bettered_is_proven_optimal():
    plan, proof = best(make.campaign())
    assert [(spell.start_min, spell.end_min) for spell in plan.spells] == [(390, 456)]
    assert proof.status is Status.OPTIMAL
    assert proof.bound[Goal.FINISH] == pytest.approx(7.6, abs=1 / 60)
    assert proof.bound[Goal.RELOCATIONS] == 0.0
    assert proof.planned_m3_bound == pytest.approx(2.2)
    assert not proof.stopped_early


def test_a_better_packing_than_the_hand_rules_is_found():
    plan, _ = best(awkward(), effort=2.0)
    assert max(spell.end_min for spell in plan.spells) < 2 * DAY


def test_bounds_are_given_for_every_goal_and_none_is_beaten():
    scene = busy()
    plan, proof = best(scene)
    assert set(proof.bound) == set(scene.goals)
    assert proof.bound[Goal.FINISH] <= value(scene, plan, Goal.FINISH)
    assert sum(spell.volume_m3 for spell in plan.spells) <= proof.planned_m3_bound + 1e-6


def test_pieces_of_a_last_layer_need_no_time_for_trimming_but_the_last_one_does():
    # 264 min in a window from 06:00 to 10:00 and 80 min of trimming: 200 min on the first day
    shut = make.closure(ClosureScope.ZONE, "Z1", to_min=15 * DAY, start_tod=600, end_tod=360)
    scene = make.campaign(
        zones=zones(1, area_m2=80.0, joint_allowed=True),
        closures=(shut,),
        mixes=(make.mix(finish_min_m2=1.0),),
    )
    plan, proof = best(scene)
    # the change begins at 370 after getting in; then 390 to 590; the rest of 64 min the next day
    assert [(spell.start_min, spell.end_min) for spell in plan.spells] == [
        (390, 590),
        (DAY + 390, DAY + 454),
    ]
    assert proof.bound[Goal.FINISH] <= value(scene, plan, Goal.FINISH) + 1e-6


def test_nothing_is_claimed_for_a_goal_whose_bound_a_plan_beats(monkeypatch, caplog):
    monkeypatch.setattr(Claims, "bound", lambda *_: 1e6)
    two = make.campaign(zones=(make.zone("Z1"), make.zone("Z2")))  # no chain proves their finish
    _, proof = best(two, effort=0.05)
    assert proof.status is Status.FEASIBLE
    assert set(proof.bound.values()) == {0.0}
    assert "lies above a valid plan" in caplog.text


def test_a_goal_may_be_worsened_for_the_next_only_as_far_as_allowed():
    # the farther zone from P2 alone; from P2 the nearer one takes four times as long
    row = (make.zone("Z1"), make.zone("Z2", x_m=100.0))
    places = (make.position("P1"), make.position("P2", x_m=90.0))
    rigs = (make.rig(rate_loss_per_100m=0.8, move_min=30.0),)
    common: dict[str, Any] = {
        "zones": row,
        "positions": places,
        "rigs": rigs,
        "goals": (Goal.FINISH, Goal.RELOCATIONS),
    }
    strict = make.campaign(**common, may_worsen=(0.0,))
    loose = make.campaign(**common, may_worsen=(0.5,))
    fast, _ = best(strict, effort=3.0)
    calm, _ = best(loose, effort=3.0)
    assert (len(fast.relocations), len(calm.relocations)) == (1, 0)
    most = value(strict, fast, Goal.FINISH) * 1.5
    assert value(strict, fast, Goal.FINISH) < value(loose, calm, Goal.FINISH) <= most


def test_zones_left_out_are_named_with_a_reason_and_complete_ones_are_not():
    row = (make.zone("Z1"), make.zone("Z2", x_m=900.0), make.zone("Z3"))
    plan, proof = best(make.campaign(zones=row, done=(make.done("Z3", done_m3=2.2),)))
    assert [one.zone for one in plan.unplanned] == ["Z2"]
    assert plan.unplanned[0].reason.startswith("No position reaches it")
    assert proof.planned_m3_bound == pytest.approx(2.2)


def test_nothing_to_do_is_an_empty_plan():
    plan, proof = best(make.campaign(done=(make.done(done_m3=2.2),)))
    assert plan == Plan()
    assert proof.planned_m3_bound == 0.0


def test_the_volume_of_the_first_priority_comes_before_that_of_the_second():
    # three days of one zone each; the two of priority 1 go first
    row = (
        make.zone("Z1", area_m2=200.0, priority=2),
        make.zone("Z2", area_m2=200.0, priority=2),
        make.zone("Z3", area_m2=200.0, priority=1),
        make.zone("Z4", area_m2=200.0, priority=1),
    )
    short = make.campaign(zones=row, closures=(make.closure(from_min=3 * DAY, to_min=14 * DAY),))
    plan, _ = best(short, effort=1.0)
    planned = {spell.zone for spell in plan.spells}
    assert {"Z3", "Z4"} < planned
    assert len(planned) == 3


# -- the same again ---------------------------------------------------------------------------


@pytest.mark.parametrize("workers", [1, 2])
def test_the_same_seed_and_workers_give_the_same_plan_and_proof(workers):
    one, other = (best(busy(), workers=workers, seed=7, effort=0.15) for _ in range(2))
    assert one[0] == other[0]
    assert one[1].bound == other[1].bound
    assert one[1].status == other[1].status
    assert not one[1].stopped_early


def test_the_plan_does_not_hang_on_the_order_of_hashes(repository):
    telling = (
        "from tests.unit.optimise.test_engine import best, busy\n"
        "plan, proof = best(busy(), effort=0.05, workers=2)\n"
        "print(plan, sorted(proof.bound.items()))\n"
    )
    told = subprocess.run(
        [sys.executable, "-c", telling],
        cwd=repository,
        env={**os.environ, "PYTHONPATH": ".", "PYTHONHASHSEED": "1"},
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    plan, proof = best(busy(), effort=0.05, workers=2)  # this process has hashes of its own
    assert plan.spells
    assert told == f"{plan} {sorted(proof.bound.items())}\n"


def test_the_proof_says_how_the_plan_was_found():
    _, proof = best(make.campaign(), seed=11, workers=2)
    assert (proof.seed, proof.workers) == (11, 2)
    assert proof.seconds >= 0.0


# -- stopping ----------------------------------------------------------------------------------


class Stop:
    """Says stop from the given time it is asked."""

    def __init__(self, after: int) -> None:
        self.after = after
        self.asked = 0

    def __call__(self) -> bool:
        self.asked += 1
        return self.asked > self.after


def test_a_stop_before_the_first_plan_leaves_none():
    with pytest.raises(NoPlanInTimeError):
        optimise(make.campaign(), settings=Settings(stop=lambda: True))


def test_no_time_at_all_leaves_no_plan():
    with pytest.raises(NoPlanInTimeError):
        optimise(make.campaign(), settings=Settings(seconds=0.0))


@pytest.mark.parametrize("after", [1, 2, 5, 20])
def test_a_stop_at_any_later_time_leaves_a_valid_plan(after):
    stop = Stop(after)
    plan, proof = best(busy(), stop=stop, effort=1e9)
    assert stop.asked > after
    assert plan.spells
    assert proof.stopped_early
    assert set(proof.bound) == set(busy().goals)


def test_a_clock_that_runs_out_leaves_a_valid_plan():
    ticks = iter(range(10_000_000))
    plan, proof = best(busy(), clock=lambda: float(next(ticks)), seconds=60.0, effort=1e9)
    assert plan.spells
    assert proof.stopped_early


def test_effort_ends_a_search_without_stopping_it_early():
    _, proof = best(busy(), effort=0.05, seconds=1e6)
    assert not proof.stopped_early


# -- progress ----------------------------------------------------------------------------------


def test_a_listener_hears_the_stages_and_each_goal_with_best_and_bound():
    heard: list[Progress] = []
    scene = busy()
    plan, proof = optimise(scene, settings=Settings(effort=0.3, workers=1), listener=heard.append)
    assert [report.stage for report in heard[:2]] == [
        "windows and reach",
        "first plan by the hand rule",
    ]
    goals = list(dict.fromkeys(report.goal for report in heard if report.goal))
    assert goals == [goal.value for goal in scene.goals]
    finish = [report.best for report in heard if report.goal == "finish"]
    told = [best for best in finish if best is not None]
    assert all(other <= one for one, other in pairwise(told))
    assert all(one.elapsed_s <= other.elapsed_s for one, other in pairwise(heard))
    assert proof.bound[Goal.FINISH] <= told[-1]
    assert plan.spells


def test_break_out_is_planned_with_the_rest():
    scene = make.campaign(
        zones=zones(4),
        crews=(make.crew(), breakers()),
        rules=rules(prepare_min_h=2.0, max_open_days=1.5),
    )
    plan, _ = best(scene)
    assert {row.zone for row in plan.break_outs} == {"Z1", "Z2", "Z3", "Z4"}
    assert plan.unplanned == ()
