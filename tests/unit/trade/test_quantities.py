"""Volumes, layers and finishing of a zone."""

import pytest

from planner.model.rules import Rules
from planner.trade.quantities import (
    finish_minutes,
    layer_count,
    layer_volumes,
    through_nozzle_m3,
    volume_m3,
)
from tests.builders import mix, zone


def test_a_zone_of_20_m2_and_100_mm_with_10_percent_overbreak_takes_2_2_m3():
    assert volume_m3(zone(), Rules(overbreak=0.10)) == pytest.approx(20 * 0.100 * 1.10)


def test_a_given_volume_is_taken_as_it_is_without_overbreak():
    assert volume_m3(zone(volume_m3=3.0), Rules(overbreak=0.10)) == 3.0


@pytest.mark.parametrize("missing", ["area_m2", "depth_mm"])
def test_a_zone_without_a_volume_needs_area_and_depth(missing):
    with pytest.raises(ValueError, match="zone Z1 needs volume_m3"):
        volume_m3(zone(**{missing: None}), Rules())


def test_layers_share_the_volume_equally():
    two = mix(layer_max_mm=60.0)
    assert layer_count(zone(depth_mm=100.0), two) == 2
    assert layer_volumes(zone(), two, Rules(overbreak=0.10)) == pytest.approx((1.1, 1.1))


def test_a_depth_beside_a_given_volume_still_sets_the_layers():
    deep = zone(volume_m3=3.0, area_m2=None, depth_mm=150.0)
    assert layer_volumes(deep, mix(layer_max_mm=50.0), Rules()) == (1.0, 1.0, 1.0)


def test_a_volume_without_a_depth_is_one_layer():
    bare = zone(volume_m3=3.0, area_m2=None, depth_mm=None)
    assert layer_volumes(bare, mix(layer_max_mm=10.0), Rules()) == (3.0,)


def test_finishing_takes_minutes_by_the_area_rounded_up():
    assert finish_minutes(zone(area_m2=20.0), mix(finish_min_m2=1.51)) == 31  # 30.2
    assert finish_minutes(zone(area_m2=20.0), mix(finish_min_m2=0.0)) == 0
    assert finish_minutes(zone(area_m2=None, volume_m3=1.0), mix(finish_min_m2=2.0)) == 0


def test_half_rebound_doubles_what_goes_through_the_nozzle():
    assert through_nozzle_m3(1.0, 0.5, 0.0) == 2.0
    assert through_nozzle_m3(1.0, 0.5, 0.03) == pytest.approx(2.06)
