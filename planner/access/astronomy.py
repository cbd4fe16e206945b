"""Mean longitudes of sun and moon, and the node factors of the tide, after Schureman.

Source of every number: P. Schureman, Manual of Harmonic Analysis and Prediction of Tides,
U.S. Coast and Geodetic Survey, Special Publication 98, 1940: table 1 (mean longitudes) and the
equations whose numbers stand beside the formulas.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from math import atan, atan2, cos, degrees, radians, sin, sqrt, tan

_EPOCH = datetime(1899, 12, 31, 12, tzinfo=UTC)  # Greenwich mean noon, table 1
_DAYS_PER_CENTURY = 36525.0
_HOURS_PER_CENTURY = _DAYS_PER_CENTURY * 24.0

# Table 1, in degrees: constant, then per Julian century to the power 1, 2, 3.
_MOON = (
    270.0 + 26 / 60 + 14.72 / 3600,
    1336 * 360.0 + 1108411.20 / 3600,
    9.09 / 3600,
    6.8e-3 / 3600,
)
_SUN = (279.0 + 41 / 60 + 48.04 / 3600, 129602768.13 / 3600, 1.089 / 3600, 0.0)
_PERIGEE = (
    334.0 + 19 / 60 + 40.87 / 3600,
    11 * 360.0 + 392515.94 / 3600,
    -37.24 / 3600,
    -0.045 / 3600,
)
_PERIHELION = (281.0 + 13 / 60 + 15.0 / 3600, 6189.03 / 3600, 1.63 / 3600, 0.012 / 3600)
_NODE = (
    259.0 + 10 / 60 + 57.12 / 3600,
    -(5 * 360.0 + 482912.63 / 3600),
    7.58 / 3600,
    0.008 / 3600,
)

_ECLIPTIC = radians(23.0 + 27 / 60 + 8.26 / 3600)  # obliquity of the ecliptic, table 1
_MOON_ORBIT = radians(5.0 + 8 / 60 + 43.3546 / 3600)  # inclination of the moon's orbit, table 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Longitudes:
    """Mean longitudes at one instant [°], or their rates [°/h].

    Attributes
    ----------
    hour
        Hour angle of the mean sun at Greenwich, T [° or °/h].
    moon, sun, perigee, perihelion, node
        s, h, p, p1 and N [° or °/h].
    """

    hour: float
    moon: float
    sun: float
    perigee: float
    perihelion: float
    node: float


@dataclass(frozen=True, slots=True, kw_only=True)
class NodeFactor:
    """Factor f of the amplitude [1] and angle u added to the argument [°]."""

    f: float
    u_deg: float


def _centuries(moment: datetime) -> float:
    return (moment - _EPOCH).total_seconds() / (86400.0 * _DAYS_PER_CENTURY)


def _cubic(coefficients: tuple[float, ...], t: float) -> float:
    a, b, c, d = coefficients
    return a + t * (b + t * (c + t * d))


def _slope(coefficients: tuple[float, ...], t: float) -> float:
    _, b, c, d = coefficients
    return (b + t * (2 * c + t * 3 * d)) / _HOURS_PER_CENTURY


def longitudes(moment: datetime) -> Longitudes:
    """Return the mean longitudes at an aware time [°]."""
    t = _centuries(moment)
    utc = moment.astimezone(UTC)
    hours = utc.hour + utc.minute / 60 + (utc.second + utc.microsecond * 1e-6) / 3600
    return Longitudes(
        hour=180.0 + 15.0 * hours,
        moon=_cubic(_MOON, t) % 360.0,
        sun=_cubic(_SUN, t) % 360.0,
        perigee=_cubic(_PERIGEE, t) % 360.0,
        perihelion=_cubic(_PERIHELION, t) % 360.0,
        node=_cubic(_NODE, t) % 360.0,
    )


def rates(moment: datetime) -> Longitudes:
    """Return the rates of the mean longitudes at an aware time [°/h]."""
    t = _centuries(moment)
    return Longitudes(
        hour=15.0,
        moon=_slope(_MOON, t),
        sun=_slope(_SUN, t),
        perigee=_slope(_PERIGEE, t),
        perihelion=_slope(_PERIHELION, t),
        node=_slope(_NODE, t),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Orbit:
    """The moon's orbit against the equator, in radians (Schureman, paragraphs 22 to 24)."""

    inclination: float  # I
    xi: float
    nu: float
    perigee: float  # P = p - xi


def _orbit(at: Longitudes) -> _Orbit:
    node = radians((at.node + 180.0) % 360.0 - 180.0)
    cos_i = cos(_ECLIPTIC) * cos(_MOON_ORBIT) - sin(_ECLIPTIC) * sin(_MOON_ORBIT) * cos(node)
    inclination = atan2(sqrt(1.0 - cos_i * cos_i), cos_i)
    half = tan(node / 2)
    # Napier's analogies on the triangle node - equinox - intersection give nu and N - xi.
    total = atan(cos((_ECLIPTIC - _MOON_ORBIT) / 2) / cos((_ECLIPTIC + _MOON_ORBIT) / 2) * half)
    part = atan(sin((_ECLIPTIC - _MOON_ORBIT) / 2) / sin((_ECLIPTIC + _MOON_ORBIT) / 2) * half)
    xi = node - total - part
    return _Orbit(
        inclination=inclination, xi=xi, nu=total - part, perigee=radians(at.perigee) - xi
    )


