"""Air, water, pumps and machines against published figures and against common practice.

Beside each check stands where its figures come from.  Common practice has no publication behind
it: rules that people of the trade state, and with which catalogue and defaults must agree.
"""

from __future__ import annotations

from typing import Any

import pint
import pytest

from planner.model.identifiers import Orientation, Process
from planner.model.machine import MachineType, Trait
from planner.model.machines import MACHINE_BY_ID, MACHINES
from planner.scenario.builtin_mixes import BUILT_IN_MIXES
from planner.scenario.dictionary.limits import MIXES
from planner.trade import air
from planner.trade.line_advice import PLAIN_WET_M, line_advice
from planner.trade.line_figures import Line, line_figures
from tests.builders import rig

pytestmark = pytest.mark.reference

UNITS: Any = pint.UnitRegistry()
DRY = [machine for machine in MACHINES if machine.process is Process.DRY]
BY_HAND = ("wet-piston", "wet-squeeze")


def told(machine: MachineType, trait: Trait) -> Any:
    return machine.span(trait)


def converted(value: float, unit: str, wanted: str) -> float:
    return float(UNITS.Quantity(value, unit).to(wanted).magnitude)


@pytest.mark.parametrize(
    ("ours", "value", "unit", "wanted", "within"),
    [
        (air.BASE_KPA, 45, "psi", "kPa", 1e-3),
        (air.SHORT_HOSE_M, 100, "foot", "m", 1e-9),
        (air.KPA_PER_M_HOSE, 5 / 50, "psi / foot", "kPa / m", 1e-3),
        (air.KPA_PER_M_RISE, 5 / 25, "psi / foot", "kPa / m", 1e-3),
        (air.SMALL_AIR_M3_MIN, 100, "foot ** 3 / minute", "m ** 3 / minute", 0.05),
        (air.WET_AIR_M3_MIN, 200, "foot ** 3 / minute", "m ** 3 / minute", 0.5),
        (air.FRESH_AIR_M3_MIN, 200, "foot ** 3 / minute", "m ** 3 / minute", 1e-3),
        (air.AIR_SPEED_M_MIN, 60, "foot / minute", "m / minute", 1e-9),
        (air.NOZZLE_WATER_KPA[0], 90, "psi", "kPa", 1.0),
        (air.NOZZLE_WATER_KPA[1], 120, "psi", "kPa", 3.0),
        (air.WATER_ABOVE_HOSE_KPA, 15, "psi", "kPa", 5.0),
        (air.ATMOSPHERE_KPA, 1, "atm", "kPa", 1e-9),
        (air.KPA_PER_BAR, 1, "bar", "kPa", 1e-9),
        (air.WATER_KPA_PER_M, 1000, "standard_gravity * kg / m ** 3", "kPa / m", 1e-9),
        (76.0, 250, "foot", "m", 0.3),
        (15.0, 50, "foot", "m", 0.3),
        (12.7, 0.5, "inch", "mm", 1e-9),
        (760.0, 2500, "foot", "m", 3.0),
        (120.0, 400, "foot", "m", 3.0),
    ],
)
def test_converted_figures_agree_with_a_library_of_units(ours, value, unit, wanted, within):
    assert ours == pytest.approx(converted(value, unit, wanted), abs=within)


@pytest.mark.parametrize(
    ("laid_m", "rise_m", "kpa"), [(200.0, 15.0, 761.6), (30.48, 0.0, 310.3), (45.72, 0.0, 344.7)]
)
def test_pressure_rule_of_short_dry_lines(laid_m, rise_m, kpa):
    """45 psi up to 100 ft, 5 psi each 50 ft more and each 25 ft up: worked out by hand."""
    assert air.gun_kpa(laid_m=laid_m, rise_m=rise_m) == pytest.approx(kpa, abs=0.1)


def test_pump_power_of_a_trade_article():
    """100 bar and 10 m³/h by P = p Q / 25: 40 kW (trade article on long-distance pumping)."""
    assert air.pump_power_kw(at_pump_kpa=10_000.0, rate_m3_h=10.0) == pytest.approx(40.0)
    # hydraulic power alone: 10 MPa x 10 m³/h = 27.8 kW, so the rule holds 69 % for the rest
    hydraulic_kw = converted(10.0 * 10.0, "MPa * m ** 3 / hour", "kW")
    assert hydraulic_kw / 40.0 == pytest.approx(0.694, abs=0.001)


def test_water_stands_above_the_whole_range_of_hose_pressures():
    """Hose 200 to 480 kPa, water at least 100 kPa above: American Shotcrete Association 2003."""
    for hose_kpa in (200.0, 480.0):
        assert air.nozzle_water_kpa(hose_kpa) >= hose_kpa + 100.0


