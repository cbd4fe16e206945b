"""Names of tidal constituents, and what each stands for."""

from datetime import UTC, datetime

import pytest

from planner.access.astronomy import Longitudes, NodeFactor, longitudes
from planner.access.constituents import (
    argument_deg,
    canonical,
    known_constituents,
    nearest_name,
    node_factor,
    parts,
    speed_deg_h,
)
from planner.scenario.constituents import KNOWN_CONSTITUENTS

NOAA_37 = """
M2 S2 N2 K1 M4 O1 M6 MK3 S4 MN4 NU2 S6 MU2 2N2 OO1 LAM2 S1 M1 J1 MM SSA SA MSF MF RHO Q1 T2
R2 2Q1 P1 2SM2 M3 L2 2MK3 K2 M8 MS4
"""

AT = Longitudes(hour=180.0, moon=10.0, sun=20.0, perigee=30.0, perihelion=40.0, node=50.0)


def test_the_37_names_of_the_american_tables_are_known():
    names = NOAA_37.split()
    assert len(names) == 37
    assert set(names) <= set(known_constituents())


def test_reader_and_prediction_know_the_same_names():
    assert set(known_constituents()) == set(KNOWN_CONSTITUENTS)


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("m2", "M2"),
        (" Sa ", "SA"),
        ("μ2", "MU2"),
        ("λ2", "LAM2"),
        ("lambda2", "LAM2"),
        ("2(MN)8", "2MN8"),
        ("RHO", "RHO1"),
        ("sig1", "SIGMA1"),
    ],
)
def test_spellings_of_one_constituent_mean_the_same(written, meant):
    assert parts(written) == parts(meant)


def test_capitals_and_greek_letters_are_spelt_out():
    assert canonical("M\N{GREEK SMALL LETTER NU} 4") == "MNU4"


def test_an_unknown_name_is_refused_with_the_nearest_known_one():
    with pytest.raises(ValueError, match="'2SM22' is not known; did you mean 2SM2"):
        parts("2SM22")


def test_a_name_like_no_other_has_no_nearest_one():
    assert nearest_name("harbour wall") is None
    with pytest.raises(ValueError, match=r"'harbour wall' is not known$"):
        parts("harbour wall")


def test_the_argument_of_m2_is_twice_the_hour_less_moon_plus_sun():
    assert argument_deg("M2", AT) == 2 * 180 - 2 * 10 + 2 * 20


def test_the_argument_of_k1_has_its_quarter_turn():
    assert argument_deg("K1", AT) == 180 + 20 - 90


def test_a_compound_adds_the_arguments_of_its_parts():
    # 2MK3 = 2 M2 - K1: 2 x 380 - 110
    assert argument_deg("2MK3", AT) == 2 * 380 - 110


def test_speeds_leave_constant_angles_out():
    assert speed_deg_h("K1", AT) == 180 + 20


def test_factors_of_a_compound_multiply_and_angles_add_with_their_signs():
    factors = {"m2": NodeFactor(f=0.5, u_deg=10.0), "k1": NodeFactor(f=3.0, u_deg=7.0)}
    node = node_factor("2MK3", factors)
    assert node.f == 0.5 * 0.5 * 3.0  # never divided, though K1 is taken off
    assert node.u_deg == 2 * 10.0 - 7.0


def test_the_argument_of_a_sun_tide_is_nought_at_midnight_and_half_a_turn_at_six():
    midnight = datetime(2026, 3, 2, tzinfo=UTC)
    assert argument_deg("S2", longitudes(midnight)) % 360 == pytest.approx(0)
    assert argument_deg("S2", longitudes(midnight.replace(hour=6))) % 360 == pytest.approx(180)


def test_a_name_ends_in_its_cycles_a_day():
    numbered = [name for name in known_constituents() if name[-1].isdigit()]
    assert len(numbered) > 300
    for name in numbered:
        cycles = sum(count * argument.multiples[0] for count, argument in parts(name))
        assert name.endswith(str(cycles)), name


def test_a_name_without_a_number_is_slower_than_a_day_or_a_variant():
    plain = [name for name in known_constituents() if not name[-1].isdigit()]
    slow = {name for name in plain if sum(n * a.multiples[0] for n, a in parts(name)) == 0}
    assert set(plain) - slow == {"L2A", "L2B", "M1A", "M1B", "M1C", "M1D", "RHO", "SGM"}
    assert {"SA", "SSA", "MM", "MF", "MSF", "SM"} <= slow
