"""What the rule says of test results, with its numbers: never more than that.

The rule of ACI 506.2 for a set of cores (as the American Shotcrete Association states it): the
mean is at least 85 % of the specified strength, and none is below 75 %.  For bond every pull
reaches the specified bond.  A verdict here is arithmetic; what follows from it the engineer says.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from planner.core.clock import MINUTES_PER_DAY
from planner.model.quality import Outcome, Quality
from planner.trade.quality_trial import Trial, TrialKind

NOISE = 1e-9
DEFERS = "What follows from it is for the engineer."


class Verdict(StrEnum):
    """How results stand to the rule."""

    OPEN = "open"
    MET = "rule met"
    MISSED = "rule missed"
    INCOMPLETE = "incomplete"
    EARLY = "too early"
    NO_RULE = "no rule"


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """What the rule says of one outcome, and why."""

    verdict: Verdict
    sentence: str


def judge(trial: Trial, outcome: Outcome, quality: Quality) -> Judged:
    """Return what the rule says of the outcome of a trial."""
    if trial.kind is TrialKind.INSPECTION or not outcome.values_mpa:
        return _of_inspection(outcome)
    asked = trial.specified_mpa
    if asked is None:
        return Judged(
            verdict=Verdict.NO_RULE,
            sentence=f"{_mean_words(outcome.values_mpa)}; no specified strength is given"
            " (quality.strength_mpa), so no rule is applied.",
        )
    if trial.kind is TrialKind.BOND:
        found = bond_verdict(outcome.values_mpa, asked_mpa=asked)
    else:
        found = strength_verdict(
            outcome.values_mpa,
            specified_mpa=asked,
            mean_factor=quality.mean_factor,
            single_factor=quality.single_factor,
        )
    return _with_age(trial, outcome, _with_count(trial, outcome, found))


def _of_inspection(outcome: Outcome) -> Judged:
    if outcome.is_met is None:
        return Judged(
            verdict=Verdict.INCOMPLETE, sentence="Neither values nor yes or no are given."
        )
    word = "met" if outcome.is_met else "not met"
    verdict = Verdict.MET if outcome.is_met else Verdict.MISSED
    return Judged(verdict=verdict, sentence=f"Entered as {word}. {DEFERS}")


def strength_verdict(
    values_mpa: Sequence[float], *, specified_mpa: float, mean_factor: float, single_factor: float
) -> Judged:
    """Return what the rule of mean and single values says of a set of strengths.

    Any unit will do, if all are in it.

    Examples
    --------
    >>> print(
    ...     strength_verdict(
    ...         (36.0, 31.0, 44.0), specified_mpa=42.0, mean_factor=0.85, single_factor=0.75
    ...     ).sentence
    ... )
    mean 37.0 MPa = 0.881 f'c >= 0.85 f'c: meets the rule; least single 31.0 MPa = 0.738 f'c < \
0.75 f'c: misses the rule (f'c = 42 MPa). What follows from it is for the engineer.
    """
    mean, least = sum(values_mpa) / len(values_mpa), min(values_mpa)
    parts, is_met = [], True
    for name, value, factor in (
        ("mean", mean, mean_factor),
        ("least single", least, single_factor),
    ):
        holds = value >= factor * specified_mpa - NOISE
        is_met = is_met and holds
        share = _beside(value / specified_mpa, factor)
        parts.append(
            f"{name} {value:.1f} MPa = {share} f'c {'>=' if holds else '<'} {factor:g} f'c:"
            f" {'meets' if holds else 'misses'} the rule"
        )
    return Judged(
        verdict=Verdict.MET if is_met else Verdict.MISSED,
        sentence=f"{'; '.join(parts)} (f'c = {specified_mpa:g} MPa). {DEFERS}",
    )


def _beside(value: float, limit: float) -> str:
    """Return a share with as many decimals as tell it from its limit, three at least."""
    decimals = 3
    while abs(value - limit) > NOISE and float(f"{value:.{decimals}f}") == limit:
        decimals += 1
    return f"{value:.{decimals}f}"


def bond_verdict(values_mpa: Sequence[float], *, asked_mpa: float) -> Judged:
    """Return what the rule says of a set of pulls: none below the bond asked for."""
    least = min(values_mpa)
    holds = least >= asked_mpa - NOISE
    share = _beside(least, asked_mpa)
    return Judged(
        verdict=Verdict.MET if holds else Verdict.MISSED,
        sentence=f"least pull {share} MPa {'>=' if holds else '<'} {asked_mpa:g} MPa:"
        f" {'meets' if holds else 'misses'} the rule; {_mean_words(values_mpa)}. {DEFERS}",
    )


def _mean_words(values_mpa: Sequence[float]) -> str:
    mean = sum(values_mpa) / len(values_mpa)
    values = f"{len(values_mpa)} values" if len(values_mpa) > 1 else "1 value"
    return f"mean {mean:.1f} MPa of {values}"


def _with_count(trial: Trial, outcome: Outcome, found: Judged) -> Judged:
    """Return the verdict, or that values are missing to a set that has missed nothing yet."""
    has = len(outcome.values_mpa)
    if has >= trial.pieces or found.verdict is not Verdict.MET:
        return found
    return Judged(
        verdict=Verdict.INCOMPLETE,
        sentence=f"{has} of {trial.pieces} values; so far: {found.sentence}",
    )


def _with_age(trial: Trial, outcome: Outcome, found: Judged) -> Judged:
    """Return the verdict, or that the test came before the age that the rule is for."""
    if trial.made_min is None or trial.age_d is None or outcome.at_min < trial.made_min:
        return found
    age_d = -(-(outcome.at_min - trial.made_min) // MINUTES_PER_DAY)
    if age_d >= trial.age_d:
        return found
    return Judged(
        verdict=Verdict.EARLY,
        sentence=f"tested at {age_d} d, and the rule is for {trial.age_d:g} d; {found.sentence}",
    )
