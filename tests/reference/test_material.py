"""Quantities against worked examples of publications, and units against pint.

- Bags: a published pilot study needs 165 bags for 1.65 m³, a bag of 25 kg filling 0.010 m³.
- Loads: 90 min from first water, 20 min haul, 10 min wait, 5 m³/h: 5.0 m³ (arithmetic from the
  90 minutes of ASTM C94).
- Hose: 50 mm of 100 m hold 0.196 m³.
- Consumption of a published pier repair: 1400 bulk bags of 3000 lb are 1905 t.
- Fall-out: 1 ft³ of fresh sprayed concrete weighs about 140 lb, which is 2243 kg/m³.
"""

from typing import Any

import pint
import pytest

from planner.model.identifiers import MixId
from planner.model.material import Material, Supply
from planner.trade import material
from planner.trade.material_factors import factors_of
from tests import builders as make

UNITS: Any = pint.UnitRegistry()


def factors(**changes: Any):
    row = Material(mix_id=MixId("dry"), **changes)
    return factors_of(make.campaign(materials=(row,)), MixId("dry"))


@pytest.mark.reference
def test_165_bags_are_needed_for_the_pilot_study():
    bags = factors(unit_kg=25.0, unit_m3=0.010)
    assert material.units_of(material.material_kg(1.65, bags), bags.value("unit_kg")) == 165


@pytest.mark.reference
def test_a_load_holds_what_can_be_placed_before_it_is_too_old():
    wet = factors(supply=Supply.LOADS, life_min=90.0, haul_min=20.0, wait_min=10.0)
    assert material.batch_m3(5.0, wet) == pytest.approx(5.0)


@pytest.mark.reference
def test_a_line_of_50_mm_and_100_m_holds_0_196_m3():
    fill = material.hose_fill_m3(bore_mm=50.0, laid_m=100.0, fill=1.0)
    assert fill == pytest.approx(0.196, abs=5e-4)


@pytest.mark.reference
def test_bulk_bags_of_a_pier_repair_weigh_1905_t():
    bulk_kg = (3000 * UNITS.pound).to("kg").magnitude
    bulk = factors(supply=Supply.BULK_BAGS, unit_kg=bulk_kg)
    in_place_m3 = 1400 * bulk.value("unit_m3")
    shot_kg = material.material_kg(in_place_m3, bulk)
    assert shot_kg / 1000.0 == pytest.approx(1905.1, abs=0.05)
    assert material.units_of(shot_kg, bulk_kg) == 1400


@pytest.mark.reference
def test_the_default_density_is_within_3_per_cent_of_the_fall_out_example():
    example = (140 * UNITS.pound / UNITS.foot**3).to("kg/m^3").magnitude
    assert example == pytest.approx(2243, abs=1)
    assert factors().value("density_kg_m3") == pytest.approx(example, rel=0.03)


@pytest.mark.reference
@pytest.mark.parametrize(
    ("value", "unit", "in_si", "si"),
    [
        (50, "yard**3", 38.23, "m**3"),
        (100, "foot**3", 2.832, "m**3"),
        (236, "yard**3", 180.4, "m**3"),
        (15000, "gallon", 56.8, "m**3"),
    ],
)
def test_published_conversions_agree_with_pint(value, unit, in_si, si):
    assert (value * UNITS(unit)).to(si).magnitude == pytest.approx(in_si, rel=1e-3)


@pytest.mark.reference
def test_masses_volumes_and_lengths_of_the_formulas_are_those_of_pint():
    run = factors(dry_kg_m3=2000.0, hose_life_t=20.0)
    kg = (1.5 * UNITS.m**3 * (2000.0 * UNITS.kg / UNITS.m**3)).to("kg").magnitude
    assert material.material_kg(1.5, run) == pytest.approx(kg)
    assert material.hose_share((kg * UNITS.kg).to("tonne").magnitude, run) == pytest.approx(0.15)
    area = (3.141592653589793 / 4 * (38 * UNITS.mm) ** 2 * 60 * UNITS.m).to("m^3").magnitude
    assert material.hose_fill_m3(bore_mm=38.0, laid_m=60.0, fill=1.0) == pytest.approx(area)
    water = (0.14 * UNITS.m**3).to("liter").magnitude
    assert material.water_l(1.0, factors()) == pytest.approx(water)
