"""The synthetic cases are what they say: repeatable, reachable, and with calendar to spare."""

import pytest

from planner.reach.hoses import Reach
from tests.benchmarks.cases import CASES, LAYER_MM, NOZZLE_M3_H, net_minutes

REBOUND, NOZZLE_ON = 0.35, 0.8


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
    rate_m3_h = NOZZLE_M3_H * NOZZLE_ON * (1 - REBOUND)
    change = campaign.rules.zone_change_min
    windows, used = net_minutes(campaign), 0.0
    for zone in campaign.zones:
        available = len(campaign.rigs) * sum(windows[zone.zone_id])
        layers = round((zone.depth_mm or 0) / LAYER_MM)
        used += (60 * (zone.volume_m3 or 0) / rate_m3_h + layers * change) / available
    assert 0.7 <= used <= 0.9


@pytest.mark.parametrize("case", ["20", "40", "200"])
def test_a_layer_that_may_not_be_split_fits_into_a_window(case):
    campaign = CASES[case](1)
    windows = net_minutes(campaign)
    for zone in campaign.zones:
        layers = round((zone.depth_mm or 0) / LAYER_MM)
        spell = 60 * (zone.volume_m3 or 0) / layers / (NOZZLE_M3_H * NOZZLE_ON * (1 - REBOUND))
        longest = max(windows[zone.zone_id]) - campaign.rules.zone_change_min
        assert zone.joint_allowed or spell <= longest, zone.zone_id
