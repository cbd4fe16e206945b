"""The same job bigger, farther away, or with shorter windows."""

from datetime import date

import pytest

from planner.access.windows import Access
from planner.reach.hoses import Reach
from planner.scenario.reader import campaign_of
from planner.workflow.scaling import Axis, scale_of, scaled
from tests.unit.scenario.scenes import scene, tidal, zones


def both(tables, axis, value):
    campaign, _ = campaign_of(tables)
    return campaign, campaign_of(scaled(tables, campaign, axis, value))[0]


def test_a_job_of_half_the_volume_has_half_of_every_zone():
    tables = scene(zones=zones({"area_m2": "10"}, {"area_m2": "", "volume_m3": "3"}))
    before, after = both(tables, Axis.VOLUME, 0.5)
    share = [
        new.in_place_m3(0.1) / old.in_place_m3(0.1)
        for old, new in zip(before.zones, after.zones, strict=True)
    ]
    assert share == [pytest.approx(0.5), pytest.approx(0.5)]
    assert after.clock == before.clock


def test_a_bigger_job_may_take_longer():
    before, after = both(scene(), Axis.VOLUME, 2.0)
    assert (before.clock.days, after.clock.days) == (7, 14)
    assert after.clock.last_day == date(2027, 4, 18)


def test_more_distance_lengthens_every_hose_once():
    before, after = both(scene(), Axis.DISTANCE, 12.5)
    old, new = Reach(before), Reach(after)
    for zone in before.zones:
        was = old.run(before.positions[0], zone, before.rigs[0])
        assert was is not None
        now = new.run(after.positions[0], zone, after.rigs[0])
        assert now is not None
        assert now.hose_m == pytest.approx(was.hose_m + 12.5)


def test_lengths_of_the_grid_stay_the_same_when_they_become_routes():
    places = zones({"x_m": "10", "y_m": "-4", "z_m": "3"}, {"x_m": "-7.5", "z_m": "-2"})
    tables = scene({"reach.by": "grid"}, zones=places, routes=None)
    before, after = both(tables, Axis.DISTANCE, 0.0)
    for zone in before.zones:
        was = Reach(before).run(before.positions[0], zone, before.rigs[0])
        assert was is not None
        now = Reach(after).run(after.positions[0], zone, after.rigs[0])
        assert now is not None
        assert now.hose_m == pytest.approx(was.hose_m)
        assert now.laid_m == pytest.approx(was.laid_m)
        assert now.rise_m == pytest.approx(was.rise_m)


def test_without_water_the_shift_is_the_window():
    _, after = both(scene(), Axis.WINDOW, 4.5)
    assert (after.shifts[0].start_tod, after.shifts[0].end_tod) == (7 * 60, 11 * 60 + 30)


def test_with_water_minutes_are_taken_off_every_window():
    before, after = both(tidal({}, {"get_out_min": "25"}), Axis.WINDOW, 30.0)
    for old, new in zip(before.zones, after.zones, strict=True):
        was, now = Access(before).shortened(old), Access(after).shortened(new)
        assert was
        assert now == was.shrink(last=30)


def test_the_values_that_are_offered_fit_the_water():
    dry, _ = campaign_of(scene())
    wet, _ = campaign_of(tidal())
    assert scale_of(dry, Axis.WINDOW).unit == "h"
    assert scale_of(wet, Axis.WINDOW).unit == "min"
    assert 1.0 in scale_of(dry, Axis.VOLUME).values
    assert scale_of(dry, Axis.DISTANCE).values[0] == 0.0
