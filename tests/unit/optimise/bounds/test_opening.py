"""Bounds from breaking out and from limits on zones that are open."""

from __future__ import annotations

from typing import Any

import pytest

from planner.model.identifiers import CrewId, ZoneId
from planner.model.limits import OpenLimit
from planner.optimise.bounds.claims import Claims
from planner.optimise.bounds.opening import (
    finish_after_break_out,
    finish_under_open_limits,
    least_break_out_cost,
)
from tests import builders as make
from tests.unit.optimise.scenes import DAY, breakers, problem, rules, zones

CREWS = (make.crew(), breakers())


def after_break_out(**changes: Any) -> int:
    claims = Claims(problem(**changes))
    return finish_after_break_out(claims.work, claims.possible)


def under_limits(**changes: Any) -> int:
    claims = Claims(problem(**changes))
    return finish_under_open_limits(claims.work, claims.possible)


def broken_out_for(**changes: Any) -> float:
    claims = Claims(problem(**changes))
    return least_break_out_cost(claims.work, claims.possible)


def limit(most: int, *names: str) -> tuple[OpenLimit, ...]:
    return (OpenLimit(group="G", zones=tuple(ZoneId(name) for name in names), open_max=most),)


def test_the_last_zone_is_sprayed_after_all_is_broken_out():
    # 3 x 60 min from 06:00, less what a minute rounds away, then 66 min
    patches = zones(3)
    found = after_break_out(zones=patches, crews=CREWS)
    assert 360 + 180 + 66 - 1 <= found <= 360 + 180 + 66
    later = after_break_out(zones=patches, crews=CREWS, rules=rules(prepare_min_h=3.0))
    assert later == found + 180


def test_what_a_shift_does_not_break_out_is_left_for_the_next():
    found = after_break_out(zones=zones(13), crews=CREWS)  # 13 h, 12 h a day
    assert DAY + 360 + 60 + 66 - 1 <= found <= DAY + 360 + 60 + 66


def test_without_break_out_crews_or_with_zones_broken_out_nothing_is_waited_for():
    assert after_break_out() == 0
    assert after_break_out(zones=zones(2, broken_out=True), crews=CREWS) == 0


def test_zones_of_which_one_may_be_open_follow_each_other():
    only = limit(1, "Z1", "Z2")
    # a zone is open for its spell, 66 min, from the start of planning on
    assert under_limits(zones=zones(2), open_limits=only) == 2 * 66
    assert under_limits(zones=zones(3), open_limits=only) == 2 * 66
    assert under_limits(zones=zones(2), open_limits=limit(2, "Z1", "Z2")) == 66


def test_a_zone_stays_open_for_its_strength_and_its_gaps():
    only = limit(1, "Z1", "Z2")
    hold = rules(strength_hold_h=24.0)
    # open for 66 min and 24 h each; the last hold comes after the finish
    assert under_limits(zones=zones(2), open_limits=only, rules=hold) == 2 * 66 + DAY
    mixes = (make.mix(layer_max_mm=50.0),)
    assert under_limits(zones=zones(2), open_limits=only, mixes=mixes) == 2 * (66 + 720)


def test_zones_that_are_broken_out_already_lift_the_limit_that_they_break():
    only = limit(1, "Z1", "Z2")
    assert under_limits(zones=zones(2, broken_out=True), open_limits=only) == 0


def test_break_out_is_paid_by_the_share_of_the_longest_shift():
    prices = make.prices(crew_shift={CrewId("B1"): 720.0})
    assert broken_out_for(zones=zones(2), crews=CREWS, prices=prices) == pytest.approx(120.0)
    tired = (make.crew(), breakers(duty_max_min=240, rest_min_min=600))
    # a duty of 240 min in place of a shift of 720
    assert broken_out_for(zones=zones(2), crews=tired, prices=prices) == pytest.approx(360.0)


def test_the_cheapest_crew_per_cubic_metre_is_assumed():
    crews = (*CREWS, make.crew("B2", kind=breakers().kind, rate_m3_h=4.4))
    prices = make.prices(crew_shift={CrewId("B1"): 720.0, CrewId("B2"): 1000.0})
    assert broken_out_for(zones=zones(2), crews=crews, prices=prices) == pytest.approx(
        1000.0 * 60.0 / 720.0
    )
