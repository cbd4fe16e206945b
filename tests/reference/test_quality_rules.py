"""Counts of panels and acceptance of strength against published clauses and a published sample."""

from typing import Any

import pint
import pytest

from planner.model.quality import Quality
from planner.trade.quality_panels import panel_count
from planner.trade.quality_verdict import Verdict, strength_verdict

pytestmark = pytest.mark.reference


def test_50_cubic_yards_are_38_cubic_metres():
    volume = pint.UnitRegistry().Quantity(50.0, "yard ** 3").to("m ** 3").magnitude
    assert volume == pytest.approx(38.2, abs=0.05)
    assert Quality().production_m3 <= volume  # rounded down: never fewer panels than the clause


@pytest.mark.parametrize(
    ("operators", "volume_m3", "days", "panels"),
    [(2, 100.0, 4, 8), (1, 200.0, 2, 6)],
)
def test_panels_of_each_mix_operator_and_day_or_50_cubic_yards(operators, volume_m3, days, panels):
    """ACI 506.2 as the American Shotcrete Association states it, worked by hand.

    100 m³ by two operators on 4 days each: 2 x max(4, ceil(50 / 38)) = 8, and 24 cores.
    200 m³ by one on 2 days: max(2, ceil(200 / 38)) = 6.
    """
    found = panel_count(days=days, volume_m3=volume_m3, operators=operators, production_m3=38.0)
    assert found == panels
    assert found * Quality().cores == 3 * panels


@pytest.mark.parametrize(
    ("values", "verdict"),
    [
        ((2100.0, 2200.0, 2150.0), Verdict.MET),  # mean 2150
        ((2300.0, 2300.0, 1850.0), Verdict.MISSED),  # mean 2150, single below 1875
        ((2125.0, 2125.0, 2125.0), Verdict.MET),
        ((2124.0, 2125.0, 2125.0), Verdict.MISSED),
        ((1875.0, 2250.0, 2250.0), Verdict.MET),  # mean 2125
    ],
)
def test_a_published_sample_of_2500_psi(values, verdict):
    """A contractor's page on core tests: f'c 2,500 psi asks for a mean of 2,125 and 1,875 each."""
    found = strength_verdict(values, specified_mpa=2500.0, mean_factor=0.85, single_factor=0.75)
    assert found.verdict is verdict


def test_the_sample_in_megapascals():
    units: Any = pint.UnitRegistry()
    for psi, mpa in ((2500.0, 17.24), (2125.0, 14.65), (1875.0, 12.93)):
        assert units.Quantity(psi, "psi").to("MPa").magnitude == pytest.approx(mpa, abs=0.005)
    bond = units.Quantity(145.0, "psi").to("MPa").magnitude
    assert bond == pytest.approx(Quality().bond_mpa, abs=0.005)
