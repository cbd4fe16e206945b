"""The packing inequality: what fits into cells, against plans made at random."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from planner.model.limits import ClosureScope
from planner.optimise.bounds.bands import MOST_BANDS
from planner.optimise.bounds.hours import rows_of
from planner.optimise.bounds.packing import Packing, Prices
from planner.optimise.bounds.posts import Site
from planner.optimise.bounds.work import Work
from tests import builders as make
from tests.unit.optimise.scenes import DAY, problem, zones


def packing(*, hours: bool = False, until: int = 3 * DAY, **changes: Any) -> Packing:
    work = Work(problem(**changes))
    site = Site(work, until)
    return Packing(site, rows_of(work, site.teams) if hours else ())


def each(of: Packing, worth: int, row: int = 0) -> Prices:
    """The same worth of every kind, and the same price of every row of hours."""
    return Prices(np.full(len(of.kinds), worth), np.full(len(of.rows), row))


def test_a_day_fits_nine_zones_of_76_min():
    of = packing(zones=zones(30))
    worth = each(of, 1)
    assert [of.before(m, worth) for m in (380, 456, 532, DAY, DAY + 456)] == [0, 1, 2, 9, 10]


def test_no_more_fits_than_there_is():
    assert packing(zones=zones(4)).before(DAY, each(packing(zones=zones(4)), 1)) == 4


def test_two_crews_with_two_rigs_do_twice_as_much_and_one_crew_does_not():
    rigs = (make.rig("R1"), make.rig("R2"))
    alone = packing(zones=zones(30), rigs=rigs)
    assert alone.before(DAY, each(alone, 1)) == 9
    both = packing(zones=zones(30), rigs=rigs, crews=(make.crew("C1"), make.crew("C2")))
    assert both.before(DAY, each(both, 1)) == 18


def test_one_rig_does_no_more_with_two_crews_at_the_same_hours():
    of = packing(zones=zones(30), crews=(make.crew("C1"), make.crew("C2")))
    assert of.before(DAY, each(of, 1)) == 9


def test_the_best_zones_are_taken():
    patches = (*zones(8), make.zone("Z9", area_m2=40.0))
    of = packing(zones=patches)
    # eight zones of 76 min, or seven (532 min) and the one of 142: 684 and 674 of 685
    double = np.where(of.kinds.least > 76, 3, 1)
    assert of.before(DAY, Prices(double, np.zeros(0, dtype=np.int64))) == 7 + 3


def test_a_price_of_hours_is_paid_inside_and_given_back_by_the_curve():
    of = packing(zones=zones(30), hours=True)
    prices = each(of, 10_000, 10)
    rows = len(of.rows)
    minutes = sum(row.curve.before(DAY) for row in of.rows)
    assert minutes == rows * 685
    # 9 zones are worth 10000 less 76 min at 10 a minute for every row
    assert of.before(DAY, prices) == 9 * (10_000 - 76 * 10 * rows) + 10 * minutes
    assert of.hours(DAY, prices) == 10 * minutes
    assert of.without_hours().rows == ()


def test_like_days_are_worked_out_once():
    of = packing(zones=zones(30))
    (shapes,) = of.shapes
    assert shapes.count == 1
    assert shapes.of_cell.tolist() == [0, 0, 0]


@pytest.mark.parametrize("seed", range(10))
def test_priced_capacities_never_hold_less_than_the_knapsack_can_take(seed: int):
    rng = np.random.default_rng(seed)
    patches = tuple(
        make.zone(f"Z{k}", area_m2=float(rng.integers(10, 40)), joint_allowed=bool(k % 3 == 0))
        for k in range(8)
    )
    of = packing(zones=patches, until=DAY)
    worth = rng.integers(1, 10_000, len(of.kinds))
    rows = of.bands[0].rows(of.shapes[0].caps[0], of.shapes[0].own[0], of.shapes[0].more[0])
    bands = (rng.integers(0, 60, len(rows)),)
    plain = Prices(worth, np.zeros(0, dtype=np.int64))
    known = Prices(worth, np.zeros(0, dtype=np.int64), bands)
    found = of.before(DAY, known)
    assert found <= of.before(DAY, plain)
    # any choice of whole zones that fits into 685 min is worth no more
    of_task = of.kinds.of_task
    for _ in range(50):
        left, value = 685, 0
        for i in rng.permutation(len(of_task)).tolist():
            length = int(of.kinds.minutes[0, of_task[i]])
            if length <= left:
                left, value = left - length, value + int(worth[of_task[i]])
        assert value <= found


def test_fewer_bands_fit_no_less():
    shut = tuple(
        make.closure(ClosureScope.ZONE, f"Z{k}", from_min=0, to_min=400 + 40 * k)
        for k in range(1, 9)
    )
    work = Work(problem(zones=zones(8, area_m2=60.0), closures=shut))
    site = Site(work, DAY)
    fine, rough = (Packing(site, (), most) for most in (MOST_BANDS, 2))
    assert fine.before(DAY, each(fine, 1)) <= rough.before(DAY, each(rough, 1))
