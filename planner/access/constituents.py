"""Tidal constituents: argument and node rule of each name, compounds from their parts.

Sources: arguments and node rules of the fundamental constituents from Schureman 1940
(table 2); names and compounds from the IHO standard list of tidal constituents (TWCWG,
8 May 2017), annex B: the letters are added from the left and signs turned from the right
until the number of cycles a day comes out.

Where lists disagree, the choice is that of the agencies whose tables the tests reproduce:
``SA`` is referred to h alone (speed 0.0410686 °/h), ``S1`` to T, ``M1`` is Schureman's
(speed 14.4966939 °/h), ``M3`` is 3(T - s + h), ``MSF`` has the node factor of Mm.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache

from planner.access.astronomy import Longitudes, NodeFactor

# Name, multiples of T s h p p1, constant angle [°], node rule (astronomy.node_factors).
_FUNDAMENTAL = """
SA      0  0  1  0  0    0 one
SSA     0  0  2  0  0    0 one
MSM     0  1 -2  1  0    0 mm
MM      0  1  0 -1  0    0 mm
MSF     0  2 -2  0  0    0 mm
MF      0  2  0  0  0    0 mf
MSTM    0  3 -2  1  0    0 mf
MTM     0  3  0 -1  0    0 mf
MSQM    0  4 -2  0  0    0 mf
MQM     0  4  0 -2  0    0 mf
2Q1     1 -4  1  2  0   90 o1
SIGMA1  1 -4  3  0  0   90 o1
Q1      1 -3  1  1  0   90 o1
RHO1    1 -3  3 -1  0   90 o1
O1      1 -2  1  0  0   90 o1
TAU1    1 -2  3  0  0  -90 j1
M1B     1 -1  1 -1  0  -90 o1
M1C     1 -1  1  0  0    0 m1c
M1D     1 -1  1  0  0  -90 m1d
M1A     1 -1  1  1  0  -90 j1
M1      1 -1  1  1  0  -90 m1
CHI1    1 -1  3 -1  0  -90 j1
PI1     1  0 -2  0  1   90 one
P1      1  0 -1  0  0   90 one
S1      1  0  0  0  0    0 one
K1      1  0  1  0  0  -90 k1
PSI1    1  0  2  0 -1  -90 one
PHI1    1  0  3  0  0  -90 one
THETA1  1  1 -1  1  0  -90 j1
J1      1  1  1 -1  0  -90 j1
OO1     1  2  1  0  0  -90 oo1
UPS1    1  3  1 -1  0  -90 oo1
3N2     2 -5  2  3  0    0 m2
EPS2    2 -5  4  1  0    0 m2
2N2     2 -4  2  2  0    0 m2
MU2     2 -4  4  0  0    0 m2
N2      2 -3  2  1  0    0 m2
NU2     2 -3  4 -1  0    0 m2
MA2     2 -2  1  0  0    0 m2
M2      2 -2  2  0  0    0 m2
MB2     2 -2  3  0  0    0 m2
LAM2    2 -1  0  1  0  180 m2
L2      2 -1  2 -1  0  180 l2
L2A     2 -1  2 -1  0  180 m2
L2B     2 -1  2  1  0    0 eta2
T2      2  0 -1  0  1    0 one
S2      2  0  0  0  0    0 one
R2      2  0  1  0 -1  180 one
K2      2  0  2  0  0    0 k2
ETA2    2  1  2 -1  0    0 eta2
M3      3 -3  3  0  0    0 m3
S3      3  0  0  0  0    0 one
"""

_COMPOUND = """
SNU=S2-NU2 SN=S2-N2 2SM=2S2-2M2 2SMN=2S2-M2-N2 NJ1=N2-J1 NUJ1=NU2-J1 NUK1=NU2-K1 MP1=M2-P1
NO1=N2-O1 LP1=L2-P1 TK1=T2-K1 RP1=R2-P1 KP1=K2-P1 2PO1=2P1-O1 SO1=S2-O1 KQ1=K2-Q1 3MKS2=3M2-K2-S2
OQ2=O1+Q1 MNK2=M2+N2-K2 MNS2=M2+N2-S2 2ML2S2=2M2+L2-2S2 2MS2K2=2M2+S2-2K2 NLK2=N2+L2-K2
2MS2=2M2-S2 SNK2=S2+N2-K2 2KN2S2=2K2+N2-2S2 OP2=O1+P1 MSK2=M2+S2-K2 MKS2=M2+K2-S2 2MN2=2M2-N2
2SK2=2S2-K2 MSN2=M2+S2-N2 KJ2=K1+J1 MKN2=M2+K2-N2 2SM2=2S2-M2 SKM2=S2+K2-M2 2SNU2=2S2-NU2
2SN2=2S2-N2 SKN2=S2+K2-N2 2NS2=2N2-S2 2NK2S2=2N2+K2-2S2 MNUS2=M2+NU2-S2 MNK2S2=M2+N2+K2-2S2
2MK2=2M2-K2 KQ2=K1+Q1 KO2=K1+O1 NKM2=N2+K2-M2 MSNU2=M2+S2-NU2 2MS2N2=2M2+S2-2N2 3S2M2=3S2-2M2
2SK2M2=2S2+K2-2M2 MLN2S2=M2+L2+N2-2S2 MKL2S2=M2+K2+L2-2S2 2MN2S2=2M2+N2-2S2 3M2S2=3M2-2S2
2KM2S2=2K2+M2-2S2 O2=2O1 MQ3=M2+Q1 NO3=N2+O1 MO3=M2+O1 2MK3=2M2-K1 2MP3=2M2-P1 SO3=S2+O1
MK3=M2+K1 2MQ3=2M2-Q1 SP3=S2+P1 SK3=S2+K1 2SO3=2S2-O1 2NKM3=2N2+K1-M2 NK3=N2+K1 MP3=M2+P1
NSO3=N2+S2-O1 2MNS4=2M2+N2-S2 3MK4=3M2-K2 MNLK4=M2+N2+L2-K2 3MS4=3M2-S2 MSNK4=M2+S2+N2-K2
MN4=M2+N2 2MLS4=2M2+L2-S2 2MSK4=2M2+S2-K2 M4=2M2 2MKS4=2M2+K2-S2 SN4=S2+N2 3MN4=3M2-N2
2SMK4=2S2+M2-K2 MS4=M2+S2 MK4=M2+K2 2SNM4=2S2+N2-M2 2MSN4=2M2+S2-N2 SL4=S2+L2 S4=2S2 SK4=S2+K2
2SMN4=2S2+M2-N2 3SM4=3S2-M2 2SKM4=2S2+K2-M2 N4=2N2 ML4=M2+L2 4M2S4=4M2-2S2 2MNK4=2M2+N2-K2
3NM4=3N2-M2 2MNUS4=2M2+NU2-S2 2NKS4=2N2+K2-S2 MNU4=M2+NU2 MNKS4=M2+N2+K2-S2 2MRS4=2M2+R2-S2
KN4=K2+N2 NK4=N2+K2 M2SK4=M2+2S2-K2 MT4=M2+T2 MR4=M2+R2 2MKN4=2M2+K2-N2 ST4=S2+T2 K4=2K2
MNO5=M2+N2+O1 3MK5=3M2-K1 3MP5=3M2-P1 MNK5=M2+N2+K1 2MP5=2M2+P1 3MO5=3M2-O1 MSK5=M2+S2+K1
3KM5=3K1+M2 2MK5=2M2+K1 2MO5=2M2+O1 2MQ5=2M2+Q1 2NKMS5=2N2+K1+M2-S2 2NK5=2N2+K1 NSO5=N2+S2+O1
MSO5=M2+S2+O1 NSK5=N2+S2+K1 3MQ5=3M2-Q1 MSP5=M2+S2+P1 2SP5=2S2+P1 2SK5=2S2+K1 2(MN)S6=2M2+2N2-S2
3MNS6=3M2+N2-S2 2NM6=2N2+M2 4MS6=4M2-S2 2MSNK6=2M2+S2+N2-K2 2MN6=2M2+N2 2MNU6=2M2+NU2
3MSK6=3M2+S2-K2 M6=3M2 MSN6=M2+S2+N2 4MN6=4M2-N2 MNK6=M2+N2+K2 MKNU6=M2+K2+NU2 2(MS)K6=2M2+2S2-K2
2MS6=2M2+S2 2MK6=2M2+K2 2SN6=2S2+N2 3MSN6=3M2+S2-N2 MKL6=M2+K2+L2 2SM6=2S2+M2 MSK6=M2+S2+K2
S6=3S2 2ML6=2M2+L2 2MLNS6=2M2+L2+N2-S2 2NMLS6=2N2+M2+L2-S2 3MLS6=3M2+L2-S2 MSL6=M2+S2+L2
2(MN)K6=2M2+2N2-K2 5MKS6=5M2-K2-S2 5M2S6=5M2-2S2 3MNK6=3M2+N2-K2 N6=3N2 3NKS6=3N2+K2-S2
3MNUS6=3M2+NU2-S2 4MK6=4M2-K2 M2N6=M2+2N2 2NMKS6=2N2+M2+K2-S2 2MNKS6=2M2+N2+K2-S2 3MKS6=3M2+K2-S2
MTN6=M2+T2+N2 MKN6=M2+K2+N2 2MT6=2M2+T2 3MTN6=3M2+T2-N2 NSK6=N2+S2+K2 SNK6=S2+N2+K2
3MKN6=3M2+K2-N2 MST6=M2+S2+T2 SKM6=S2+K2+M2 2KM6=2K2+M2 2MSTN6=2M2+S2+T2-N2 2(MS)N6=2M2+2S2-N2
2MSKN6=2M2+S2+K2-N2 2MNO7=2M2+N2+O1 2NMK7=2N2+M2+K1 2MSO7=2M2+S2+O1 MSKO7=M2+S2+K2+O1 3MQ7=3M2+Q1
4MK7=4M2-K1 MNSO7=M2+N2+S2+O1 2MNK7=2M2+N2+K1 MNKO7=M2+N2+K2+O1 3MK7=3M2+K1 3MN8=3M2+N2
3MNKS8=3M2+N2+K2-S2 M8=4M2 2MSN8=2M2+S2+N2 2MNK8=2M2+N2+K2 3MS8=3M2+S2 3MK8=3M2+K2
2SNM8=2S2+N2+M2 MSNK8=M2+S2+N2+K2 2MSK8=2M2+S2+K2 3SM8=3S2+M2 2SMK8=2S2+M2+K2 S8=4S2 3ML8=3M2+L2
2MSL8=2M2+S2+L2 4MLS8=4M2+L2-S2 3M2NS8=3M2+2N2-S2 4MNS8=4M2+N2-S2 5MK8=5M2-K2 5MS8=5M2-S2
2(MN)KS8=2M2+2N2+K2-S2 3MSNK8=3M2+S2+N2-K2 3MNU8=3M2+NU2 4MSK8=4M2+S2-K2 4MKS8=4M2+K2-S2
3M2SK8=3M2+2S2-K2 2(NS)8=2N2+2S2 3MT8=3M2+T2 2SMN8=2S2+M2+N2 4MSN8=4M2+S2-N2 2MST8=2M2+S2+T2
2(MK)8=2M2+2K2 3SN8=3S2+N2 2SML8=2S2+M2+L2 2SKN8=2S2+K2+N2 MSKL8=M2+S2+K2+L2 2(MN)K9=2M2+2N2+K1
3MNK9=3M2+N2+K1 4MK9=4M2+K1 3MSK9=3M2+S2+K1 2M2NK9=2M2+2N2+K1 3MNO9=3M2+N2+O1 4MN10=4M2+N2
M10=5M2 3MSN10=3M2+S2+N2 4MS10=4M2+S2 2(MS)N10=2M2+2S2+N2 2MNSK10=2M2+N2+S2+K2 3M2S10=3M2+2S2
3MNS10=3M2+N2+S2 3MSL10=3M2+S2+L2 5MNS10=5M2+N2-S2 3M2N10=3M2+2N2 6MS10=6M2-S2
3M2NKS10=3M2+2N2+K2-S2 4MSNK10=4M2+S2+N2-K2 4MNU10=4M2+NU2 5MSK10=5M2+S2-K2 5MKS10=5M2+K2-S2
6MN10=6M2-N2 4ML10=4M2+L2 3MNK10=3M2+N2+K2 2(SN)M10=2S2+2N2+M2 4MK10=4M2+K2 5MSN10=5M2+S2-N2
3MSK10=3M2+S2+K2 3SMN10=3S2+M2+N2 2SMKN10=2S2+M2+K2+N2 4M2SN10=4M2+2S2-N2 3S2M10=3S2+2M2
2(MS)K10=2M2+2S2+K2 4MSK11=4M2+S2+K1 M12=6M2 4MSN12=4M2+S2+N2 5MS12=5M2+S2 3MNKS12=3M2+N2+K2+S2
4M2S12=4M2+2S2 4MNS12=4M2+N2+S2 4MSL12=4M2+S2+L2 5M2NS12=5M2+2N2-S2 3(MN)12=3M2+3N2
6MNS12=6M2+N2-S2 4M2N12=4M2+2N2 7MS12=7M2-S2 4M2NKS12=4M2+2N2+K2-S2 5MSNK12=5M2+S2+N2-K2
5MN12=5M2+N2 5MNU12=5M2+NU2 6MSK12=6M2+S2-K2 4MNK12=4M2+N2+K2 2(MSN)12=2M2+2S2+2N2 5MT12=5M2+T2
5MK12=5M2+K2 3M2SN12=3M2+2S2+N2 6MSN12=6M2+S2-N2 4MST12=4M2+S2+T2 4MSK12=4M2+S2+K2
3(MS)12=3M2+3S2 3M2SK12=3M2+2S2+K2 5MSN14=5M2+S2+N2 5MNK14=5M2+N2+K2 6MS14=6M2+S2
2KMSN2=2K2+M2-S2-N2 2SNMK2=2S2+N2-M2-K2 M2KS2=M2+2K2-2S2 SM=S2-M2 LAMO1=LAM2-O1 3MS2=3M2-2S2
4MS4=4M2-2S2 K3=K2+K1 M2(KS)2=M2+2K2-2S2 2SN(MK)2=2S2+N2-M2-K2 2KM(SN)2=2K2+M2-S2-N2
3(SM)N2=3S2+N2-3M2 MPS2=M2+P1-S1 MSP2=M2-P1+S1 M(SK)2=M2+S1-K1 M(KS)2=M2+K1-S1 M5=2M2+M1
M7=3M2+M1 2MN8=2M2+2N2 2MS8=2M2+2S2
"""

_ALIASES = {
    "2(MN)8": "2MN8",
    "2(MS)8": "2MS8",
    "2MNLS6": "2MLNS6",
    "2N4": "N4",
    "E2": "EPS2",
    "EP2": "EPS2",
    "FI1": "PHI1",
    "KI1": "CHI1",
    "LA2": "LAM2",
    "LABDA2": "LAM2",
    "LABDAO1": "LAMO1",
    "LAMBDA2": "LAM2",
    "LAMBDAO1": "LAMO1",
    "LDA2": "LAM2",
    "MFM": "MTM",
    "MNUM": "MSM",
    "OO2": "OQ2",
    "RHO": "RHO1",
    "RO1": "RHO1",
    "SGM": "SIGMA1",
    "SIG1": "SIGMA1",
    "THE1": "THETA1",
    "TTA1": "THETA1",
}

_GREEK = {
    "\N{GREEK SMALL LETTER EPSILON}": "EPS",
    "\N{GREEK SMALL LETTER ETA}": "ETA",
    "\N{GREEK SMALL LETTER THETA}": "THETA",
    "\N{GREEK SMALL LETTER LAMDA}": "LAM",
    "\N{GREEK SMALL LETTER MU}": "MU",
    "\N{MICRO SIGN}": "MU",
    "\N{GREEK SMALL LETTER NU}": "NU",
    "\N{GREEK SMALL LETTER PI}": "PI",
    "\N{GREEK SMALL LETTER RHO}": "RHO",
    "\N{GREEK SMALL LETTER SIGMA}": "SIGMA",
    "\N{GREEK SMALL LETTER TAU}": "TAU",
    "\N{GREEK SMALL LETTER UPSILON}": "UPS",
    "\N{GREEK SMALL LETTER PHI}": "PHI",
    "\N{GREEK SMALL LETTER CHI}": "CHI",
    "\N{GREEK SMALL LETTER PSI}": "PSI",
}

_PART = re.compile(r"([+-]?)(\d*)([A-Z]+\d)")


@dataclass(frozen=True, slots=True, kw_only=True)
class Argument:
    """A fundamental constituent: its equilibrium argument and its node rule.

    Attributes
    ----------
    multiples
        Multiples of T, s, h, p and p1 [1].
    constant_deg
        Constant angle [°].
    rule
        Name of the node rule.
    """

    multiples: tuple[int, int, int, int, int]
    constant_deg: float
    rule: str

    def angle(self, at: Longitudes) -> float:
        """Return the argument V, or its speed when given rates without the constant [° or °/h]."""
        t, s, h, p, p1 = self.multiples
        return t * at.hour + s * at.moon + h * at.sun + p * at.perigee + p1 * at.perihelion


Parts = tuple[tuple[int, Argument], ...]


def _fundamental() -> dict[str, Argument]:
    table: dict[str, Argument] = {}
    for line in _FUNDAMENTAL.split("\n"):
        if not line:
            continue
        name, t, s, h, p, p1, constant, rule = line.split()
        multiples = (int(t), int(s), int(h), int(p), int(p1))
        table[name] = Argument(multiples=multiples, constant_deg=float(constant), rule=rule)
    return table


@cache
def _table() -> Mapping[str, Parts]:
    single = _fundamental()
    table: dict[str, Parts] = {name: ((1, argument),) for name, argument in single.items()}
    for entry in _COMPOUND.split():
        name, text = entry.split("=")
        table[name] = tuple(
            (int(f"{sign}{count or 1}"), single[part]) for sign, count, part in _PART.findall(text)
        )
    table.update({alias: table[name] for alias, name in _ALIASES.items()})
    return table


def canonical(name: str) -> str:
    """Return a constituent's name in capitals, Greek letters spelt out, without spaces."""
    text = "".join(_GREEK.get(letter, letter) for letter in name.strip().lower())
    return text.upper().replace(" ", "")


