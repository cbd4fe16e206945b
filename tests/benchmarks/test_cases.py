"""The synthetic cases are what they say: repeatable, reachable, and with calendar to spare."""

import pytest

from planner.reach.hoses import Reach
from tests.benchmarks.cases import CASES
from tests.benchmarks.nouns import LAYER_MM
from tests.benchmarks.scaling import net_minutes, used_share, work_minutes


@pytest.mark.parametrize("case", ["20", "40", "200"])
def test_a_case_is_the_same_each_time(case):
    assert CASES[case](7) == CASES[case](7)
    assert CASES[case](7) != CASES[case](8)


@pytest.mark.parametrize("case", ["20", "40", "200"])
def test_every_zone_is_reached_from_somewhere(case):
    campaign = CASES[case](1)
    reach = Reach(campaign)
    for zone in campaign.zones:
        assert any(
            reach.reaches(place, zone, rig)
            for place in campaign.positions
            for rig in campaign.rigs
        ), zone.zone_id


@pytest.mark.parametrize("case", ["20", "40", "200"])
def test_zones_leave_between_a_tenth_and_three_tenths_of_the_rigs_time(case):
    campaign = CASES[case](1)
    assert 0.7 <= used_share(campaign, net_minutes(campaign)) <= 0.9


@pytest.mark.parametrize("case", ["20", "40", "200"])
def test_a_layer_that_may_not_be_split_fits_into_a_window(case):
    campaign = CASES[case](1)
    windows = net_minutes(campaign)
    for zone in campaign.zones:
        layer = work_minutes(zone) * LAYER_MM / (zone.depth_mm or LAYER_MM)
        assert zone.joint_allowed or layer <= max(windows[zone.zone_id]), zone.zone_id
