"""Where to set up: the cheapest positions that reach everything."""

from __future__ import annotations

import pytest

from planner.model.identifiers import Goal
from planner.optimise.location import located
from planner.optimise.problem import Problem
from planner.optimise.watch import Settings, Watch
from tests import builders as make
from tests.unit.optimise.scenes import decoded, plain, problem

pytestmark = pytest.mark.solver


def stays(of: Problem, goal: Goal = Goal.RELOCATIONS) -> list[list[str]]:
    """The positions of each rig, by name."""
    guide = located(of, plain(of), goal, Watch(Settings()))
    assert guide is not None
    names = [place.position_id for place in of.campaign.positions]
    return [[names[p] for p in row] for row in guide.stays]


def quay(**changes: object) -> Problem:
    """Zones at 0, 150 and 300 m; a hose of 100 m; P2 and P4 reach two of them each."""
    fields: dict[str, object] = {
        "zones": tuple(make.zone(f"Z{k}", x_m=150.0 * k) for k in range(3)),
        "positions": tuple(
            make.position(f"P{k}", x_m=75.0 * k, set_up_cost=cost)
            for k, cost in ((0, 1.0), (1, 50.0), (2, 1.0), (4, 1.0))
        ),
    }
    return problem(**(fields | changes))


def test_the_fewest_positions_that_reach_every_zone_are_chosen():
    (row,) = stays(quay())
    assert len(row) == 2
    assert row[0] == "P1"  # two zones at once; then either of P2's neighbours


def test_where_money_counts_the_cheapest_are_chosen():
    (row,) = stays(quay(), Goal.COST)
    assert sorted(row) == ["P0", "P2", "P4"]  # 3 instead of 51


def test_a_relocation_has_its_price_as_well():
    (row,) = stays(quay(prices=make.prices(relocation=100.0)), Goal.COST)
    assert len(row) == 2


def test_a_rig_keeps_to_where_it_stands_where_that_serves():
    of = quay(rigs=(make.rig(at="P0"),))
    (row,) = stays(of)
    assert row[0] == "P0"


def test_positions_are_visited_in_order_of_nearness():
    rigs = (make.rig(at="P4", move_min_per_100m=10.0),)
    (row,) = stays(quay(rigs=rigs), Goal.COST)
    assert row == ["P4", "P2", "P0"]


def test_work_is_spread_over_the_rigs_that_can_do_it():
    two = quay(rigs=(make.rig("R1"), make.rig("R2")))
    assert sorted(len(row) for row in stays(two)) == [1, 1]


def test_what_it_says_leads_to_a_valid_plan():
    of = quay()
    guide = located(of, plain(of), Goal.RELOCATIONS, Watch(Settings()))
    board, plan = decoded(of, guide)
    assert all(board.is_done(z) for z in range(3))
    assert len(plan.relocations) == 1


def test_zones_that_nothing_reaches_are_not_asked_for():
    of = quay(zones=(make.zone("Z1"), make.zone("Z2", x_m=900.0)))
    (row,) = stays(of)
    assert len(row) == 1


def test_without_any_zone_to_reach_there_is_nothing_to_say():
    of = problem(zones=(make.zone("Z1", x_m=900.0),))
    assert located(of, plain(of), Goal.RELOCATIONS, Watch(Settings())) is None