def node_factors(moment: datetime) -> Mapping[str, NodeFactor]:
    """Return the node factors of the fundamental constituents at an aware time.

    Parameters
    ----------
    moment
        Aware time; agencies take the middle of the calendar year.

    Returns
    -------
    Mapping
        Name of a node rule (``one``, ``mm``, ``mf``, ``o1``, ``j1``, ``oo1``, ``m2``, ``m3``,
        ``k1``, ``k2``, ``l2``, ``eta2``, ``m1``, ``m1c``, ``m1d``) to its factor and angle.
    """
    orbit = _orbit(longitudes(moment))
    return {**_plain(orbit), **_joint(orbit)}


def _plain(orbit: _Orbit) -> dict[str, NodeFactor]:
    """Return the factors that depend on the inclination alone."""
    i, xi, nu = orbit.inclination, degrees(orbit.xi), degrees(orbit.nu)
    m2 = cos(i / 2) ** 4 / 0.9154  # eq. 78
    o1 = sin(i) * cos(i / 2) ** 2 / 0.3800  # eq. 75
    m1c = (1 - 10 * sin(i / 2) ** 2 + 15 * sin(i / 2) ** 4) * cos(i / 2) ** 2 / 0.5873  # eq. 144
    return {
        "one": NodeFactor(f=1.0, u_deg=0.0),
        "mm": NodeFactor(f=(2 / 3 - sin(i) ** 2) / 0.5021, u_deg=0.0),  # eq. 73
        "mf": NodeFactor(f=sin(i) ** 2 / 0.1578, u_deg=-2 * xi),  # eq. 74
        "o1": NodeFactor(f=o1, u_deg=2 * xi - nu),
        "j1": NodeFactor(f=sin(2 * i) / 0.7214, u_deg=-nu),  # eq. 76
        "oo1": NodeFactor(f=sin(i) * sin(i / 2) ** 2 / 0.0164, u_deg=-2 * xi - nu),  # eq. 77
        "m2": NodeFactor(f=m2, u_deg=2 * xi - 2 * nu),
        "m3": NodeFactor(f=m2**1.5, u_deg=3 * xi - 3 * nu),  # eq. 149
        "eta2": NodeFactor(f=sin(i) ** 2 / 0.1565, u_deg=-2 * nu),  # eq. 79
        "m1c": NodeFactor(f=m1c, u_deg=xi - nu),
    }


def _joint(orbit: _Orbit) -> dict[str, NodeFactor]:
    """Return the factors that join several terms: K1 and K2 (with the sun), L2 and M1."""
    i, xi, nu, p = orbit.inclination, degrees(orbit.xi), degrees(orbit.nu), orbit.perigee
    plain = _plain(orbit)
    s2i, ss = sin(2 * i), sin(i) ** 2
    k1_f = sqrt(0.8965 * s2i**2 + 0.6001 * s2i * cos(orbit.nu) + 0.1006)  # eq. 227
    k1_u = -atan2(s2i * sin(orbit.nu), s2i * cos(orbit.nu) + 0.3347)  # eq. 224
    k2_f = sqrt(19.0444 * ss**2 + 2.7702 * ss * cos(2 * orbit.nu) + 0.0981)  # eq. 235
    k2_u = -atan2(ss * sin(2 * orbit.nu), ss * cos(2 * orbit.nu) + 0.0727)  # eq. 232
    t2 = tan(i / 2) ** 2
    l2_ra = sqrt(1 - 12 * t2 * cos(2 * p) + 36 * t2**2)  # eq. 213
    l2_r = atan2(sin(2 * p), 1 / (6 * t2) - cos(2 * p))  # eq. 214
    c = cos(i) / cos(i / 2) ** 2
    m1_qa = sqrt(0.25 + 1.5 * c * cos(2 * p) + 2.25 * c**2)  # eq. 197
    m1_q = atan2((5 * cos(i) - 1) * sin(p), (7 * cos(i) + 1) * cos(p))  # eq. 203
    m1_f = plain["o1"].f * m1_qa  # eq. 207
    return {
        "k1": NodeFactor(f=k1_f, u_deg=degrees(k1_u)),
        "k2": NodeFactor(f=k2_f, u_deg=degrees(k2_u)),
        "l2": NodeFactor(f=plain["m2"].f * l2_ra, u_deg=2 * xi - 2 * nu - degrees(l2_r)),
        "m1": NodeFactor(f=m1_f, u_deg=-nu - degrees(p - m1_q)),
        "m1d": NodeFactor(f=m1_f, u_deg=xi - nu + degrees(m1_q)),
    }
