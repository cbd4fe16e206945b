"""Air, water and ventilation of a spraying rig: plain formulas, each with its source.

None of them rules a line out.  What limits a line is the reach that is rated for the rig
(``hose_max_m``, ``rise_max_m``): the pressure rule below is made for short hoses and, taken far,
would forbid lines of several hundred metres that are known to work.
"""

from __future__ import annotations

from math import log, pi

BASE_KPA = 310.264
"""At the gun with a short hose, 45 psi, the upper end of 40 to 45 psi [kPa]; from memory of US
engineer manual and guide tables for dry-mix, so verify before relying on it."""
SHORT_HOSE_M = 30.48
"""Hose that the base pressure serves, 100 ft [m]; from memory, as above."""
KPA_PER_M_HOSE = 34.474 / 15.24
"""5 psi for each further 50 ft of hose [kPa/m]; from memory, as above."""
KPA_PER_M_RISE = 34.474 / 7.62
"""5 psi for each 25 ft that the nozzle lies above the gun [kPa/m]; from memory, as above."""

SMALL_BORE_MM, SMALL_AIR_M3_MIN = 25.0, 2.8
"""A 25 mm hose wants about 100 cfm [mm, m³/min]: common practice."""
LARGE_BORE_MM, LARGE_AIR_TIMES = 38.0, 2.0
"""A 38 mm hose wants about double that [mm, 1]: common practice."""
WET_AIR_M3_MIN = 6.0
"""Least at a wet-mix nozzle, about 200 cfm [m³/min]: Shotcrete magazine, Fall 2014, p. 53."""
ATMOSPHERE_KPA = 101.325
"""Standard atmosphere [kPa]."""

NOZZLE_WATER_KPA = (620.0, 830.0)
"""Water at the nozzle, 90 to 120 psi [kPa]: common practice."""
WATER_ABOVE_HOSE_KPA = 100.0
"""Water must stand at least so far above the pressure in the hose, 15 psi [kPa]: American
Shotcrete Association, technical tip, summer 2003.  (An Indian text asks for 450 to 675 kPa above
the air; the two are not mixed here.)"""
WATER_KPA_PER_M = 9.80665
"""A metre of water of 1000 kg/m³ [kPa/m]."""
WATER_FLOW_L_MIN = (10.0, 60.0)
"""Water that dry-mix takes at the nozzle [l/min]: American Shotcrete Association, as above."""
NOZZLE_TO_FACE_M = (0.6, 1.0)
"""Dry-mix nozzle to face, square to it [m]: common practice, and Concrete Repair: A Practical
Guide, ch. 13."""

POWER_DIVISOR = 25.0
"""P = p Q / 25 with kW, bar and m³/h: trade article on long-distance pumping."""
KPA_PER_BAR = 100.0
START_KPA, FRICTION_KPA_M, RISE_KPA_M, BEND_KPA = 2000.0, 40.0, 25.0, 100.0
"""Start-up, 50 mm hose (30 to 60 kPa/m), rise and 90° bends of a pumped line [kPa]; metric trade
rules, all from memory."""
PUMP_RESERVE = 1.10
"""10 % in reserve [1]; from memory."""

FRESH_AIR_M3_MIN = 5.663
"""200 cubic feet a minute for each person underground [m³/min]: California Title 8, section 8437;
29 CFR 1926.800(k)(2) asks for the same (read in a source that quotes it)."""
AIR_SPEED_M_MIN = 18.288
"""60 feet a minute along a bore with dust [m/min]: California Title 8, section 8437; the federal
rule asks for half (read in a source that quotes it)."""


def gun_kpa(*, laid_m: float, rise_m: float) -> float:
    """Return the pressure that a dry-mix gun wants for a line [kPa].

    Base, and more for hose beyond 30 m and for every metre that the nozzle lies above the gun: a
    metre of rise counts as two of hose.  From memory; for short hoses only.

    Parameters
    ----------
    laid_m
        Hose really laid [m].
    rise_m
        Net rise to the nozzle; a fall gains nothing [m].

    Examples
    --------
    >>> gun_kpa(laid_m=30.48, rise_m=0.0), round(gun_kpa(laid_m=45.72, rise_m=0.0), 1)
    (310.264, 344.7)
    """
    more_m = max(0.0, laid_m - SHORT_HOSE_M)
    return BASE_KPA + KPA_PER_M_HOSE * more_m + KPA_PER_M_RISE * max(0.0, rise_m)


