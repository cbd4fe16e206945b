"""Fewest runs by night and fewest joints."""

from __future__ import annotations

from typing import Any

import pytest

from planner.model.identifiers import ShiftId
from planner.model.limits import ClosureScope
from planner.optimise.bounds.claims import Claims
from planner.optimise.bounds.counts import fewest_joints, fewest_night_runs, nights
from planner.optimise.bounds.demand import demand_of
from planner.optimise.bounds.packing import Packing
from planner.optimise.bounds.posts import Site
from tests import builders as make
from tests.unit.optimise.scenes import DAY, problem, zones

LATE = (make.shift(start_tod=18 * 60, end_tod=24 * 60 - 60),)
"""18:00 to 23:00: 5 h, of which 4 by day."""


def night_runs(minute: int = 14 * DAY, **changes: Any) -> int:
    claims = Claims(problem(**changes))
    packing = Packing(Site(claims.work, minute), ())
    volume = sum(claims.problem.left_volume[z] for z in claims.possible)
    demand = demand_of(claims.work, packing.kinds, claims.possible, volume)
    return fewest_night_runs(packing, demand, minute)


def joints(minute: int = 14 * DAY, share: float = 1.0, **changes: Any) -> int:
    claims = Claims(problem(**changes))
    volume = share * sum(claims.problem.left_volume[z] for z in claims.possible)
    site = Site(claims.work, minute)
    return fewest_joints(claims.work, site, claims.possible, volume, minute)


def test_nights_last_from_22_to_6():
    found = list(nights(problem()))
    assert found[0] == (-120, 360)
    assert found[1] == (1320, DAY + 360)


def test_work_that_fits_into_the_days_needs_no_night():
    assert night_runs(zones=zones(20)) == 0


def test_a_shift_by_night_makes_every_run_one_by_night():
    night = (make.shift(start_tod=22 * 60, end_tod=6 * 60),)
    # 480 - 35 = 445 min hold 5 zones of 76
    assert night_runs(zones=zones(1), shifts=night) == 1
    assert night_runs(zones=zones(5), shifts=night) == 1
    assert night_runs(zones=zones(6), shifts=night) == 2


@pytest.mark.parametrize(("count", "expected"), [(2, 0), (3, 1), (4, 1)])
def test_what_one_evening_does_not_hold_before_22_takes_a_night(count: int, expected: int):
    # 18:00-22:00 less 35 min: 205 min, two zones; until 23:00: 265 min, three zones
    one_day = (make.crew(available_to_min=DAY),)
    found = night_runs(DAY, zones=zones(count), shifts=LATE, crews=one_day)
    assert found == expected


def test_more_evenings_hold_more_without_a_night():
    assert night_runs(zones=zones(28), shifts=LATE) == 0
    assert night_runs(zones=zones(29), shifts=LATE) == 1


def test_a_second_crew_by_day_spares_the_night():
    shifts = (make.shift(), make.shift("night", start_tod=22 * 60, end_tod=6 * 60))
    crews = (make.crew("C1", shift_id=ShiftId("night")), make.crew("C2"))
    assert night_runs(zones=zones(9), shifts=shifts, crews=crews) == 0


def test_a_layer_that_fits_has_no_joint():
    assert joints(zones=zones(3, joint_allowed=True)) == 0


def split(*, hours: float, count: int = 1) -> tuple[Any, ...]:
    """Zones whose one layer lasts so long at 2 m³/h."""
    return zones(count, area_m2=None, depth_mm=None, volume_m3=2.0 * hours, joint_allowed=True)


def test_a_layer_longer_than_a_shift_has_joints():
    # a piece lasts 685 - 10 = 675 min: 11.25 h
    assert joints(zones=split(hours=11.0)) == 0
    assert joints(zones=split(hours=12.0)) == 1
    assert joints(zones=split(hours=23.0)) == 2
    assert joints(zones=split(hours=12.0, count=3)) == 3


def test_layers_that_may_be_left_out_have_no_joints():
    patches = (*split(hours=12.0), make.zone("Z2", volume_m3=24.0, joint_allowed=True))
    assert joints(zones=patches) == 2
    assert joints(zones=patches, share=0.5) <= 1


def test_a_window_cuts_the_longest_piece():
    # open until 09:50 and from 12:10 on: a piece lasts at most from 12:10 + 10 min to 17:45, less
    # nothing: 325 min
    shut = tuple(
        make.closure(ClosureScope.ZONE, "Z1", from_min=d * DAY + 600, to_min=d * DAY + 720)
        for d in range(14)
    )
    assert joints(zones=split(hours=5.4), closures=shut) == 0
    assert joints(zones=split(hours=5.5), closures=shut) == 1
