"""The demo of every rule at once: its first plan holds every zone and breaks none of the rules."""

from __future__ import annotations

import pytest

from planner.access.windows import Access
from planner.checks.check import check_plan
from planner.model.campaign import Campaign
from planner.model.limits import ApartKind
from planner.optimise.hand_rule import hand_rule
from planner.optimise.problem import build_problem
from planner.optimise.score import Scored
from planner.options.build import Options
from planner.plan.plan import Plan, RunKind
from planner.reach.hoses import Reach
from planner.workflow.demos import demos
from planner.workflow.loading import load_scenario
from tests.properties.sharing import without_needs

pytestmark = pytest.mark.solver


def first_plan(campaign: Campaign) -> Plan:
    options = Options(campaign=campaign, access=Access(campaign), reach=Reach(campaign))
    board, _ = hand_rule(build_problem(options))
    return Scored(board).plan


@pytest.fixture(scope="module")
def jetty() -> Campaign:
    return load_scenario(demos()["jetty-piles"]).campaign


@pytest.fixture(scope="module")
def plan(jetty: Campaign) -> Plan:
    return first_plan(jetty)


def test_every_zone_is_planned_and_no_rule_is_broken(jetty: Campaign, plan: Plan):
    assert {row.zone for row in plan.spells} == {zone.zone_id for zone in jetty.zones}
    assert check_plan(jetty, plan, None) == []


def test_every_kind_of_rule_has_something_to_hold(jetty: Campaign, plan: Plan):
    assert any(zone.water_min_m is not None for zone in jetty.zones)
    assert {pair.kind for pair in jetty.apart} == set(ApartKind)
    assert jetty.open_limits
    assert any(run.kind is RunKind.PANEL for run in plan.runs)
    assert plan.break_outs
    assert plan.relocations
    assert max(spell.layer for spell in plan.spells) >= 4
    assert all(crew.duty_max_min for crew in jetty.crews)


def test_without_what_is_shared_the_plan_would_need_more_of_it(jetty: Campaign):
    free = first_plan(without_needs(jetty))
    broken = {violation.rule for violation in check_plan(jetty, free, None)}
    assert "16" in broken
