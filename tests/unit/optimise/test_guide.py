"""Guides: the plain one, and the ready ones a search starts from."""

from __future__ import annotations

from planner.model.limits import ClosureScope
from planner.optimise.guide import Weights, plain_guide, starts
from tests import builders as make
from tests.unit.optimise.scenes import DAY, problem, zones


def test_the_plain_guide_prefers_nothing():
    guide = plain_guide(3, 2)
    assert guide.keys == (0.0, 0.0, 0.0)
    assert guide.stays == ((), ())
    assert (guide.share, guide.banned, guide.weights) == ({}, frozenset(), Weights())


def test_stays_are_changed_in_a_copy():
    guide = plain_guide(1, 2)
    assert guide.with_stays(((0,), (1,))).stays == ((0,), (1,))
    assert guide.stays == ((), ())


def test_zones_that_are_open_for_less_time_come_first_in_some_guides():
    shut = (make.closure(ClosureScope.ZONE, "Z2", from_min=0, to_min=12 * DAY),)
    guides = starts(problem(zones=zones(2), closures=shut), (((),),), (None, None))
    assert {guide.keys[0] for guide in guides} == {0.0}
    assert min(guide.keys[1] for guide in guides) < -300.0  # open a seventh of the time
    assert any(guide.keys == (0.0, 0.0) for guide in guides)


def test_each_set_of_stays_is_tried_with_and_without_pressure():
    guides = starts(problem(), (((),), ((0,),)), (None,))
    assert {guide.stays for guide in guides} == {((),), ((0,),)}
    assert {guide.weights.priority > 0 for guide in guides} == {True, False}


def test_a_zone_whose_own_chain_ends_last_is_pressed_hardest_in_some_guides():
    guides = starts(problem(zones=zones(2)), (((),),), (100, 200))
    assert (-250.0, -2000.0) in {guide.keys for guide in guides}  # 2000 x (1/2)^3, 2000 x 1
