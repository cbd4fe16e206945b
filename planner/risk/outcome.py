"""What a study tells: odds of dates, money, what drives them, what to allow for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from planner.access.curve import Floats
from planner.core.clock import MINUTES_PER_DAY
from planner.plan.costs import cost
from planner.plan.measures import finish_min
from planner.risk.inputs import Driver
from planner.risk.study import OUTSIDE, Study

CHANCES = (0.1, 0.5, 0.8, 0.9)
"""Chances of the ladder of dates [1]."""


@dataclass(frozen=True, kw_only=True)
class Rung:
    """A chance, the finish that is kept with it, and the cost that is not passed with it.

    Finish in campaign minutes [min]; None: later than the calendar goes.
    """

    chance: float
    finish_min: float | None
    cost: float


@dataclass(frozen=True, kw_only=True)
class Due:
    """The chance that a zone is done by the end of its due day."""

    zone: str
    due_min: int
    planned_min: int
    chance: float
    likely_min: float | None


@dataclass(frozen=True, kw_only=True)
class Drive:
    """How much a driver matters.

    Attributes
    ----------
    drivers
        The driver; several: all that come from outside.
    rank_correlation
        Spearman's, between the driver's figure and the finish [1]; None: one of them is constant.
    days
        The finish at the confidence comes this much earlier without it [d].
    spread_share
        Share of the finish's variance that goes with it, of the runs that were ended [1].
    """

    drivers: tuple[Driver, ...]
    rank_correlation: float | None
    days: float | None
    spread_share: float | None


@dataclass(frozen=True, kw_only=True)
class Reserve:
    """What to allow for at a confidence [d]; None: the calendar does not go as far.

    Attributes
    ----------
    confidence
        Chance that is wanted [1].
    buffer_days
        From the planned finish to the one that is kept with that chance.
    weather_days
        The part of it that goes with water and weather.
    cost
        From the planned cost to the one that is not passed with that chance [money].
    """

    confidence: float
    buffer_days: float | None
    weather_days: float | None
    cost: float


def ladder(study: Study, chances: Sequence[float] = CHANCES) -> list[Rung]:
    """Return dates and costs with their odds, the least first."""
    lives = study.lives
    return [
        Rung(
            chance=chance,
            finish_min=_finite(quantile(lives.finish_min, chance)),
            cost=quantile(lives.cost, chance),
        )
        for chance in sorted(chances)
    ]


def dues(study: Study, *, chance: float = 0.8) -> list[Due]:
    """Return the odds of every due date, in the order of the dates."""
    zones = {str(zone.zone_id): zone for zone in study.campaign.zones}
    planned: dict[str, int] = {}
    for spell in study.plan.spells:
        planned[spell.zone] = max(spell.end_min, planned.get(spell.zone, 0))
    found = []
    for column, name in enumerate(study.zones):
        due = zones[name].due_min
        if due is not None:
            ends = study.lives.zone_min[:, column]
            found.append(
                Due(
                    zone=name,
                    due_min=due,
                    planned_min=planned[name],
                    chance=float(np.mean(ends <= due)),
                    likely_min=_finite(quantile(ends, chance)),
                )
            )
    return sorted(found, key=lambda row: (row.due_min, row.zone))


def all_due_chance(study: Study) -> float | None:
    """Return the chance that every due date is met [1]; None: there is none."""
    zones = {str(zone.zone_id): zone for zone in study.campaign.zones}
    limits = np.array([zones[name].due_min or np.inf for name in study.zones])
    if not np.isfinite(limits).any():
        return None
    return float(np.mean((study.lives.zone_min <= limits).all(axis=1)))


def drives(study: Study, *, confidence: float) -> list[Drive]:
    """Return what drives the finish, the strongest first."""
    few = next(iter(study.without.values())).finish_min.size if study.without else 0
    whole = study.lives.finish_min[:few]
    found = []
    for drivers, lives in study.without.items():
        score = study.lives.scores[drivers[0]] if len(drivers) == 1 else None
        found.append(
            Drive(
                drivers=drivers,
                rank_correlation=None
                if score is None
                else rank_correlation(score, study.lives.finish_min),
                days=_days_between(lives.finish_min, whole, confidence),
                spread_share=_spread_share(lives.finish_min, whole),
            )
        )
    return sorted(found, key=lambda row: -(row.days if row.days is not None else 1e9))


def reserve(study: Study, *, confidence: float) -> Reserve:
    """Return the buffer behind the plan that a confidence asks for."""
    planned = finish_min(study.plan) or 0
    wanted = _finite(quantile(study.lives.finish_min, confidence))
    outside = tuple(driver for driver in study.drivers if driver in OUTSIDE)
    weather: float | None = 0.0
    if outside:
        lives = study.without[outside]
        whole = study.lives.finish_min[: lives.finish_min.size]
        weather = _days_between(lives.finish_min, whole, confidence)
    return Reserve(
        confidence=confidence,
        buffer_days=None if wanted is None else (wanted - planned) / MINUTES_PER_DAY,
        weather_days=weather,
        cost=quantile(study.lives.cost, confidence) - cost(study.campaign, study.plan),
    )


def quantile(values: Floats, chance: float) -> float:
    """Return the least of the values that a share of them does not pass.

    Never between two runs, so that runs without an end (inf) do no harm.
    """
    return float(np.quantile(values, chance, method="inverted_cdf"))


def rank_correlation(one: Floats, other: Floats) -> float | None:
    """Return Spearman's rank correlation, ties sharing their mean rank [1]; None: no spread."""
    first, second = _ranks(one), _ranks(other)
    first, second = first - first.mean(), second - second.mean()
    spread = float(np.sqrt((first @ first) * (second @ second)))
    return float(first @ second) / spread if spread > 0.0 else None


def _ranks(values: Floats) -> Floats:
    _, place, count = np.unique(values, return_inverse=True, return_counts=True)
    last = np.cumsum(count)
    return np.asarray((last - 0.5 * (count - 1))[place], dtype=float)


def _finite(value: float) -> float | None:
    return value if np.isfinite(value) else None


def _days_between(earlier: Floats, later: Floats, chance: float) -> float | None:
    first, last = quantile(earlier, chance), quantile(later, chance)
    if not np.isfinite(first) or not np.isfinite(last):
        return None
    return (last - first) / MINUTES_PER_DAY


def _spread_share(without: Floats, whole: Floats) -> float | None:
    both = np.isfinite(without) & np.isfinite(whole)
    if np.count_nonzero(both) < 2:
        return None
    spread = float(np.var(whole[both]))
    return 1.0 - float(np.var(without[both])) / spread if spread > 0.0 else None
