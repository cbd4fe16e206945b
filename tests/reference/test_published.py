"""Published instances that the planner's model contains as special cases.

Bin packing: OR-Library binpack1 (J. E. Beasley, J. Oper. Res. Soc. 41 (1990) 1069-1072), from
E. Falkenauer, J. Heuristics 2 (1996) 5-30.  Set covering: OR-Library (J. E. Beasley, EJOR 31
(1987) 85-93).  The values are proven.  The instances lie in ../shared/reference/bench; where that
folder is absent, these tests are skipped and say so.
"""

from itertools import pairwise, permutations
from math import ceil, hypot

import numpy as np
import pytest

from planner.checks.check import check_plan
from planner.model.campaign import Campaign
from planner.optimise.engine import Settings, optimise
from planner.plan import measures
from planner.plan.plan import Plan, Proof
from tests.benchmarks import instances

SPELL_MIN = 10


def solve(campaign: Campaign, *, seconds: float, effort: float = 12.0) -> tuple[Plan, Proof]:
    plan, proof = optimise(campaign, settings=Settings(seed=1, seconds=seconds, effort=effort))
    assert check_plan(campaign, plan, None) == []
    assert plan.unplanned == ()
    return plan, proof


@pytest.mark.reference
@pytest.mark.solver
@pytest.mark.usefixtures("shared_reference")
@pytest.mark.parametrize("name", ["u120_00"])
def test_bins_become_days_and_no_more_are_used_than_proven(name: str):
    best = instances.published("bin_packing", name)
    campaign = instances.packing_campaign(instances.read_packing(name), days=best + 10)
    plan, proof = solve(campaign, seconds=50, effort=20.0)
    assert instances.days_used(campaign, plan) == best
    assert proof.bound[campaign.goals[0]] <= measures.value(campaign, plan, campaign.goals[0])
    assert ceil(proof.bound[campaign.goals[0]] / 24) <= best


@pytest.mark.reference
@pytest.mark.solver
@pytest.mark.usefixtures("shared_reference")
@pytest.mark.parametrize("name", ["scp41"])
def test_columns_become_positions_and_cost_what_is_proven(name: str):
    best = instances.published("set_cover", name)
    campaign = instances.covering_campaign(instances.read_covering(name))
    plan, proof = solve(campaign, seconds=50)
    assert measures.cost(campaign, plan) == pytest.approx(best)
    assert proof.bound[campaign.goals[0]] == pytest.approx(best)


@pytest.mark.reference
@pytest.mark.solver
def test_rigs_move_along_the_shortest_open_tour():
    """All orders of seven places are tried, independently of the planner."""
    rng = np.random.default_rng(3)
    places = [(float(x), float(y)) for x, y in rng.integers(0, 600, size=(7, 2))]
    minutes = {
        (a, b): ceil(round(hypot(a[0] - b[0], a[1] - b[1]) / 10.0, 6))
        for a, b in permutations(places, 2)
    }
    tours = (sum(minutes[leg] for leg in pairwise(order)) for order in permutations(places))
    campaign = instances.tour_campaign(places)
    plan, _ = solve(campaign, seconds=50)
    assert measures.finish_min(plan) == SPELL_MIN * len(places) + min(tours)
    assert len(plan.relocations) == len(places) - 1
