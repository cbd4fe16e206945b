"""Units that people's lists are written in, and what they are in ours.

Factors are exact by definition: the international foot and inch (1959: 0.3048 m, 25.4 mm), the
avoirdupois pound-force per square inch as 6.894757 kPa to seven digits (from memory).
"""

from __future__ import annotations

import re
from decimal import Decimal, InvalidOperation

_FACTORS: dict[str, dict[str, str]] = {
    "length": {
        "m": "1",
        "mm": "0.001",
        "cm": "0.01",
        "dm": "0.1",
        "km": "1000",
        "in": "0.0254",
        "ft": "0.3048",
        "yd": "0.9144",
    },
    "area": {
        "m²": "1",
        "cm²": "0.0001",
        "dm²": "0.01",
        "mm²": "0.000001",
        "in²": "0.00064516",
        "ft²": "0.09290304",
    },
    "volume": {
        "m³": "1",
        "l": "0.001",
        "dm³": "0.001",
        "cm³": "0.000001",
        "ft³": "0.028316846592",
        "yd³": "0.764554857984",
    },
    "time": {"h": "3600", "min": "60", "s": "1", "d": "86400"},
    "rate": {"m³/h": "1", "m³/min": "60", "m³/s": "3600", "l/min": "0.06", "l/s": "3.6"},
    "pressure": {"kPa": "1", "MPa": "1000", "bar": "100", "psi": "6.894757"},
    "share": {"1": "1", "%": "0.01"},
}
_SPELT: dict[str, str] = {
    "metre": "m",
    "metres": "m",
    "meter": "m",
    "meters": "m",
    "millimetre": "mm",
    "millimetres": "mm",
    "centimetre": "cm",
    "centimetres": "cm",
    "inch": "in",
    "inches": "in",
    '"': "in",
    "foot": "ft",
    "feet": "ft",
    "'": "ft",
    "sqm": "m²",
    "sq m": "m²",
    "m2": "m²",
    "m^2": "m²",
    "qm": "m²",
    "cm2": "cm²",
    "mm2": "mm²",
    "sqft": "ft²",
    "sq ft": "ft²",
    "ft2": "ft²",
    "cum": "m³",
    "cu m": "m³",
    "m3": "m³",
    "m^3": "m³",
    "cbm": "m³",
    "litre": "l",
    "litres": "l",
    "liter": "l",
    "liters": "l",
    "ltr": "l",
    "cuft": "ft³",
    "ft3": "ft³",
    "cuyd": "yd³",
    "yd3": "yd³",
    "cy": "yd³",
    "hour": "h",
    "hours": "h",
    "hr": "h",
    "hrs": "h",
    "mins": "min",
    "minute": "min",
    "minutes": "min",
    "day": "d",
    "days": "d",
    "m3/h": "m³/h",
    "m3/hr": "m³/h",
    "m3_h": "m³/h",
    "m3_min": "m³/min",
    "m3/min": "m³/min",
    "m3/s": "m³/s",
    "m3_s": "m³/s",
    "l/min": "l/min",
    "percent": "%",
    "pct": "%",
    "kpa": "kPa",
    "mpa": "MPa",
}
_WITH_UNIT = re.compile(r"([+-]?[0-9]+(?:[.,][0-9]+)?)\s*([^0-9\s].{0,12})")


def unit_named(text: str) -> str | None:
    """Return the unit a text names, as we write it, or None.

    Examples
    --------
    >>> unit_named("sq m"), unit_named("CM"), unit_named("beam")
    ('m²', 'cm', None)
    """
    word = " ".join(text.strip().strip(".").split())
    for candidate in (word, word.lower()):
        found = _SPELT.get(candidate, candidate)
        if any(found in units for units in _FACTORS.values()) and found != "1":
            return found
    return None


def units_like(unit: str) -> tuple[str, ...]:
    """Return the units that can be turned into a unit of ours, that one first."""
    for units in _FACTORS.values():
        if unit in units:
            return (unit, *(other for other in units if other != unit))
    return (unit,) if unit else ()


def factor(source: str, target: str) -> Decimal | None:
    """Return what a number in one unit is multiplied with to be one in another, or None.

    Examples
    --------
    >>> factor("in", "mm"), factor("m", "m²")
    (Decimal('25.4'), None)
    """
    if source == target:
        return Decimal(1)
    for units in _FACTORS.values():
        if source in units and target in units:
            return Decimal(units[source]) / Decimal(units[target])
    return None


def converted(text: str, *, source: str, target: str, has_comma: bool = False) -> str:
    """Return the text of a number in another unit; what is no number stays as it is.

    A unit written in the cell itself goes before that of the column.

    Parameters
    ----------
    text
        The cell.
    source, target
        Unit of the list's column, and ours.
    has_comma
        Whether the list writes decimals with a comma.

    Examples
    --------
    >>> converted("4,5", source="cm", target="mm", has_comma=True)
    '45'
    >>> (
    ...     converted("2 in", source="mm", target="mm"),
    ...     converted("about 40", source="cm", target="mm"),
    ... )
    ('50.8', 'about 40')
    """
    cell = text.strip()
    found = _WITH_UNIT.fullmatch(cell)
    if found is not None:
        named = unit_named(found.group(2))
        if named is not None and factor(named, target) is not None:
            cell, source = found.group(1), named
    if has_comma and re.fullmatch(r"[+-]?[0-9]{1,3}(?:\.[0-9]{3})+(?:,[0-9]+)?", cell):
        cell = cell.replace(".", "")
    if has_comma:
        cell = cell.replace(",", ".")
    by = factor(source, target)
    if by is None or not re.fullmatch(r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)", cell):
        return text.strip()
    if by == 1:
        return cell
    try:
        return plain_number(Decimal(cell) * by)
    except InvalidOperation:
        return text.strip()


def plain_number(number: Decimal) -> str:
    """Return a number without an exponent and without needless zeros, to twelve digits."""
    rounded = +number.quantize(Decimal("1e-9")) if abs(number) < Decimal(10) ** 15 else number
    text = f"{rounded:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
