"""The study against sums that can be done on paper, within its sampling error.

Every limit below is so many standard errors of the mean of ``RUNS`` runs that a sound program
would miss it once in about 15 000 seeds; the seed is fixed.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from planner.core.clock import MINUTES_PER_DAY
from planner.model.mix import MixFace
from planner.plan.plan import Plan, RunKind
from planner.risk.chance import BLOCK_RUNS, wet_days
from planner.risk.inputs import RiskInputs, Rule
from planner.risk.spread import Shape, Three, share_below
from planner.risk.study import Bench
from tests import builders
from tests.unit.risk.scenes import bare_rig, bare_rules, in_a_row, side_by_side, whole_day

RUNS = BLOCK_RUNS
ERRORS = 4.0


def finishes(scene, inputs, *, seed=11):
    """Return the finish of every run, in sequence [min]."""
    campaign, plan = scene
    bench = Bench(campaign, plan, inputs, seed=seed)
    return bench.live(bench.chance.block(0), Rule.SEQUENCE).finish_min


def agrees(found, mean, spread):
    """Assert a mean and a spread, within their sampling errors; times are rounded up."""
    error = spread / np.sqrt(found.size)
    assert abs(found.mean() - mean) < ERRORS * error
    # standard error of a standard deviation of a bell-like sum: spread / sqrt(2 n)
    assert abs(found.std() - spread) < ERRORS * spread / np.sqrt(2.0 * found.size) * 1.2


def test_independent_triangulars_add_up():
    # 8 zones of 600 min, each longer by a triangular factor of 1 to 2 with its mode at 1:
    # mean 1 + 1/3, variance 1/18; rounding up adds half a minute to each
    found = finishes(
        in_a_row([600] * 8), RiskInputs(growth_area=Three(low=1.0, mode=1.0, high=2.0))
    )
    agrees(found, 8 * (600 * (1 + 1 / 3) + 0.5), np.sqrt(8 * 600**2 / 18))


def test_tied_triangulars_spread_as_one():
    # all zones in one section with a correlation of 1: the sum is one triangular, 8 times as wide
    campaign, plan = in_a_row([600] * 8)
    zones = tuple(replace(zone, section="S1") for zone in campaign.zones)
    inputs = RiskInputs(growth_area=Three(low=1.0, mode=1.0, high=2.0), growth_section=1.0)
    found = finishes((replace(campaign, zones=zones), plan), inputs)
    agrees(found, 8 * (600 * (1 + 1 / 3) + 0.5), 8 * 600 / np.sqrt(18))


def test_uniforms_add_up():
    # 4 zones of 600 min, each longer by a uniform factor of 1 to 2: mean 1.5, variance 1/12
    minutes = 600.0 * (1.0 + share_below(np.random.default_rng(8).standard_normal((RUNS, 4))))
    campaign, plan = in_a_row([600] * 4)
    bench = Bench(campaign, plan, RiskInputs(), seed=1)
    draws = replace(bench.chance.block(0), minutes=np.ceil(minutes))
    found = bench.live(draws, Rule.SEQUENCE).finish_min
    agrees(found, 4 * (600 * 1.5 + 0.5), 600 * np.sqrt(4 / 12))


def test_people_who_come_late_begin_late():
    # up to an hour late, most likely on time: mean 20 min, variance 60²/18
    found = finishes(in_a_row([60]), RiskInputs(late_min=Three(low=0.0, mode=0.0, high=60.0)))
    agrees(found - 60.0, 20.0 + 0.5, 60.0 / np.sqrt(18))


def test_pert_activities_have_the_textbook_mean():
    # three activities of 300, 600 and 900 min; least 1, likely 1.5 and greatest 3.5 times that:
    # mean (1 + 4 x 1.5 + 3.5) / 6 = 1.75; beta: variance (mean - low)(high - mean) / 7
    inputs = RiskInputs(growth_area=Three(low=1.0, mode=1.5, high=3.5), shape=Shape.PERT)
    found = finishes(in_a_row([300, 600, 900]), inputs)
    one = (1.75 - 1.0) * (3.5 - 1.75) / 7.0
    spread = np.sqrt(one * (300**2 + 600**2 + 900**2))
    agrees(found, 1800 * 1.75 + 1.5, spread)


def test_the_last_of_rigs_in_parallel_is_an_order_statistic():
    # 3 rigs, 1000 min each, factor triangular from 1 to 2, mode 1: F(x) = 1 - (2 - x)²
    # E[max] = 1 + integral of 1 - F(x)³ over 1..2
    found = finishes(
        side_by_side(3, 1000), RiskInputs(growth_area=Three(low=1.0, mode=1.0, high=2.0))
    )
    x = np.linspace(1.0, 2.0, 100_001)
    above = 1.0 - (1.0 - (2.0 - x) ** 2) ** 3
    mean = 1.0 + float(np.trapezoid(above, x))
    second = 1.0 + float(np.trapezoid(2.0 * x * above, x))
    agrees(found, 1000 * mean + 0.5, 1000 * np.sqrt(second - mean**2))


def test_a_window_a_day_that_holds_or_not_is_a_bernoulli_process():
    # each day is lost with chance 0.4: k days are lost before one holds with chance 0.4^k x 0.6
    campaign, plan = in_a_row([60])
    shift = builders.shift("day", start_tod=360, end_tod=420)
    plan = Plan(
        spells=tuple(replace(row, start_min=360, end_min=420) for row in plan.spells),
        runs=tuple(replace(row, start_min=360, end_min=420) for row in plan.runs),
    )
    scene = (replace(campaign, shifts=(shift,)), plan)
    found = finishes(scene, RiskInputs(weather_lost=(0.4,) * 12))
    lost = np.round((found - 420) / MINUTES_PER_DAY)
    for days in range(4):
        chance = 0.4**days * 0.6
        error = np.sqrt(chance * (1 - chance) / found.size)
        assert abs(np.mean(lost == days) - chance) < ERRORS * error


def test_wet_spells_keep_their_share_and_their_length():
    # a third of the days wet, in spells of 4 days in the mean
    wet = wet_days(np.full(4000, 1 / 3), 4.0, 200, np.random.default_rng(5))
    begins = wet[:, 1:] & ~wet[:, :-1]
    assert wet.mean() == pytest.approx(1 / 3, abs=0.01)
    assert wet[:, 1:].sum() / begins.sum() == pytest.approx(4.0, rel=0.02)


def test_breakdowns_come_once_in_their_mean_time():
    # 6000 min of spraying, a breakdown every 10 h in the mean: 10 of them, Poisson; 90 min each
    inputs = RiskInputs(breakdown_hours=10.0, repair_h=Three(low=1.5, mode=1.5, high=1.5))
    found = finishes(in_a_row([600] * 10), inputs)
    # whole minutes are rounded up to, so that a gap of 600 min is 600.5 min long in the mean
    mean = 6000 / 600.5
    agrees((found - 6000) / 90, mean, np.sqrt(mean))


def test_a_failed_panel_costs_its_waiting_time_once_more():
    # panel on day 1, 2 days of waiting; fails with chance 0.3: 2 days and one of repeating more
    campaign = builders.campaign(
        rigs=(bare_rig(),), shifts=(whole_day(),), rules=bare_rules(panel_days=2.0, panel_min=60),
        zones=(builders.zone(joint_allowed=True),),
    )  # fmt: skip
    (face,) = campaign.mixes
    assert isinstance(face, MixFace)
    start = 60 + 2 * MINUTES_PER_DAY
    plan = Plan(
        spells=(builders.spell("2", start_min=start, end_min=start + 66),),
        runs=(
            builders.run("1", start_min=0, end_min=60, kind=RunKind.PANEL,
                         orientation=face.orientation),
            builders.run("2", start_min=start, end_min=start + 66),
        ),
    )  # fmt: skip
    found = finishes((campaign, plan), RiskInputs(panel_fail=0.3))
    again = (found - start - 66) / (3 * MINUTES_PER_DAY)
    for times in range(3):
        chance = 0.3**times * 0.7
        error = np.sqrt(chance * (1 - chance) / found.size)
        assert abs(np.mean(again == times) - chance) < ERRORS * error


def test_a_deeper_zone_takes_a_layer_more_and_waits_for_it():
    # 100 mm in one layer of 100 mm; twice as deep: two layers of 66 min, 12 h apart
    campaign = builders.campaign()
    plan = Plan(spells=(builders.spell(),), runs=(builders.run(),))
    twice = Three(low=2.0, mode=2.0, high=2.0)
    found = finishes((campaign, plan), RiskInputs(growth_depth=twice))
    # first layer until 07:36; 19:36 is past the shift: next morning 06:00, start-up and change
    assert set(found.tolist()) == {MINUTES_PER_DAY + 6 * 60 + 30 + 66}
