"""Air, water and power: monotone where they must be, and round numbers by hand."""

import pytest

from planner.trade import air


def test_a_short_level_hose_wants_the_base_pressure_and_a_fall_gains_nothing():
    assert air.gun_kpa(laid_m=5.0, rise_m=0.0) == air.BASE_KPA
    assert air.gun_kpa(laid_m=30.48, rise_m=-20.0) == air.BASE_KPA


def test_a_metre_of_rise_counts_as_two_of_hose():
    hose = air.gun_kpa(laid_m=130.48, rise_m=0.0) - air.BASE_KPA
    rise = air.gun_kpa(laid_m=30.48, rise_m=50.0) - air.BASE_KPA
    assert hose == pytest.approx(rise)


def test_air_grows_with_the_absolute_pressure_at_the_gun():
    # twice the absolute pressure of the base: (310.264 + 101.325) x 2 - 101.325
    doubled_kpa = 2 * (air.BASE_KPA + air.ATMOSPHERE_KPA) - air.ATMOSPHERE_KPA
    assert air.dry_air_m3_min(bore_mm=25.0, at_gun_kpa=doubled_kpa) == pytest.approx(5.6)


def test_water_at_the_nozzle_keeps_both_rules():
    assert air.nozzle_water_kpa(519.9) == 620.0
    assert air.nozzle_water_kpa(520.1) == pytest.approx(620.1)


def test_water_beside_the_rig_carries_the_column_up():
    assert air.supply_water_kpa(nozzle_kpa=620.0, rise_m=100.0) == pytest.approx(1600.665)


def test_the_pump_lifts_rubs_turns_and_keeps_a_reserve():
    assert air.pump_kpa(laid_m=0.0, rise_m=-9.0, bends=0.0) == pytest.approx(2200.0)
    assert air.pump_kpa(laid_m=100.0, rise_m=20.0, bends=3.0) == pytest.approx(
        1.1 * (2000 + 4000 + 500 + 300)
    )


def test_ventilation_takes_people_or_the_bore_whichever_asks_for_more():
    assert air.fresh_air_m3_min(people=10, area_m2=1.0) == pytest.approx(56.63)
    assert air.fresh_air_m3_min(people=2, area_m2=4.0) == pytest.approx(73.152)
    assert air.fresh_air_m3_min(people=2) == pytest.approx(11.326)
    assert air.bore_area_m2(2.0) == pytest.approx(3.14159265)