def short_hose_air_m3_min(bore_mm: float) -> float:
    """Return the free air that a dry-mix hose wants while it is short [m³/min].

    A power of the bore through the two values of common practice: 2.8 at 25 mm, double at 38 mm.

    Examples
    --------
    >>> [round(short_hose_air_m3_min(bore_mm), 1) for bore_mm in (25, 32, 38, 51)]
    [2.8, 4.2, 5.6, 9.1]
    """
    exponent = log(LARGE_AIR_TIMES) / log(LARGE_BORE_MM / SMALL_BORE_MM)
    return SMALL_AIR_M3_MIN * float((bore_mm / SMALL_BORE_MM) ** exponent)


def dry_air_m3_min(*, bore_mm: float, at_gun_kpa: float) -> float:
    r"""Return the free air that a dry-mix line wants [m³/min].

    The air must keep its speed where it is densest, at the gun.  By Boyle's law the free air
    grows with the absolute pressure there:

    .. math:: q = q_0(d)\,\frac{p + p_a}{p_0 + p_a}

    Parameters
    ----------
    bore_mm
        Inside diameter of the hose [mm].
    at_gun_kpa
        Gauge pressure at the gun [kPa].

    Examples
    --------
    >>> dry_air_m3_min(bore_mm=25, at_gun_kpa=310.264)
    2.8
    """
    ratio = (at_gun_kpa + ATMOSPHERE_KPA) / (BASE_KPA + ATMOSPHERE_KPA)
    return short_hose_air_m3_min(bore_mm) * ratio


def nozzle_water_kpa(at_gun_kpa: float) -> float:
    """Return the water pressure that a dry-mix nozzle wants [kPa].

    At least 620 kPa, and at least 100 kPa above the pressure in the hose.

    Examples
    --------
    >>> nozzle_water_kpa(400.0), nozzle_water_kpa(700.0)
    (620.0, 800.0)
    """
    return max(NOZZLE_WATER_KPA[0], at_gun_kpa + WATER_ABOVE_HOSE_KPA)


def supply_water_kpa(*, nozzle_kpa: float, rise_m: float) -> float:
    """Return the water pressure beside the rig that gives one at the nozzle [kPa].

    Weight of the water column only: friction in the water hose comes on top, a fall gains
    nothing.

    Examples
    --------
    >>> (
    ...     supply_water_kpa(nozzle_kpa=620.0, rise_m=10.0),
    ...     supply_water_kpa(nozzle_kpa=620.0, rise_m=-5.0),
    ... )
    (718.0665, 620.0)
    """
    return nozzle_kpa + WATER_KPA_PER_M * max(0.0, rise_m)


def pump_kpa(*, laid_m: float, rise_m: float, bends: float) -> float:
    """Return a first guess of the pressure at a wet-mix pump with a 50 mm hose [kPa].

    Start-up + hose + rise + bends, and a reserve; all from memory, to be tried on site.

    Examples
    --------
    >>> pump_kpa(laid_m=50.0, rise_m=4.0, bends=2.0)
    4730.0
    """
    line_kpa = START_KPA + FRICTION_KPA_M * laid_m + RISE_KPA_M * max(0.0, rise_m)
    return round(PUMP_RESERVE * (line_kpa + BEND_KPA * bends), 6)


def pump_power_kw(*, at_pump_kpa: float, rate_m3_h: float) -> float:
    """Return the power of a concrete pump: pressure in bar x m³/h / 25 [kW].

    Examples
    --------
    >>> pump_power_kw(at_pump_kpa=10000.0, rate_m3_h=10.0)
    40.0
    """
    return at_pump_kpa / KPA_PER_BAR * rate_m3_h / POWER_DIVISOR


def bore_area_m2(diameter_m: float) -> float:
    """Return the area of a circular pipe [m²]."""
    return pi / 4.0 * diameter_m**2


def fresh_air_m3_min(*, people: int, area_m2: float | None = None) -> float:
    """Return the fresh air that a closed space wants [m³/min].

    So much for each person, and where the cross-section is known a least speed along it.

    Parameters
    ----------
    people
        Everybody inside [1].
    area_m2
        Cross-section of the bore [m²]; None: not known.

    Examples
    --------
    >>> round(fresh_air_m3_min(people=6), 1), round(fresh_air_m3_min(people=6, area_m2=10.0), 1)
    (34.0, 182.9)
    """
    along = 0.0 if area_m2 is None else AIR_SPEED_M_MIN * area_m2
    return max(FRESH_AIR_M3_MIN * people, along)
