r"""Harmonic analysis: from a level series to constituents, by least squares.

The waves are those of the prediction (``tide``): Schureman's arguments, node factors at the
middle of each calendar year, phases as Greenwich lags for UTC, so that what is found here is
predicted again without any turning of phases.  A wave is looked for when the record is long
enough to tell it from every more important one and from the mean (Rayleigh: the speeds differ
by about a whole turn over the record).  A few waves that a short record cannot tell from a larger
neighbour are taken in that neighbour's ratio of the equilibrium tide, with its lag.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import numpy as np

from planner.access.astronomy import longitudes, node_factors, rates
from planner.access.constituents import argument_deg, node_factor, speed_deg_h
from planner.access.curve import Floats
from planner.model.water import Constituent

# The 37 of the American tables and common shallow-water waves, the most important first
# (equilibrium tide, then what coastal analyses usually find; common practice).
_FIRST = """
M2 K1 S2 O1 N2 M4 MS4 K2 P1 Q1 NU2 MU2 L2 SA MN4 M6 2MS6 MK3 SSA T2 MF MM MSF J1 OO1 2N2 LAM2 S4
RHO1 M1 2MK3 M8 2SM2 M3 2MN6 2Q1 S1 R2 S6
"""
_FURTHER = """
MKS2 MSN2 MSN6 2SM6 MSK6 3MS4 2SMN4 MK4 SN4 SK4 SK3 SO3 EPS2 3MS8 2MSN8 2MN8 2(MS)8 3MN4 MNU4
4MS6 2MK5 2MO5 MSO5 3MKS2 3MS2 OQ2 KJ2 SIGMA1 PI1 PHI1 PSI1 CHI1 THETA1 M10 4MS10
3M2S10 M12 4M2S12 3MSN10
"""
_SHORT_DAYS = 180.0  # a shorter record gives further waves little but noise (our choice)

# Ratios of the equilibrium tide: coefficients of Schureman 1940, table 2 (from memory).
_RATIOS = {"P1": ("K1", 0.331), "K2": ("S2", 0.272), "NU2": ("N2", 0.194), "T2": ("S2", 0.059)}

_TURN_DEG = 0.95 * 360.0  # a year less some days is a year (common practice: 0.9 to 1.1)

LEAST_DAYS = 14.8
"""Shortest record [d]: M2 and S2 are told apart over a spring and a neap."""

STEP_MOST_MIN = 90.0
"""Widest usual step [min]: the eighth-diurnal waves take 3 h (our choice)."""

_CHUNK = 8192
_Factors = tuple[Floats, Floats, Floats]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Fit:
    """What an analysis found.

    Attributes
    ----------
    constituents
        Waves, the largest first.
    mean_m
        Mean level above the zero of the series [m].
    residual_m
        Series minus fitted tide, mean taken off, one for each point [m].
    inferred
        Names that were taken in the ratio of a neighbour.
    left_out
        Names that the record is too short to tell apart, nor could be inferred.
    """

    constituents: tuple[Constituent, ...]
    mean_m: float
    residual_m: Floats
    inferred: tuple[str, ...]
    left_out: tuple[str, ...]


def analyse(minutes: Floats, levels_m: Floats, *, epoch_utc: datetime) -> Fit:
    """Return the constituents of a level series.

    Parameters
    ----------
    minutes
        Times after the epoch, in order; gaps do no harm [min].
    levels_m
        Levels then [m].
    epoch_utc
        The epoch.

    Raises
    ------
    ValueError
        If the record is shorter than ``LEAST_DAYS``, too coarse, or has too few points.
    """
    days = float(minutes[-1] - minutes[0]) / 1440.0 if minutes.size else 0.0
    if days < LEAST_DAYS:
        msg = (
            f"the series covers {days:.1f} days; at least {LEAST_DAYS:g} are needed, a spring and"
            " a neap tide, and a year for a plan of a year"
        )
        raise ValueError(msg)
    step_min = float(np.median(np.diff(minutes)))
    if step_min > STEP_MOST_MIN:
        msg = (
            f"the levels lie {step_min:.0f} min apart; an analysis needs hourly levels or closer"
            " ones (high and low waters alone do not tell the shape of a tide)"
        )
        raise ValueError(msg)
    middle = epoch_utc + timedelta(minutes=float(minutes[0] + minutes[-1]) / 2)
    asked = (_FIRST + (_FURTHER if days >= _SHORT_DAYS else "")).split()
    names = _told_apart(asked, hours=24.0 * days, middle=middle)
    inferred = tuple(
        name for name, (near, _) in _RATIOS.items() if name not in names and near in names
    )
    if minutes.size < 2 * (2 * len(names) + 1):
        msg = (
            f"the series has {minutes.size} points; {2 * (2 * len(names) + 1)} are needed for"
            f" {len(names)} constituents: give hourly levels, or closer ones"
        )
        raise ValueError(msg)
    basis = _Basis(names, inferred, epoch_utc)
    solution = _solved(basis, minutes, levels_m)
    residual = np.concatenate(
        [levels_m[part] - columns @ solution for part, columns in basis.parts(minutes)]
    )
    return Fit(
        constituents=_waves(names, inferred, solution),
        mean_m=float(solution[0]),
        residual_m=residual,
        inferred=inferred,
        left_out=tuple(name for name in asked if name not in {*names, *inferred}),
    )


def _told_apart(asked: Sequence[str], *, hours: float, middle: datetime) -> list[str]:
    """Return the names that a record can tell from the mean and from those before them."""
    rate = rates(middle)
    names: list[str] = []
    speeds = [0.0]
    for name in asked:
        speed = speed_deg_h(name, rate)
        if min(abs(speed - other) for other in speeds) * hours >= _TURN_DEG:
            names.append(name)
            speeds.append(speed)
    return names


class _Basis:
    """The waves of unit amplitude, a cosine and a sine for each."""

    def __init__(self, names: Sequence[str], inferred: Sequence[str], epoch_utc: datetime) -> None:
        self._names = [*names, *inferred]
        self._own = len(names)
        self._onto = [(names.index(_RATIOS[name][0]), _RATIOS[name][1]) for name in inferred]
        self._epoch = epoch_utc
        self._years: dict[int, tuple[float, _Factors]] = {}

    def parts(self, minutes: Floats) -> Iterator[tuple[slice, Floats]]:
        """Yield slices of the times with the columns: 1, cosines, sines."""
        start = 0
        while start < minutes.size:
            year = (self._epoch + timedelta(minutes=float(minutes[start]))).year
            ends = (datetime(year + 1, 1, 1, tzinfo=UTC) - self._epoch).total_seconds() / 60.0
            last = int(np.searchsorted(minutes, ends, side="left"))
            end = max(start + 1, min(last, start + _CHUNK))
            yield slice(start, end), self._columns(minutes[start:end], year)
            start = end

    def _columns(self, minutes: Floats, year: int) -> Floats:
        middle, (f, speed, phase) = self._factors(year)
        angles = np.outer(minutes - middle, speed) + phase
        cosines, sines = f * np.cos(angles), f * np.sin(angles)
        for k, (onto, ratio) in enumerate(self._onto):
            cosines[:, onto] += ratio * cosines[:, self._own + k]
            sines[:, onto] += ratio * sines[:, self._own + k]
        ones = np.ones((minutes.size, 1))
        return np.hstack((ones, cosines[:, : self._own], sines[:, : self._own]))

    def _factors(self, year: int) -> tuple[float, _Factors]:
        if year not in self._years:
            start, end = datetime(year, 1, 1, tzinfo=UTC), datetime(year + 1, 1, 1, tzinfo=UTC)
            middle = start + (end - start) / 2
            at, rate, factors = longitudes(middle), rates(middle), node_factors(middle)
            nodes = [node_factor(name, factors) for name in self._names]
            turn = [argument_deg(name, at) % 360.0 for name in self._names]
            self._years[year] = (
                (middle - self._epoch).total_seconds() / 60.0,
                (
                    np.array([node.f for node in nodes]),
                    np.radians([speed_deg_h(name, rate) for name in self._names]) / 60.0,
                    np.radians(np.array(turn) + [node.u_deg for node in nodes]),
                ),
            )
        return self._years[year]


def _solved(basis: _Basis, minutes: Floats, levels_m: Floats) -> Floats:
    """Return mean, cosine and sine amplitudes by the normal equations, year by year."""
    left: Floats | None = None
    right: Floats | None = None
    for part, columns in basis.parts(minutes):
        square, product = columns.T @ columns, columns.T @ levels_m[part]
        left = square if left is None else left + square
        right = product if right is None else right + product
    if left is None or right is None:
        msg = "no points to analyse"
        raise ValueError(msg)
    return np.asarray(np.linalg.solve(left, right), dtype=float)


def _waves(
    names: Sequence[str], inferred: Sequence[str], solution: Floats
) -> tuple[Constituent, ...]:
    count = len(names)
    cosine, sine = solution[1 : count + 1], solution[count + 1 :]
    found = [
        Constituent(
            name=name,
            amplitude_m=float(np.hypot(cosine[k], sine[k])),
            phase_deg=float(np.degrees(np.arctan2(sine[k], cosine[k])) % 360.0),
        )
        for k, name in enumerate(names)
    ]
    by_name = {wave.name: wave for wave in found}
    for name in inferred:
        near, ratio = _RATIOS[name]
        wave = by_name[near]
        found.append(
            Constituent(name=name, amplitude_m=ratio * wave.amplitude_m, phase_deg=wave.phase_deg)
        )
    return tuple(sorted(found, key=lambda wave: (-wave.amplitude_m, wave.name)))
