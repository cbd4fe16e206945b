"""What has to be done: all zones, or the cheapest that hold a volume."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from planner.model.identifiers import MixId
from planner.optimise.bounds.demand import Demand, demand_of, least_load
from planner.optimise.bounds.kinds import kinds_of
from planner.optimise.bounds.posts import Site
from planner.optimise.bounds.work import Work
from tests import builders as make
from tests.unit.optimise.scenes import problem, zones


def test_the_load_of_all_zones_is_their_sum():
    assert least_load([(5, 1.0), (7, 2.0)], 3.0) == 12


def test_the_dearest_per_cubic_metre_is_left_out_first_and_in_part():
    loads = [(10_000, 1.0), (12_000, 2.0)]  # 10 and 6 thousand a cubic metre
    for volume, load in ((2.5, 17_000), (2.0, 12_000), (0.5, 3_000), (0.0, 0)):
        found = least_load(loads, volume)
        assert load - 1 <= found <= load  # a load in part is rounded down


def test_no_choice_of_zones_that_holds_the_volume_loads_less():
    loads = [(7, 1.0), (9, 2.5), (4, 0.5), (20, 3.0)]
    for n in range(len(loads) + 1):
        for chosen in combinations(loads, n):
            volume = sum(part for _, part in chosen)
            assert least_load(loads, volume) <= sum(load for load, _ in chosen)


def test_of_two_ways_the_one_worth_less_is_needed():
    demand = Demand(((((0,), 0.0), ((1, 1), 0.0)), (((1,), 0.0),)), (1.0, 1.0), 2.0)
    assert demand.is_whole
    # the first zone 5, or twice 2; the second 2
    assert demand.needed(np.array([5, 2])) == 4 + 2
    assert demand.needed(np.array([3, 2])) == 3 + 2


def test_of_a_part_of_the_volume_the_cheapest_zones_are_needed():
    demand = Demand(((((0,), 0.0),), (((1,), 0.0),)), (1.0, 3.0), 3.0)
    assert not demand.is_whole
    assert 8_999 <= demand.needed(np.array([8_000, 9_000])) <= 9_000


def test_zones_that_are_alike_are_one_class_and_only_those_asked_for_count():
    work = Work(problem(zones=(*zones(2), make.zone("Z3", area_m2=40.0))))
    kinds = kinds_of(Site(work, work.problem.end))
    demand = demand_of(work, kinds, frozenset({0, 1, 2}), 1.0)
    assert [len(members) for members in demand.classes.values()] == [2, 1]
    assert demand.volumes == pytest.approx((2.2, 2.2, 4.4))
    assert demand_of(work, kinds, frozenset({2}), 1.0).volumes == pytest.approx((4.4,))


def test_each_mix_is_a_way_with_its_cost():
    work = Work(problem(mixes=(make.mix(), make.mix("quick", rebound=0.0))))
    kinds = kinds_of(Site(work, work.problem.end))
    demand = demand_of(work, kinds, frozenset({0}), 2.2, lambda _, m: 10.0 + m)
    assert sorted(cost for _, cost in demand.zones[0]) == [10.0, 11.0]
    dry = problem(zones=zones(1, mixes=(MixId("dry"),)))
    assert len(demand_of(Work(dry), kinds, frozenset({0}), 2.2).zones[0]) == 1
