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
from planner.core.progress import Progress
from planner.model.campaign import Campaign
from planner.optimise.engine import Settings, optimise
from planner.plan import measures
from planner.plan.plan import Plan, Proof
from tests.benchmarks import instances

SPELL_MIN = 10
GUARD_S = 240.0

pytestmark = [pytest.mark.reference, pytest.mark.solver, pytest.mark.timeout(300)]


def solve(campaign: Campaign, *, effort: float, wanted: float = -1.0) -> tuple[Plan, Proof]:
    """Plan and check; the search may end once the first goal is as low as wanted.

    The effort is what limits it; the clock is only a guard against a hang.
    """
    heard: list[float] = []

    def listen(report: Progress) -> None:
        if report.best is not None:
            heard.append(report.best)

    plan, proof = optimise(
        campaign,
        settings=Settings(
            seed=1,
            seconds=GUARD_S,
            effort=effort,
            stop=lambda: bool(heard) and min(heard) <= wanted,
        ),
        listener=listen,
    )
    assert check_plan(campaign, plan, None) == []
    assert plan.unplanned == ()
    return plan, proof


@pytest.mark.usefixtures("shared_reference")
@pytest.mark.parametrize("name", ["u120_12", "u120_16"])
def test_bins_become_days_and_no_more_are_used_than_proven(name: str):
    best = instances.published("bin_packing", name)
    campaign = instances.packing_campaign(instances.read_packing(name), days=best + 10)
    plan, proof = solve(campaign, effort=40.0, wanted=24.0 * best)
    assert instances.days_used(campaign, plan) == best
    assert proof.bound[campaign.goals[0]] <= measures.value(campaign, plan, campaign.goals[0])
    assert ceil(proof.bound[campaign.goals[0]] / 24) <= best


@pytest.mark.usefixtures("shared_reference")
@pytest.mark.parametrize("name", ["scp41"])
def test_columns_become_positions_and_cost_what_is_proven(name: str):
    best = instances.published("set_cover", name)
    campaign = instances.covering_campaign(instances.read_covering(name))
    plan, proof = solve(campaign, effort=12.0, wanted=float(best))
    assert measures.cost(campaign, plan) == pytest.approx(best)
    assert proof.bound[campaign.goals[0]] == pytest.approx(best)


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
    plan, _ = solve(campaign, effort=12.0)
    assert measures.finish_min(plan) == SPELL_MIN * len(places) + min(tours)
    assert len(plan.relocations) == len(places) - 1
