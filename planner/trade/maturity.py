r"""Maturity: how far a mix has come at the temperatures it met (form of ASTM C1074).

Two indices.  Nurse-Saul, a sum of degree-hours above a datum,

.. math:: M = \sum \max(0, T - T_0)\,\Delta t

and the equivalent age at a reference temperature, by Arrhenius,

.. math:: t_e = \sum \exp\left[-\frac{E}{R}\left(\frac{1}{273.15 + T}
   - \frac{1}{273.15 + T_r}\right)\right]\Delta t,\quad R = 8.314\ \text{J/(mol K)}

Both need a calibration for the mix before they say anything of its strength, so what is made of
them here only warns (docs/work_chain.md).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

GAS_J_MOL_K = 8.314
"""Gas constant as practice notes on ASTM C1074 give it [J/(mol K)]."""
KELVIN = 273.15
REFERENCE_C = 20.0
"""Reference temperature of equivalent age; 23 °C in older American practice, from memory."""
COLDEST_C, WARMEST_C = 5.0, 35.0
"""Between these the rate is taken to follow Arrhenius; outside, ask the maker (common practice:
5 °C is where UFGS 03371 stops spraying, 38 °C the warmest mix)."""

Step = tuple[float, float]
"""Hours, and the temperature that prevailed in them [h, °C]."""


def nurse_saul_c_h(steps: Iterable[Step], *, datum_c: float = 0.0) -> float:
    """Return the Nurse-Saul maturity of a temperature history [°C h].

    Parameters
    ----------
    steps
        Hours and their temperature.
    datum_c
        Below it maturity does not grow [°C].

    Examples
    --------
    >>> nurse_saul_c_h([(6, 25.0), (6, 18.0), (12, 12.0)])
    402.0
    """
    return sum(hours * max(0.0, celsius - datum_c) for hours, celsius in steps)


def rate_factor(
    celsius: float, *, activation_j_mol: float, reference_c: float = REFERENCE_C
) -> float:
    """Return how fast a mix ages at a temperature, as a share of the reference's pace [1].

    Examples
    --------
    >>> round(rate_factor(10.0, activation_j_mol=33_500.0), 3)
    0.615
    """
    apart = 1.0 / (KELVIN + celsius) - 1.0 / (KELVIN + reference_c)
    return math.exp(-activation_j_mol / GAS_J_MOL_K * apart)


def equivalent_age_h(
    steps: Iterable[Step], *, activation_j_mol: float, reference_c: float = REFERENCE_C
) -> float:
    """Return the age at the reference temperature that equals a temperature history [h].

    Examples
    --------
    >>> history = [(6, 25.0), (6, 18.0), (12, 12.0)]
    >>> round(equivalent_age_h(history, activation_j_mol=33_500.0), 3)
    21.175
    """
    return sum(
        hours * rate_factor(celsius, activation_j_mol=activation_j_mol, reference_c=reference_c)
        for hours, celsius in steps
    )


def hours_to_age(
    age_h: float,
    steps: Sequence[Step],
    *,
    activation_j_mol: float,
    reference_c: float = REFERENCE_C,
) -> float | None:
    """Return how long a history takes to reach an equivalent age [h]; None: it does not.

    Examples
    --------
    >>> round(hours_to_age(8.0, [(48, 10.0)], activation_j_mol=33_500.0), 2)
    13.0
    """
    reached = passed = 0.0
    for hours, celsius in steps:
        pace = rate_factor(celsius, activation_j_mol=activation_j_mol, reference_c=reference_c)
        if reached + hours * pace >= age_h:
            return passed + (age_h - reached) / pace
        reached += hours * pace
        passed += hours
    return None


def is_within(steps: Iterable[Step]) -> bool:
    """Return whether every temperature lies where the formulas are taken to hold."""
    return all(COLDEST_C <= celsius <= WARMEST_C for _, celsius in steps)


def mean_c(steps: Iterable[Step]) -> float:
    """Return the mean temperature of a history, 0 for none [°C].

    Examples
    --------
    >>> mean_c([(1, 10.0), (3, 20.0)])
    17.5
    """
    seen = list(steps)
    hours = sum(step[0] for step in seen)
    return sum(step[0] * step[1] for step in seen) / hours if hours else 0.0


def first_hours(steps: Iterable[Step], hours: float) -> list[Step]:
    """Return the first hours of a history.

    Examples
    --------
    >>> first_hours([(2, 10.0), (3, 20.0)], 2.5)
    [(2, 10.0), (0.5, 20.0)]
    """
    kept: list[Step] = []
    left = hours
    for length, celsius in steps:
        if left <= 0.0:
            break
        kept.append((min(length, left), celsius))
        left -= length
    return kept
