"""Rule 16 on random campaigns: what is shared is never used by more than there are."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from planner.checks import figures
from planner.checks.case import Case
from planner.checks.check import check_plan
from planner.model.campaign import Campaign
from planner.plan import measures
from tests.properties.campaigns import GRID_MIN, drawn, drawn_on_grid
from tests.properties.luck import Luck
from tests.properties.sharing import with_resources, without_needs
from tests.properties.test_optimiser import Note, check_bounds, check_validity, look, plan_of


def free_minutes(pick: Callable[[int, int], int]) -> Campaign:
    campaign = drawn(pick)
    return with_resources(Luck(pick, 1), campaign)


def on_grid_without_prices(pick: Callable[[int, int], int]) -> Campaign:
    campaign = with_resources(Luck(pick, GRID_MIN), drawn_on_grid(pick))
    free = tuple(replace(one, price_day=0.0) for one in campaign.resources)
    return replace(campaign, resources=free)


def check_sharing(campaign: Campaign, note: Note) -> None:
    check_validity(campaign, note)
    plan, _, _ = plan_of(campaign)
    mine = measures.cost_lines(campaign, plan)
    again = figures.cost_lines(Case(campaign, plan))
    assert mine == pytest.approx(again, abs=1e-5)
    free, _, _ = plan_of(without_needs(campaign))
    broken = {violation.rule for violation in check_plan(campaign, free, None)}
    assert broken <= {"16"}
    note(f"binds: {'16' in broken}")
    note(f"costs: {mine['resource'] > 0.0}")


@pytest.mark.solver
def test_plans_of_some_seeds_keep_what_is_shared_within_its_number():
    seen = look(check_sharing, free_minutes, range(40))
    assert seen["binds: True"] >= 10
    assert seen["costs: True"] >= 10
    assert seen["zones planned: all"] >= 4


@pytest.mark.slow
@pytest.mark.timeout(0)
def test_plans_of_many_seeds_keep_what_is_shared_within_its_number():
    seen = look(check_sharing, free_minutes, range(1000, 1200))
    assert seen["binds: True"] >= 60


@pytest.mark.solver
def test_bounds_and_plans_of_some_seeds_agree_with_the_exact_method():
    seen = look(check_bounds, on_grid_without_prices, range(80))
    assert seen["exact: True"] >= 10
    assert seen["something planned"] >= 8
    assert seen["volume reached: True"] >= 8


@pytest.mark.slow
@pytest.mark.timeout(0)
def test_bounds_and_plans_of_many_seeds_agree_with_the_exact_method():
    seen = look(check_bounds, on_grid_without_prices, range(1000, 1200))
    assert seen["exact: True"] >= 40
