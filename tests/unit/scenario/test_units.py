"""Numbers of a list in our units: exact factors, commas, and units written in the cell."""

from decimal import Decimal

import pint
import pytest

from planner.scenario.units import converted, factor, unit_named, units_like


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("mm", "mm"),
        ("CM", "cm"),
        ("sq. m", None),
        ("sq m", "m²"),
        ("sqm", "m²"),
        ("m2", "m²"),
        ("m³", "m³"),
        ("ft", "ft"),
        ("inches", "in"),
        ("%", "%"),
        ("mins", "min"),
        ("m3/h", "m³/h"),
        ("beam", None),
        ("1", None),
        ("", None),
    ],
)
def test_units_are_known_by_the_ways_people_write_them(text, unit):
    assert unit_named(text) == unit


@pytest.mark.parametrize(
    ("source", "target"),
    [
        ("cm", "mm"),
        ("in", "mm"),
        ("ft", "m"),
        ("yd", "m"),
        ("cm²", "m²"),
        ("ft²", "m²"),
        ("in²", "m²"),
        ("l", "m³"),
        ("ft³", "m³"),
        ("yd³", "m³"),
        ("h", "min"),
        ("s", "min"),
        ("min", "h"),
        ("h", "d"),
        ("d", "h"),
        ("l/min", "m³/h"),
        ("m³/s", "m³/h"),
        ("MPa", "kPa"),
        ("bar", "kPa"),
        ("psi", "kPa"),
        ("%", "1"),
    ],
)
def test_factors_agree_with_a_library_of_units(source, target):
    spelt = {
        "%": "percent",
        "1": "dimensionless",
        "in": "inch",
        "in²": "inch**2",
        "l": "liter",
        "l/min": "liter/minute",
        "d": "day",
        "h": "hour",
        "m³/h": "m**3/hour",
        "m³/s": "m**3/second",
    }
    registry: pint.UnitRegistry[float] = pint.UnitRegistry()
    wanted = registry.Quantity(
        1.0, spelt.get(source, source.replace("²", "**2").replace("³", "**3"))
    )
    unit = spelt.get(target, target.replace("²", "**2").replace("³", "**3"))
    ours = factor(source, target)
    assert ours is not None
    assert float(ours) == pytest.approx(wanted.to(unit).magnitude, rel=1e-6)


def test_quantities_of_different_kinds_have_no_factor():
    assert factor("m", "m²") is None
    assert factor("mm", "h") is None
    assert factor("", "mm") is None


@pytest.mark.parametrize(
    ("text", "source", "target", "has_comma", "result"),
    [
        ("4.5", "cm", "mm", False, "45"),
        ("4,5", "cm", "mm", True, "45"),
        ("4,5", "cm", "mm", False, "4,5"),  # a comma is not guessed at
        ("1.200,5", "m²", "m²", True, "1200.5"),
        ("12.50", "m", "m", False, "12.50"),  # in our unit: kept as written
        ("2 in", "mm", "mm", False, "50.8"),
        ("60 mm", "cm", "mm", False, "60"),  # the cell's own unit goes first
        ("35 %", "1", "1", False, "0.35"),
        ("35", "%", "1", False, "0.35"),
        ("0.1", "ft", "mm", False, "30.48"),
        ("-1.5", "ft", "m", False, "-0.4572"),
        ("about 40", "cm", "mm", False, "about 40"),
        ("never", "ft", "m", False, "never"),
        ("", "cm", "mm", False, ""),
        ("=1+1", "cm", "mm", False, "=1+1"),
        ("3e2", "cm", "mm", False, "3e2"),
    ],
)
def test_a_number_is_turned_into_our_unit_and_anything_else_is_kept(
    text, source, target, has_comma, result
):
    assert converted(text, source=source, target=target, has_comma=has_comma) == result


def test_every_unit_offered_can_be_converted():
    for unit in ("m", "mm", "m²", "m³", "min", "h", "m³/h", "kPa", "1"):
        assert all(isinstance(factor(other, unit), Decimal) for other in units_like(unit))
