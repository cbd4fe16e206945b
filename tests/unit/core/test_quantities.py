"""The formulas that several rooms share."""

import pytest

from planner.core.quantities import gross_m3, in_place_m3, layer_count


def test_the_volume_in_place_is_area_times_depth_and_a_share_for_the_rough_face():
    assert in_place_m3(area_m2=20.0, depth_mm=50.0, overbreak=0.10) == pytest.approx(1.1)


def test_waste_and_rebound_both_go_through_the_nozzle():
    # 2 m3 x 1.03 / (1 - 0.25)
    assert gross_m3(in_place_m3=2.0, rebound=0.25, waste=0.03) == pytest.approx(2.06 / 0.75)


@pytest.mark.parametrize("rebound", [-0.01, 1.0, 30.0])
def test_a_rebound_outside_nought_to_one_is_refused(rebound):
    with pytest.raises(ValueError, match=r"write 30 % as 0\.30"):
        gross_m3(in_place_m3=1.0, rebound=rebound, waste=0.0)


def test_layers_are_rounded_up_but_not_by_the_noise_of_fractions():
    assert layer_count(150.0, 50.0) == 3
    assert layer_count(150.1, 50.0) == 4
    assert layer_count(0.3, 0.1) == 3  # 0.3 / 0.1 is 2.9999999999999996
    assert layer_count(150.0 * (1 + 1e-12), 50.0) == 3


def test_a_repair_thinner_than_a_layer_or_without_a_depth_is_one_layer():
    assert layer_count(10.0, 50.0) == 1
    assert layer_count(None, 50.0) == 1
