"""Node factors, arguments and speeds against published and independent figures.

The table of node factors and V0 + u in the shared reference folder was computed by two other
programmes that agree with each other.  The series of the IHO list (TWCWG, 8 May 2017, annex A)
are approximations that hydrographic offices publish for the same factors; N is the longitude of
the moon's node.  Speeds are those printed in the same list.
"""

from datetime import UTC, datetime, timedelta
from math import cos, radians, sin

import pytest

from planner.access.astronomy import longitudes, node_factors, rates
from planner.access.constituents import argument_deg, node_factor, speed_deg_h
from tests.reference.tide_stations import rows

pytestmark = pytest.mark.reference

EVERY_YEAR = [datetime(year, 7, 2, 12, tzinfo=UTC) for year in range(1990, 2030)]


def turned(a, b):
    """Difference of two angles [°], between -180 and 180."""
    return (a - b + 180.0) % 360.0 - 180.0


def test_node_factors_and_arguments_are_those_of_two_other_programmes(shared_reference):
    table = rows(shared_reference / "tides", "derived_node_factors_arguments.csv")
    assert len(table) == 34 * 5
    for row in table:
        moment = datetime.fromisoformat(row["utc_midnight"]).replace(tzinfo=UTC)
        name = row["constituent"]
        node = node_factor(name, node_factors(moment))
        angle = argument_deg(name, longitudes(moment)) + node.u_deg
        assert node.f == pytest.approx(float(row["node_factor_f"]), abs=0.004), row
        assert abs(turned(angle, float(row["V0_plus_u_deg"]))) <= 0.2, row


@pytest.mark.parametrize(
    ("rule", "f", "u"),
    [
        ("m2", (1.0007, -0.0373, 0.0002, 0.0), (-2.14, 0.0, 0.0)),
        ("o1", (1.0176, 0.1871, -0.0147, 0.0), (10.80, -1.34, 0.19)),
        ("k1", (1.0060, 0.1150, -0.0088, 0.0006), (-8.86, 0.68, -0.07)),
        ("k2", (1.0246, 0.2863, 0.0083, -0.0015), (-17.74, 0.68, -0.04)),
    ],
)
def test_node_factors_follow_the_published_series(rule, f, u):
    for moment in EVERY_YEAR:
        node = radians(longitudes(moment).node)
        factor = node_factors(moment)[rule]
        series = sum(a * cos(k * node) for k, a in enumerate(f))
        angle = sum(a * sin(k * node) for k, a in enumerate(u, start=1))
        assert factor.f == pytest.approx(series, abs=0.012)
        assert abs(turned(factor.u_deg, angle)) <= 0.4


def test_the_node_goes_round_in_18_6_years_and_the_perigee_in_8_85():
    rate = rates(datetime(2026, 1, 1, tzinfo=UTC))
    hours_per_year = 365.25 * 24
    assert -360 / (rate.node * hours_per_year) == pytest.approx(18.61, abs=0.01)
    assert 360 / (rate.perigee * hours_per_year) == pytest.approx(8.85, abs=0.01)


def test_longitudes_move_at_their_rates():
    moment = datetime(2026, 3, 2, 5, 30, tzinfo=UTC)
    later = moment + timedelta(hours=7)
    at, then, rate = longitudes(moment), longitudes(later), rates(moment)
    for name in ("hour", "moon", "sun", "perigee", "perihelion", "node"):
        moved = turned(getattr(then, name), getattr(at, name))
        assert moved == pytest.approx(7 * getattr(rate, name), abs=1e-6), name


@pytest.mark.parametrize(
    ("name", "speed"),
    [
        ("Sa", 0.0410686),
        ("Ssa", 0.0821373),
        ("Mm", 0.5443747),
        ("MSf", 1.0158958),
        ("Mf", 1.0980330),
        ("2Q1", 12.8542862),
        ("Q1", 13.3986609),
        ("rho1", 13.4715145),
        ("O1", 13.9430356),
        ("M1", 14.4966939),
        ("chi1", 14.5695476),
        ("pi1", 14.9178647),
        ("P1", 14.9589314),
        ("K1", 15.0410686),
        ("psi1", 15.0821353),
        ("J1", 15.5854433),
        ("OO1", 16.1391017),
        ("2N2", 27.8953548),
        ("mu2", 27.9682085),
        ("N2", 28.4397295),
        ("nu2", 28.5125832),
        ("M2", 28.9841042),
        ("lambda2", 29.4556253),
        ("L2", 29.5284789),
        ("T2", 29.9589333),
        ("R2", 30.0410667),
        ("K2", 30.0821373),
        ("eta2", 30.6265120),
        ("2SM2", 31.0158958),
        ("2MK3", 42.9271398),
        ("M3", 43.4761564),
        ("MN4", 57.4238338),
        ("MSK5", 74.0251729),
        ("2MS6", 87.9682085),
        ("2MSO7", 101.9112441),
        ("3MN8", 115.3920423),
        ("3MNK9", 130.4331109),
        ("4MS10", 145.9364170),
        ("4MSK11", 160.9774856),
        ("4M2S12", 175.9364170),
    ],
)
def test_speeds_are_those_of_the_published_list(name, speed):
    assert speed_deg_h(name, rates(datetime(2000, 1, 1, tzinfo=UTC))) == pytest.approx(
        speed, abs=2e-6
    )