def test_lines_that_have_worked_are_warned_about_and_not_forbidden():
    """A barrel gun pushed 760 m: Shotcrete magazine, Fall 2015, p. 14."""
    gun = rig(type_id="dry-rotary-barrel", hose_max_m=760.0)
    line = Line(laid_m=760.0, rise_m=0.0)
    figures = {figure.name: figure for figure in line_figures(gun, line)}
    assert figures["gun_kpa"].value == pytest.approx(310.264 + 729.52 * 34.474 / 15.24)
    (warned,) = [text for text in line_advice(gun, line, figures, closed=False) if "gun" in text]
    assert "forbids nothing" in warned


def test_common_practice_of_rates():
    """Dry-mix 1-5 m³/h, wet-mix 3-10 by hand and up to 25 robotic: common practice."""
    assert {(told(kind, Trait.RATE).low, told(kind, Trait.RATE).high) for kind in DRY} == {(1, 5)}
    piston = told(MACHINE_BY_ID["wet-piston"], Trait.RATE)
    assert (piston.low, piston.high) == (3, 10)
    assert all(told(MACHINE_BY_ID[name], Trait.RATE).high <= 10 for name in BY_HAND)
    assert told(MACHINE_BY_ID["wet-boom"], Trait.RATE).high == 25


def test_worm_and_piston_pumps_of_a_handbook():
    """Worm pumps up to 4 m³/h and 4 mm, twin pistons up to 25 m³/h and 20 mm: Concrete Repair: A
    Practical Guide, ch. 13."""
    worm, boom = MACHINE_BY_ID["wet-worm"], MACHINE_BY_ID["wet-boom"]
    assert (told(worm, Trait.RATE).high, told(worm, Trait.AGGREGATE).high) == (4, 4)
    assert (told(boom, Trait.RATE).high, told(boom, Trait.AGGREGATE).high) == (25, 20)


def test_common_practice_of_reach():
    """Wet-mix about 100 m without special lines; dry-mix 500 m and more, up to about 1 km with
    double-chamber guns: common practice."""
    assert MACHINE_BY_ID["wet-piston"].usual(Trait.LEVEL) == PLAIN_WET_M == 100
    assert told(MACHINE_BY_ID["dry-double-chamber"], Trait.LEVEL).high == 1000
    assert sum(told(kind, Trait.LEVEL).high >= 500 for kind in DRY) == 3


def test_common_practice_of_air_by_bore():
    """25 mm about 100 cfm (2.8 m³/min), 38 mm about double: common practice."""
    small, large = (air.short_hose_air_m3_min(bore_mm) for bore_mm in (25.0, 38.0))
    assert small == pytest.approx(2.8)
    assert large == pytest.approx(2.0 * small)
    for kind in DRY:
        wanted = air.short_hose_air_m3_min(told(kind, Trait.BORE).usual)
        assert kind.usual(Trait.AIR) == pytest.approx(wanted, abs=0.05)


def test_common_practice_of_water_and_nozzle():
    """Water 620-830 kPa at the nozzle; nozzle 0.6-1.0 m from the face: common practice."""
    assert air.NOZZLE_WATER_KPA == (620.0, 830.0)
    assert air.nozzle_water_kpa(air.BASE_KPA) == 620.0
    assert air.NOZZLE_TO_FACE_M == (0.6, 1.0)


def test_a_booster_pump_is_advised_and_not_required():
    """Common practice: whatever the supply, no line is ruled out for its water."""
    weak = rig(water_kpa=100.0, type_id="dry-rotary-barrel")
    line = Line(laid_m=60.0, rise_m=10.0)
    figures = {figure.name: figure for figure in line_figures(weak, line)}
    advice = line_advice(weak, line, figures, closed=False)
    assert [text for text in advice if "booster pump is advised, not required" in text]


def test_common_practice_of_rebound_and_build_up_agrees_with_the_defaults():
    """Rebound about 30 % for ordinary dry-mix, 5-10 % for a good pre-blended mix even overhead,
    5-15 % for wet-mix; build-up to 200 mm in one pass on a wall: common practice."""
    rebound = {(face.process, face.orientation): face.rebound for face in BUILT_IN_MIXES}
    dry = [rebound[Process.DRY, face] for face in (Orientation.VERTICAL, Orientation.OVERHEAD)]
    wet = [rebound[Process.WET, face] for face in (Orientation.VERTICAL, Orientation.OVERHEAD)]
    assert dry[0] < 0.30 < dry[1]
    assert all(0.05 <= share <= 0.15 for share in wet)
    column = MIXES.column("rebound")
    assert column.odd_low is None or column.odd_low <= 0.05
    thickness = MIXES.column("layer_max_mm")
    assert thickness.odd_high is None or thickness.odd_high >= 200
    walls = [face for face in BUILT_IN_MIXES if face.orientation is Orientation.VERTICAL]
    assert all(face.layer_max_mm <= 200 for face in walls)
