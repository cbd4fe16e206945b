"""Fewest civil days on site."""

from __future__ import annotations

from typing import Any

import pytest

from planner.optimise.bounds.claims import Claims
from planner.optimise.bounds.days import fewest_days, lead_minutes
from planner.optimise.bounds.demand import demand_of
from planner.optimise.bounds.hours import rows_of
from planner.optimise.bounds.packing import Packing
from planner.optimise.bounds.posts import Site
from tests import builders as make
from tests.unit.optimise.scenes import DAY, breakers, problem, rules, zones


def days(minute: int = 14 * DAY, **changes: Any) -> int:
    claims = Claims(problem(**changes))
    packing = Packing(Site(claims.work, minute, crews_count=True), ())
    volume = sum(claims.problem.left_volume[z] for z in claims.possible)
    demand = demand_of(claims.work, packing.kinds, claims.possible, volume)
    lead = lead_minutes(claims.problem, claims.possible)
    return fewest_days(packing, demand, minute, lead)


@pytest.mark.parametrize(("count", "expected"), [(1, 1), (9, 1), (10, 2), (18, 2), (19, 3)])
def test_nine_zones_of_76_min_fit_into_a_day_of_685(count: int, expected: int):
    assert days(zones=zones(count)) == expected


def test_two_rigs_and_crews_halve_the_days():
    rigs = (make.rig("R1"), make.rig("R2"))
    crews = (make.crew("C1"), make.crew("C2"))
    assert days(zones=zones(19), rigs=rigs, crews=crews) == 2


def test_a_layer_that_does_not_fit_into_what_is_left_of_a_day_takes_the_next():
    # 270 min each with the change: two fill 540 of 685
    patches = zones(3, area_m2=None, depth_mm=None, volume_m3=260 / 30)
    assert days(zones=patches) == 2


def test_a_panel_comes_days_before_the_first_spell():
    old = rules(panel_days=3.0, panel_min=30)
    # the panel on the first day, the spell three days later: day 4
    assert days(rules=old) == 4


def test_break_out_and_preparation_lead_the_first_spell():
    crews = (make.crew(), breakers())
    of = problem(crews=crews, rules=rules(prepare_min_h=30.0))
    lead = lead_minutes(of, frozenset({0}))
    assert 30 * 60 + 59 <= lead <= 30 * 60 + 60
    # sprayed on the fourth day at the latest from 17:45 on; 31 h before lie on the third day,
    # 49 h before on the second
    patches = zones(1, ready_from_min=3 * DAY)
    assert days(crews=crews, zones=patches, rules=rules(prepare_min_h=30.0)) == 2
    assert days(crews=crews, zones=patches, rules=rules(prepare_min_h=48.0)) == 3


def test_a_zone_that_is_broken_out_needs_no_lead():
    crews = (make.crew(), breakers())
    of = problem(crews=crews, zones=zones(2)[:1] + zones(2, broken_out=True)[1:])
    assert lead_minutes(of, frozenset({0, 1})) == 0
    assert lead_minutes(of, frozenset({0})) > 0


def test_days_are_counted_without_rows_of_hours():
    claims = Claims(problem(zones=zones(1)))
    site = Site(claims.work, DAY)
    packing = Packing(site, rows_of(claims.work, site.teams))
    demand = demand_of(claims.work, packing.kinds, claims.possible, 1.0)
    with pytest.raises(ValueError, match="rows of hours"):
        fewest_days(packing, demand, DAY, 0)
    assert fewest_days(packing.without_hours(), demand, DAY, 0) == 1
