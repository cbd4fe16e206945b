"""Maturity against published examples, another published form, and plain unit conversions."""

import math
from typing import Any

import pint
import pytest

from planner.trade.maturity import (
    GAS_J_MOL_K,
    KELVIN,
    equivalent_age_h,
    nurse_saul_c_h,
    rate_factor,
)

pytestmark = pytest.mark.reference


def test_two_half_days_of_a_published_guide_make_540_degree_hours():
    """A guide to ASTM C1074: 12 h at 20 °C and 12 h at 25 °C, datum 0 °C: 240 + 300 = 540."""
    assert nurse_saul_c_h([(12, 20.0), (12, 25.0)]) == 540.0


def test_28_days_at_15_degrees_make_728_degree_days():
    """A published examination question: 28 days at 15 °C, datum -11 °C: 28 x 26 = 728 °C day."""
    assert nurse_saul_c_h([(28 * 24, 15.0)], datum_c=-11.0) / 24 == 728.0


@pytest.mark.parametrize(
    ("datum_c", "degree_hours", "age_h"), [(0.0, 402.0, 20.10), (-10.0, 642.0, 21.40)]
)
def test_a_day_that_cools_by_nurse_saul(datum_c, degree_hours, age_h):
    """6 h at 25, 6 h at 18, 12 h at 12 °C, worked by hand; age at 20 °C = M / (20 - datum)."""
    found = nurse_saul_c_h([(6, 25.0), (6, 18.0), (12, 12.0)], datum_c=datum_c)
    assert found == degree_hours
    assert found / (20.0 - datum_c) == pytest.approx(age_h)


@pytest.mark.parametrize(("activation", "age_h"), [(33_500.0, 21.175), (40_000.0, 20.833)])
def test_the_same_day_by_arrhenius(activation, age_h):
    """The same history by hand with factors 1.2595, 0.9241, 0.6793 (33.5 kJ/mol)."""
    history = [(6, 25.0), (6, 18.0), (12, 12.0)]
    assert equivalent_age_h(history, activation_j_mol=activation) == pytest.approx(age_h, abs=5e-4)


@pytest.mark.parametrize(
    ("celsius", "low", "high"),
    [
        (5.0, 0.477, 0.413),
        (10.0, 0.615, 0.560),
        (15.0, 0.788, 0.752),
        (25.0, 1.259, 1.317),
        (30.0, 1.574, 1.718),
    ],
)
def test_paces_at_other_temperatures(celsius, low, high):
    """Factors to three decimals for 33.5 and 40 kJ/mol, worked out on their own."""
    assert rate_factor(celsius, activation_j_mol=33_500.0) == pytest.approx(low, abs=5.5e-4)
    assert rate_factor(celsius, activation_j_mol=40_000.0) == pytest.approx(high, abs=5.5e-4)


@pytest.mark.parametrize("celsius", [0.0, 5.0, 12.0, 20.0, 35.0, 60.0])
def test_the_form_of_the_model_code_says_the_same(celsius):
    """CEB-FIP Model Code and EN 1992-1-1, B.10: exp(13.65 - 4000 / (273 + T)), E / R = 4000 K."""
    code = math.exp(13.65 - 4000.0 / (273.0 + celsius))
    ours = rate_factor(celsius, activation_j_mol=4000.0 * GAS_J_MOL_K)
    assert ours == pytest.approx(code, rel=0.004)  # 13.65 is 4000 / 293 rounded


def test_the_constants_are_those_of_pint():
    units: Any = pint.UnitRegistry()
    assert units.Quantity(0.0, "degC").to("kelvin").magnitude == pytest.approx(KELVIN)
    gas = (1 * units.molar_gas_constant).to("J / mol / K").magnitude
    assert pytest.approx(gas, rel=1e-4) == GAS_J_MOL_K
    datum = units.Quantity(32.0, "degF").to("degC").magnitude
    assert datum == pytest.approx(0.0, abs=1e-9)
