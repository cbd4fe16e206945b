"""Small changes to a guide: each leaves a guide that still fits its campaign."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from planner.optimise.guide import Guide
from planner.optimise.problem import Problem
from planner.optimise.variation import Variation
from tests import builders as make
from tests.unit.optimise.scenes import plain, problem, zones

MANY = 300


def scene() -> Problem:
    """Two rigs, three positions that reach everything but the last of which reaches little."""
    places = (make.position("P1"), make.position("P2", y_m=5.0), make.position("P3", x_m=-95.0))
    row = (*zones(5), make.zone("Z6", x_m=4.0))
    return problem(zones=row, positions=places, rigs=(make.rig("R1"), make.rig("R2")))


def varied(guide: Guide, *, places: bool = True, seed: int = 1) -> list[Guide]:
    """Many changes of the same guide."""
    variation = Variation(scene(), np.random.default_rng(seed))
    return [variation.of(guide, places=places) for _ in range(MANY)]


@pytest.fixture(scope="module")
def start() -> Guide:
    """A guide with stays, shares and a zone left out."""
    return replace(plain(scene()), stays=((0, 1), (1,)), share={0: frozenset({(0, 0)})})


def test_the_same_seed_gives_the_same_changes(start):
    assert varied(start, seed=3) == varied(start, seed=3)
    assert varied(start, seed=3) != varied(start, seed=4)


def test_every_change_keeps_a_key_for_each_zone_and_stays_for_each_rig(start):
    for guide in varied(start):
        assert len(guide.keys) == 6
        assert len(guide.stays) == 2


def test_a_rig_is_only_sent_to_positions_from_which_it_reaches_something(start):
    reached = set(scene().reach_sets)
    for guide in varied(start):
        assert all((r, p) in reached for r, row in enumerate(guide.stays) for p in row)


def test_zones_are_only_shared_out_to_those_who_reach_them(start):
    of = scene()
    for guide in varied(start):
        for z, pairs in guide.share.items():
            assert pairs <= {(way.rig, way.position) for way in of.ways[z]}


def test_where_places_may_not_change_stays_and_shares_stay(start):
    for guide in varied(start, places=False):
        assert guide.stays == start.stays
        assert guide.share == start.share


def test_every_kind_of_change_comes_up(start):
    found = varied(start)
    assert any(guide.keys != start.keys for guide in found)
    assert any(guide.weights != start.weights for guide in found)
    assert any(sorted(guide.stays[0]) == [0, 1] and guide.stays[0] == (1, 0) for guide in found)
    assert any(sum(map(len, guide.stays)) > 3 for guide in found)
    assert any(sum(map(len, guide.stays)) < 3 for guide in found)
    assert any(not guide.share for guide in found)
    assert any(len(guide.share) > 1 for guide in found)
    assert any(2 in row for guide in found for row in guide.stays)


def test_zones_left_out_are_tried_again_with_what_they_wait_for():
    row = (make.zone("Z1"), make.zone("Z2", after=("Z1",)), make.zone("Z3"))
    of = problem(zones=row)
    guide = replace(plain(of), banned=frozenset({0, 1}))
    variation = Variation(of, np.random.default_rng(1))
    again = [variation.of(guide, places=False).banned for _ in range(MANY)]
    assert frozenset({0, 1}) in again
    assert frozenset() in again
    assert frozenset({0}) not in again  # the second never comes back without the first


def test_a_campaign_with_nothing_to_move_is_varied_by_preferences():
    of = problem()
    variation = Variation(of, np.random.default_rng(1))
    for _ in range(MANY):
        guide = variation.of(plain(of), places=True)
        assert set(guide.stays[0]) <= {0}
