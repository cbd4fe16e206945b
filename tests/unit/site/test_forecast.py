"""The rest of the work by what was measured; sums by hand."""

import math
from datetime import date

import pytest

from planner.plan.plan import Plan
from planner.site.forecast import forecast, learnt, now_of
from planner.site.shrink import GROWTH_PRIOR, RATE_PRIOR
from tests import builders as make
from tests.unit.site.scenes import found, sprayed, stored

DAY = 24 * 60


def campaign(**changes):
    zones = tuple(make.zone(f"Z{k}") for k in (1, 2, 3))
    return make.campaign(**({"zones": zones} | changes))


def plan():
    """Three zones of 2.2 m³ in 66 min each, one a day, in runs of 111 min."""
    days = range(3)
    return Plan(
        runs=tuple(make.run(str(k), start_min=k * DAY + 360, end_min=k * DAY + 471) for k in days),
        spells=tuple(
            make.spell(str(k), zone=f"Z{k + 1}", start_min=k * DAY + 390, end_min=k * DAY + 456)
            for k in days
        ),
    )


def told(*entries, **changes):
    return forecast(campaign(**changes), plan(), stored(*entries))


def test_without_records_only_the_expected_loss_stands_beside_the_plan():
    here = told()
    assert here.now_min == 0
    assert here.left_m3 == pytest.approx(6.6)
    assert here.forecast_m3 == pytest.approx(6.6)
    assert (here.nozzle_min, here.planned_nozzle_min) == pytest.approx((198.0, 198.0))
    assert here.factor == pytest.approx(1 / 0.95)  # 5 % of the time is expected to be lost
    assert here.factor_low < 1.0 < here.factor < here.factor_high


def test_the_finish_is_where_open_hours_reach_the_factor():
    here = told()
    # open and on shift 06:00-18:00 (less 10 min at each end of the one long window) from day 0;
    # the plan uses 12 h on days 0 and 1, then until 07:36 on day 2: 1440 + 96 minutes, at 00:10
    used = 2 * 720 + 96
    more = math.ceil(used * here.factor) - used
    assert here.plan_finish_min == 2 * DAY + 456
    assert here.finish_min == 2 * DAY + 456 + more


def test_slower_placing_makes_the_rest_longer_by_the_shrunk_factor():
    # 1 m³ of Z1 in 60 min: half the planned rate of 2 m³/h
    here = told(sprayed(placed=1.0, stop=600))
    known = learnt(campaign(), stored(sprayed(placed=1.0, stop=600)))
    assert known.rate.raw == pytest.approx(0.5)
    weight = 1 / (RATE_PRIOR.worth + 1)
    assert known.rate.middle == pytest.approx(0.5**weight)
    per_min = math.exp(weight * known.rate.scatter**2 / 2) / known.rate.middle
    assert here.left_m3 == pytest.approx(6.6 - 1.0)
    assert here.nozzle_min == pytest.approx((6.6 - 1.0) * 30 * per_min)
    assert here.now_min == 600


def test_only_zones_that_nobody_saw_grow():
    # Z1 found 120 mm without overbreak: 2.4 m³ against 2.2 surveyed
    here = told(found("Z1", depth=120.0, stop=300))
    growth = (2.4 / 2.2) ** (1 / (GROWTH_PRIOR.worth + 1))
    assert here.left_m3 == pytest.approx(2.4 + 2 * 2.2)
    assert here.forecast_m3 == pytest.approx(2.4 + 2 * 2.2 * growth)


def test_a_finish_beyond_the_campaign_is_no_date():
    short = make.clock(last_day=date(2026, 3, 4))
    slow = [sprayed(start=400 + 10 * k, stop=460 + 10 * k, placed=0.1) for k in range(6)]
    here = told(*slow, clock=short)
    assert here.factor > 3.0
    assert here.finish_min is None
    assert here.finish_high_min is None


def test_a_plan_without_spells_forecasts_nothing_to_do():
    here = forecast(campaign(), Plan(), stored())
    assert (here.plan_finish_min, here.left_m3, here.finish_min) == (None, 0.0, 0)


def test_now_is_the_latest_time_anybody_wrote_down():
    assert now_of(campaign(), stored(sprayed(stop=600), found(stop=700))) == 700
    assert now_of(campaign(), ()) == 0


def test_everything_done_leaves_nothing():
    entries = [sprayed(f"Z{k}", start=k * 100, stop=k * 100 + 66, placed=2.2) for k in (1, 2, 3)]
    assert told(*entries).left_m3 == 0.0
