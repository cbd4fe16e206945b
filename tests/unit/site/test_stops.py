"""The three stops and the board, with a tide of straight lines so that sums are plain.

The water stands at 0 m until 11:00, climbs to 2 m by 12:00 (1/30 m a minute), stays, and falls
between 18:00 and 19:00.  People work up to 1 m; with 0.2 m allowance the window ends when the
prediction reaches 0.8 m, at 11:24.
"""

from dataclasses import replace

import pytest

from planner.access.windows import Access
from planner.model.limits import ClosureScope
from planner.model.rules import Rules
from planner.site.stops import StopFinder
from tests import builders as make
from tests.unit.reports.plans import tide

RISE_M_MIN = 2.0 / 60.0


def scene(*, allowance_m=0.2, get_out=10, **zone):
    fields = {"water_max_m": 1.0, "get_in_min": 10, "get_out_min": get_out} | zone
    return make.campaign(
        water=replace(tide(), allowance_m=allowance_m, allowance_low_m=allowance_m),
        rules=Rules(),
        zones=(make.zone(**fields),),
    )


def stops(campaign, *, is_last=False, clean_by=18 * 60, **face):
    found = StopFinder(campaign, Access(campaign)).stops(
        campaign.zones[0],
        make.spell(start_min=600, end_min=640),
        make.mix(**face),
        is_last=is_last,
        clean_by_min=clean_by,
    )
    assert found is not None
    return found


def test_clock_and_board_stop_work_at_the_same_minute_while_the_prediction_holds():
    found = stops(scene())
    assert found.end_min == 11 * 60 + 24  # 0.8 m
    assert (found.leave_min, found.nozzle_off_min) == (11 * 60 + 14, 11 * 60 + 14)
    assert found.water_min == 11 * 60 + 24
    assert found.end_cause == ""
    # ten minutes before it the water stands at 0.8 - 10/30 = 0.4667 m, rounded down
    assert found.stop_high_m == 0.46
    assert found.predicted_m == pytest.approx(0.8 - 10 * RISE_M_MIN)


def test_the_board_never_shows_more_than_limit_less_allowance_less_the_way_out():
    for out in (1, 5, 20):
        found = stops(scene(get_out=out))
        assert found.stop_high_m <= 1.0 - 0.2 - out * RISE_M_MIN + 1e-9
        assert found.stop_high_m > 1.0 - 0.2 - out * RISE_M_MIN - 0.011


def test_people_who_leave_at_the_stop_level_are_out_before_the_limit():
    """The water runs ahead of the prediction by any surge: the board still leaves the way out."""
    out = 10
    found = stops(scene(get_out=out))
    for surge_m in (0.0, 0.1, 0.3, 0.6):
        # when the board shows the stop level, water at the limit of 1 m is still this far off
        minutes_left = (1.0 - found.stop_high_m) / RISE_M_MIN
        assert minutes_left >= out, surge_m


def test_trimming_and_the_hours_of_protection_end_spraying_earlier():
    trimmed = stops(scene(), is_last=True, finish_min_m2=0.5)  # 20 m² x 0.5 = 10 min
    assert trimmed.nozzle_off_min == 11 * 60 + 14 - 10
    assert stops(scene(), is_last=False, finish_min_m2=0.5).nozzle_off_min == 11 * 60 + 14
    # wetted at 0.5 m: with 0.2 m allowance at 0.3 m, 11:09; protected for 1 h until then
    wetted = stops(scene(wets_at_m=0.5), protect_h=1.0)
    assert wetted.nozzle_off_min == 11 * 60 + 9 - 60


def test_the_rig_must_be_clean_at_the_end_of_the_shift():
    assert stops(scene(), clean_by=11 * 60).nozzle_off_min == 11 * 60


def test_a_closure_that_ends_the_window_is_named_and_the_water_still_told():
    campaign = replace(
        scene(),
        closures=(
            make.closure(ClosureScope.SITE, from_min=660, to_min=700, why="vessel alongside"),
        ),
    )
    found = stops(campaign)
    assert (found.end_min, found.end_cause) == (660, "site closed: vessel alongside")
    assert found.water_min == 11 * 60 + 24
    assert found.stop_high_m == 0.46


def test_water_that_never_comes_leaves_limit_less_allowance_less_the_fastest_rise():
    found = stops(scene(water_max_m=3.0))
    assert found.water_min is None
    assert found.stop_high_m == pytest.approx(3.0 - 0.2 - 10 * RISE_M_MIN, abs=0.011)


def test_a_floating_access_stops_on_falling_water_too():
    # at or above 0.5 m with 0.2 m to spare: from 11:21 until 0.7 m is reached again, 18:39
    campaign = scene(water_max_m=5.0, water_min_m=0.5)
    found = StopFinder(campaign, Access(campaign)).stops(
        campaign.zones[0],
        make.spell(start_min=13 * 60, end_min=14 * 60),
        make.mix(),
        is_last=False,
        clean_by_min=24 * 60,
    )
    assert found is not None
    assert found.end_min == 18 * 60 + 39
    assert found.stop_low_m == pytest.approx(0.7 + 10 * RISE_M_MIN, abs=0.011)


def test_a_place_without_water_has_no_level():
    found = stops(make.campaign())
    assert (found.stop_high_m, found.water_min, found.predicted_m) == (None, None, None)
    assert found.end_cause == "the campaign's last day ends"


def test_nobody_goes_in_above_the_limit_less_the_allowance():
    assert stops(scene()).enter_max_m == 0.8
    assert stops(make.campaign()).enter_max_m is None


def test_other_work_leaves_with_the_shortened_window():
    campaign = scene()
    found = StopFinder(campaign, Access(campaign)).leaving(campaign.zones[0], 600)
    assert found is not None
    assert (found.nozzle_off_min, found.leave_min) == (11 * 60 + 14, 11 * 60 + 14)
    assert found.stop_high_m == 0.46


def test_a_spell_outside_every_window_has_no_stops():
    campaign = scene()
    finder = StopFinder(campaign, Access(campaign))
    outside = make.spell(start_min=15 * 60, end_min=16 * 60)
    face = make.mix()
    assert finder.stops(campaign.zones[0], outside, face, is_last=False, clean_by_min=0) is None
