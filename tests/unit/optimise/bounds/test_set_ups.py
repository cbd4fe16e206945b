"""Fewest relocations and what set-ups cost at least.

Positions stand 150 m apart and a hose reaches 100 m: a zone beside a position is reached from
there only, one half-way from both.
"""

from __future__ import annotations

from itertools import combinations_with_replacement
from typing import Any

import pytest

from planner.model.identifiers import PositionId
from planner.optimise.bounds.claims import Claims
from planner.optimise.bounds.set_ups import SetUps, next_sum
from tests import builders as make
from tests.unit.optimise.scenes import DAY, problem

PLACES = tuple(make.position(f"P{k}", x_m=150.0 * k, set_up_cost=10.0 + k) for k in range(4))
CREWS = (make.crew("C1"), make.crew("C2"))


def beside(*at: float) -> tuple[Any, ...]:
    """Zones beside positions, by number; 0.5 is half-way between the first two."""
    return tuple(make.zone(f"Z{number}", x_m=150.0 * k) for number, k in enumerate(at))


def set_ups(volume_m3: float | None = None, minute: int | None = None, **changes: Any) -> SetUps:
    claims = Claims(problem(**({"positions": PLACES} | changes)))
    volume = claims.problem.left_volume
    whole = sum(volume[z] for z in claims.possible)
    return SetUps(claims.work, claims.possible, whole if volume_m3 is None else volume_m3, minute)


def fewest(**changes: Any) -> int:
    return set_ups(**changes).fewest(60)


def test_a_rig_that_works_from_three_positions_is_relocated_twice():
    assert fewest(zones=beside(0, 1, 2)) == 2
    assert fewest(zones=beside(0, 0, 0)) == 0


def test_a_rig_that_stands_elsewhere_is_relocated_first():
    here = (make.rig(at=PositionId("P3")),)
    assert fewest(zones=beside(0, 1), rigs=here) == 2
    assert fewest(zones=beside(3, 1), rigs=here) == 1


def test_two_rigs_share_the_positions():
    rigs = (make.rig("R1"), make.rig("R2"))
    assert fewest(zones=beside(0, 1, 2), rigs=rigs) == 1
    assert fewest(zones=beside(0, 1), rigs=rigs) == 0


def test_a_zone_that_is_reached_from_elsewhere_needs_no_position_of_its_own():
    assert fewest(zones=beside(0, 0.5)) == 0
    assert fewest(zones=beside(0, 0.5, 1)) == 1


def test_zones_that_may_be_left_out_need_no_position():
    # 2 of 3 zones of 2.2 m³ each
    assert fewest(zones=beside(0, 1, 2), volume_m3=4.4) == 1
    assert fewest(zones=beside(0, 0, 2), volume_m3=4.4) == 0
    assert fewest(zones=beside(0, 1, 2), volume_m3=4.5) == 2


def test_a_finish_that_one_rig_cannot_keep_takes_another_there():
    # 18 zones of 76 min are 1368 min; a rig has 685 a day, so by the end of the first day the
    # second rig has to come over from P3
    rigs = (make.rig("R1", at=PositionId("P0")), make.rig("R2", at=PositionId("P3")))
    work = {"zones": beside(*(18 * [0])), "rigs": rigs, "crews": CREWS}
    assert fewest(**work) == 0
    assert fewest(**work, minute=DAY) == 1


def test_set_ups_are_paid_with_relocations_but_where_the_rig_stands():
    prices = make.prices(relocation=100.0)
    # P0, P1 and P2 cost 10, 11 and 12
    assert set_ups(zones=beside(0, 1, 2), prices=prices).least_cost() == pytest.approx(233.0)
    here = (make.rig(at=PositionId("P0")),)
    found = set_ups(zones=beside(0, 1, 2), prices=prices, rigs=here).least_cost()
    assert found == pytest.approx(223.0)


def test_the_cheaper_position_of_two_is_assumed():
    assert set_ups(zones=beside(0.5)).least_cost() == pytest.approx(10.0)


def test_a_bound_is_raised_to_the_next_sum_of_costs():
    assert next_sum(101.0, [30.0, 50.0]) == pytest.approx(110.0)
    assert next_sum(100.0000001, [30.0, 50.0]) == pytest.approx(100.0)
    assert next_sum(3.2, [1.0, -1.0, 0.0]) == 4.0
    assert next_sum(0.0, []) == 0.0


def test_the_next_sum_is_never_above_a_sum_that_is_not_below_the_bound():
    costs = (10.5, 4.2, 7.0)
    sums = {0.0} | {
        sum(some) for n in (1, 2, 3) for some in combinations_with_replacement(costs, n)
    }
    for bound in (0.3, 4.2, 5.0, 12.6, 20.99):
        reached = min(total for total in sums if total >= bound)
        assert bound - 1e-3 <= next_sum(bound, costs) <= reached + 1e-9
