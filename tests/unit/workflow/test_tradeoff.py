"""Relocations against finish on a scene whose ends are known."""

from dataclasses import replace

import pytest

from planner.model.identifiers import Goal
from planner.model.rules import Prices
from planner.optimise.engine import NoPlanInTimeError, Settings
from planner.plan.plan import Plan
from planner.workflow.demos import demos
from planner.workflow.loading import Loaded, load_scenario
from planner.workflow.planning import PlannerFaultError
from planner.workflow.tradeoff import NO_LIMIT_S, trade_off
from tests import builders as make

pytestmark = pytest.mark.solver
QUICK = Settings(seconds=NO_LIMIT_S, effort=0.1, workers=1)


@pytest.fixture(scope="module")
def loaded() -> Loaded:
    """Everything is in reach of P0, where the rig stands, but two groups of it through long hose.

    Their hose is about 80 m and the rig then loses nearly three quarters of its rate: each group
    has a position of its own, where a zone takes 66 min instead of about 240.
    """
    zones = tuple(
        make.zone(f"{group}{k}", x_m=side * (70.0 + 0.1 * k))
        for group, side in (("E", 1.0), ("W", -1.0))
        for k in range(4)
    )
    campaign = make.campaign(
        zones=zones,
        positions=tuple(
            make.position(name, x_m=x_m)
            for name, x_m in (("P0", 0.0), ("PE", 70.0), ("PW", -70.0))
        ),
        rigs=(make.rig("R1", at="P0", rate_loss_per_100m=0.9),),
        goals=(Goal.COST,),
        may_worsen=(),
        prices=Prices(day=1000.0, relocation=100.0),
    )
    return replace(load_scenario(demos()["silo-rings"]), campaign=campaign)


def test_more_relocations_buy_an_earlier_finish(loaded: Loaded) -> None:
    found = trade_off(loaded, QUICK)
    assert [point.relocations_max for point in found.points] == [0, 1, 2]
    assert [point.best.relocations for point in found.points] == [0, 1, 2]
    assert found.fewest_bound == 0.0
    assert not found.stopped_early
    finishes = [point.best.finish_h for point in found.points]
    assert finishes[0] > finishes[1] > finishes[2]
    for point in found.points:
        assert point.finish_bound_h <= point.best.finish_h
        assert point.cost_bound <= point.best.cost


def test_a_second_search_that_is_stopped_leaves_the_first(loaded: Loaded) -> None:
    asked = []

    def stop() -> bool:
        asked.append(1)
        return len(asked) > 60

    found = trade_off(loaded, replace(QUICK, stop=stop))
    assert found.points
    assert found.stopped_early


def test_a_plan_that_breaks_a_rule_is_never_shown(
    loaded: Loaded, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(
        "planner.workflow.planning.optimise",
        lambda *_, **__: (Plan(), make.proof(planned_m3_bound=0.0)),  # zones without a word
    )
    with pytest.raises(PlannerFaultError):
        trade_off(loaded, QUICK)


def test_without_time_for_one_plan_there_is_no_trade_off(loaded: Loaded) -> None:
    with pytest.raises(NoPlanInTimeError):
        trade_off(loaded, replace(QUICK, seconds=0.0))
