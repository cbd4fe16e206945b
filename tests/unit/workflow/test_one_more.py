"""What one more could bring, against plans that really have it."""

import itertools

import pytest

from planner.explain.one_more import changes
from planner.model.campaign import Campaign
from planner.model.identifiers import Goal
from planner.optimise.engine import Settings, optimise
from planner.plan import measures
from planner.plan.plan import Plan
from planner.workflow.one_more import Limits, one_more
from tests import builders as make

pytestmark = pytest.mark.solver
QUICK = Settings(seconds=30.0, effort=0.1, workers=1)


def limits(until_s: float = 1e9) -> Limits:
    """A clock that goes a second forward whenever it is looked at."""
    ticks = itertools.count()
    return Limits(clock=lambda: float(next(ticks)), until_s=until_s)


@pytest.fixture(scope="module")
def campaign() -> Campaign:
    """Twelve zones of 2.2 m³, 66 min each: for one rig and crew two days and more of work."""
    zones = tuple(make.zone(f"Z{k}", x_m=5.0 * k) for k in range(1, 13))
    return make.campaign(zones=zones, goals=(Goal.FINISH,), may_worsen=())


@pytest.fixture(scope="module")
def plan(campaign: Campaign) -> Plan:
    return optimise(campaign, settings=QUICK)[0]


def test_no_plan_of_a_changed_campaign_beats_its_bound(campaign: Campaign, plan: Plan) -> None:
    found = {gain.code: gain for gain in one_more(campaign, plan, limits())}
    for change in changes(campaign):
        better, _ = optimise(change.campaign, settings=QUICK)
        finish = measures.finish_min(better)
        assert measures.planned_m3(better) == pytest.approx(measures.planned_m3(plan))
        assert finish is not None
        assert finish >= found[change.code].finish_bound_min, change.code


def test_a_rig_alone_brings_nothing_where_the_crew_binds(campaign: Campaign, plan: Plan) -> None:
    found = {gain.code: gain for gain in one_more(campaign, plan, limits())}
    base = found[""].at_most_min
    assert found["rig:R1"].at_most_min == base
    assert found["crew:C1"].at_most_min == base
    assert found["rig:R1+crew:C1"].at_most_min > base + 12 * 60  # a night at least


def test_a_zone_out_of_reach_shows_as_more_volume() -> None:
    zones = (make.zone(), make.zone("Far", x_m=120.0))  # 138 m by the grid, 100 m of hose
    campaign = make.campaign(zones=zones, goals=(Goal.FINISH,), may_worsen=())
    plan, _ = optimise(campaign, settings=QUICK)
    assert len(plan.unplanned) == 1
    more = {gain.code: gain.more_m3 for gain in one_more(campaign, plan, limits())}
    assert more[""] == 0.0
    assert more["hose"] == more["position"] == pytest.approx(2.2)
    assert more["crew:C1"] == 0.0


def test_the_zone_whose_own_layers_bind_is_named() -> None:
    """Z2 has three layers with 12 h between them; Z1 is done long before."""
    zones = (make.zone(), make.zone("Z2", depth_mm=300.0))
    campaign = make.campaign(zones=zones, goals=(Goal.FINISH,), may_worsen=())
    made, _ = optimise(campaign, settings=QUICK)
    assert next(one_more(campaign, made, limits())).rests_on == "Z2"


def test_where_the_amount_of_work_binds_no_zone_is_named(campaign: Campaign, plan: Plan) -> None:
    assert next(one_more(campaign, plan, limits())).rests_on is None


def test_a_bound_that_is_proven_already_is_the_base(campaign: Campaign, plan: Plan) -> None:
    finish = measures.finish_min(plan)
    assert finish is not None
    first = next(one_more(campaign, plan, limits(), proven_h=(finish - 30) / 60))
    assert first.at_most_min == 30


def test_what_the_time_does_not_allow_is_missing(campaign: Campaign, plan: Plan) -> None:
    found = list(one_more(campaign, plan, limits(until_s=0.0)))
    assert [gain.code for gain in found] == [""]
    assert found[0].ended_early


def test_without_a_spell_there_is_nothing_to_bring_forward(campaign: Campaign) -> None:
    with pytest.raises(ValueError, match="nothing is planned"):
        list(one_more(campaign, Plan(), limits()))
