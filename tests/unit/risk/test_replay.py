"""The vectorised site against the plan itself, and against one told in plain Python."""

from dataclasses import replace

import numpy as np
import pytest

from planner.access.level import source_for
from planner.access.residual import PROBABILITIES, Residual
from planner.model.identifiers import Process, ZoneId
from planner.plan.measures import cost, finish_min
from planner.plan.plan import Plan
from planner.risk.inputs import RiskInputs, Rule, usual
from planner.risk.programme import programme
from planner.risk.site import Ground, Site
from planner.risk.study import Bench
from tests import builders
from tests.unit.risk.plain_replay import PlainSite
from tests.unit.risk.scenes import planned, tidal

RUNS = 12
PRICES = builders.prices(
    day=1000.0, relocation=70.0, rebound_m3=5.0, rig_day={"R1": 300.0}, crew_shift={"C1": 900.0},
    crew_standby_day={"C1": 90.0}, material_m3={"dry": 400.0}, line_waste_m3={"dry": 0.1},
    load_min_m3={"dry": 1.0}, load_step_m3={"dry": 0.25}, hose_m3={"dry": 3.0},
)  # fmt: skip


def gauge():
    """A residual of a decimetre or three that lasts about a day."""
    quantiles = tuple(
        float(v) for v in np.interp(PROBABILITIES, (0.0, 0.5, 1.0), (-0.4, 0.0, 0.6))
    )
    return Residual(
        hours=9000, mean_m=0.0, spread_m=0.2, quantiles_m=(quantiles, quantiles),
        short_h=3.0, long_h=24.0, short_share=0.3, persistence=(0.9,) * 8,
    )  # fmt: skip


def two_rigs():
    """A dry and a wet rig, a crew each; the zones of the wet one wait for one of the dry one."""
    zones = tuple(
        replace(zone, after=(ZoneId("Z0"),), mixes=("wet",))
        if zone.section == "S1"
        else replace(zone, mixes=("dry",))
        for zone in tidal().zones
    )
    wet = Process.WET
    return tidal(
        zones=zones,
        rigs=(builders.rig("R1", hose_max_m=35.0, idle_max_min=60),
              builders.rig("R2", hose_max_m=35.0, idle_max_min=60, process=wet)),
        crews=(builders.crew("C1", processes=(Process.DRY,)),
               builders.crew("C2", processes=(wet,))),
        mixes=(builders.mix(protect_h=3.0), builders.mix("wet", process=wet, protect_h=3.0)),
    )  # fmt: skip


@pytest.mark.solver
@pytest.mark.parametrize("rule", list(Rule))
@pytest.mark.parametrize("scene", [tidal, two_rigs], ids=["one rig", "two rigs"])
def test_without_chance_the_plan_comes_true_to_the_minute_and_the_penny(scene, rule):
    campaign = replace(scene(), prices=PRICES)
    plan = planned(campaign)
    bench = Bench(campaign, plan, RiskInputs(), seed=1)
    lives = bench.live(bench.chance.block(0).first(3), rule)
    assert lives.finish_min.tolist() == [finish_min(plan)] * 3
    assert lives.cost == pytest.approx([cost(campaign, plan)] * 3)


def _both(campaign, inputs, *, seed):
    """Return the finishes of the vectorised site and of the plain one."""
    plan = planned(campaign)
    bench = Bench(campaign, plan, inputs, seed=seed)
    draws = bench.chance.block(0).first(RUNS)
    site = Site(bench.ground, draws, Rule.SEQUENCE)
    site.live()
    level = source_for(bench.calendar.campaign, None)
    found = []
    for run in range(RUNS):
        plain = PlainSite(
            bench.programme, bench.calendar.campaign, draws, run,
            overtime_min=inputs.overtime_min, level=_level(level, draws, run),
        )  # fmt: skip
        found.append(plain.finish())
    return site.state.end.max(axis=1).tolist(), found


def _level(source, draws, run):
    if draws.residual_m is None:
        return None
    hours = np.arange(draws.residual_m.shape[1]) * 60.0

    def level(minute):
        """Straight between ten minutes, as the site reads its tide board."""
        low = minute // 10 * 10
        at = np.array([low, low + 10.0])
        values = source.level_m(at) + np.interp(at, hours, draws.residual_m[run])
        return float(np.interp(minute, at, values))

    return level


@pytest.mark.solver
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_the_same_draws_give_the_same_finish_as_the_plain_site(seed):
    vectorised, plain = _both(tidal(), usual(), seed=seed)
    assert vectorised == plain
    assert len(set(plain)) > RUNS // 2  # chance did something


@pytest.mark.solver
def test_the_same_holds_for_two_rigs_of_which_one_waits_for_the_other():
    vectorised, plain = _both(two_rigs(), usual(), seed=4)
    assert vectorised == plain


@pytest.mark.solver
def test_the_same_holds_with_surge_and_wet_days():
    inputs = replace(usual(), residual=gauge(), weather_lost=(0.25,) * 12, weather_spell_days=2.0)
    vectorised, plain = _both(tidal(), inputs, seed=5)
    assert vectorised == plain


@pytest.mark.solver
def test_the_result_is_the_same_whatever_the_number_of_workers(monkeypatch):
    from planner.risk import chance, study

    monkeypatch.setattr(chance, "BLOCK_RUNS", 40)
    monkeypatch.setattr(study, "BLOCK_RUNS", 40)
    campaign, plan = tidal(), planned(tidal())
    one, three = (
        study.study(campaign, plan, usual(), study.Settings(runs=100, workers=n)) for n in (1, 3)
    )
    assert one.lives.finish_min.tolist() == three.lives.finish_min.tolist()
    assert one.lives.cost.tolist() == three.lives.cost.tolist()
    few = study.study(campaign, plan, usual(), study.Settings(runs=30, workers=2))
    assert few.lives.finish_min.tolist() == one.lives.finish_min[:30].tolist()


@pytest.mark.solver
def test_no_rig_waits_for_ever():
    for rule in Rule:
        bench = Bench(two_rigs(), planned(two_rigs()), usual(), seed=7)
        lives = bench.live(bench.chance.block(0).first(200), rule)
        assert np.isfinite(lives.finish_min).all()


def test_another_crew_takes_over_only_when_the_planned_shift_is_over():
    campaign = builders.campaign(
        crews=(builders.crew("C1"), builders.crew("C2", shift_id="late")),
        shifts=(builders.shift(), builders.shift("late", start_tod=18 * 60, end_tod=6 * 60)),
    )
    plan = Plan(spells=(builders.spell(),), runs=(builders.run(),))
    ground = Ground.of(programme(campaign, plan))
    assert ground.calendar.takeover_min.tolist() == [18 * 60.0]