def known_constituents() -> tuple[str, ...]:
    """Return every name that can be used in constituents.csv, sorted, aliases included."""
    return tuple(sorted(_table()))


def nearest_name(name: str) -> str | None:
    """Return the known constituent whose name looks most like a given one, or None."""
    close = get_close_matches(canonical(name), known_constituents(), n=1, cutoff=0.5)
    return close[0] if close else None


def parts(name: str) -> Parts:
    """Return a constituent as multiples of fundamental ones.

    Raises
    ------
    ValueError
        If the name is not known; the message gives the nearest one.
    """
    found = _table().get(canonical(name))
    if found is None:
        near = nearest_name(name)
        hint = f"; did you mean {near}?" if near else ""
        msg = f"tidal constituent {name!r} is not known{hint}"
        raise ValueError(msg)
    return found


def speed_deg_h(name: str, at: Longitudes) -> float:
    """Return the speed of a constituent from the rates of the longitudes [°/h]."""
    return sum(count * argument.angle(at) for count, argument in parts(name))


def argument_deg(name: str, at: Longitudes) -> float:
    """Return the equilibrium argument V of a constituent, not reduced [°]."""
    return sum(
        count * (argument.angle(at) + argument.constant_deg) for count, argument in parts(name)
    )


def node_factor(name: str, factors: Mapping[str, NodeFactor]) -> NodeFactor:
    """Return node factor and angle of a constituent; factors of a compound multiply."""
    f, u = 1.0, 0.0
    for count, argument in parts(name):
        factor = factors[argument.rule]
        f *= factor.f ** abs(count)
        u += count * factor.u_deg
    return NodeFactor(f=f, u_deg=u)
