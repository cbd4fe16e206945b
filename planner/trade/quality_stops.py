"""Stops of the contract: which spells lie before a test or an inspection is met.

The stops are the contract's (``quality.hold``).  A flagged spell is not moved and no rule of the
plan is broken: what waits, and for how long, is for those who run the contract.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from planner.model.quality import Hold, Quality
from planner.trade.quality_trial import (
    PREFIX,
    Placed,
    Trial,
    TrialKind,
    hold_name,
)
from planner.trade.quality_verdict import Verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """A verdict on the outcome of a trial, and the day it is known from [min]."""

    at_min: int
    verdict: Verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class Stopped:
    """A spell that lies before a stop is met."""

    placed: Placed
    hold: Hold
    trial: str
    why: str


def stopped_spells(
    placed: Iterable[Placed],
    trials: Mapping[str, Trial],
    results: Mapping[str, Sequence[Result]],
    quality: Quality,
    *,
    day: Callable[[int], str],
) -> list[Stopped]:
    """Return the spells that lie before a stop of the contract is met, in time order.

    Parameters
    ----------
    trials, results
        By the trial's name; results in any order.
    day
        Writes the civil day of a minute.
    """
    found = []
    for one in sorted(placed, key=lambda one: (one.start_min, one.zone, one.layer)):
        if Hold.PANELS in quality.holds:
            name = hold_name(one.kind, quality)
            why = _unmet(one, name, trials.get(name), results.get(name, ()), day)
            if why:
                found.append(Stopped(placed=one, hold=Hold.PANELS, trial=name, why=why))
        if Hold.INSPECTION in quality.holds:
            name = f"{PREFIX[TrialKind.INSPECTION]}/{one.zone}"
            why = _unmet(one, name, None, results.get(name, ()), day)
            if why:
                found.append(Stopped(placed=one, hold=Hold.INSPECTION, trial=name, why=why))
        if Hold.FAILED in quality.holds:
            found += _after_failure(one, results, day)
    return found


def _unmet(
    one: Placed,
    name: str,
    trial: Trial | None,
    results: Sequence[Result],
    day: Callable[[int], str],
) -> str:
    """Return why a stop is not met at the start of a spell; empty: it is met."""
    known = [row for row in results if row.at_min <= one.start_min]
    if known:
        last = max(known, key=lambda row: row.at_min)
        if last.verdict is Verdict.MET:
            return ""
        return f"the result of {name} of {day(last.at_min)} says: {last.verdict}"
    if results:
        return f"the result of {name} is of {day(min(row.at_min for row in results))}, later"
    if trial is None or trial.due_min is None:
        return f"no result of {name} is entered"
    if trial.due_min > one.start_min:
        return f"the result of {name} is not due before {day(trial.due_min)}"
    return f"no result of {name}, due on {day(trial.due_min)}, is entered"


def _after_failure(
    one: Placed, results: Mapping[str, Sequence[Result]], day: Callable[[int], str]
) -> list[Stopped]:
    """Return the stop after production tests of the spell's crew and mix that miss the rule."""
    prefix = f"{PREFIX[TrialKind.PRODUCTION]}/{one.mix}/{one.crew}/"
    known = [
        (row.at_min, row.verdict is not Verdict.MISSED, name, row)
        for name, rows in results.items()
        if name.startswith(prefix)
        for row in rows
        if row.at_min <= one.start_min and row.verdict in {Verdict.MET, Verdict.MISSED}
    ]
    if not known:
        return []
    at, is_met, name, _ = min(known, key=lambda row: (-row[0], row[1], row[2]))
    if is_met:
        return []
    why = f"the latest result of crew {one.crew} with {one.mix}, {name} of {day(at)}, misses"
    return [Stopped(placed=one, hold=Hold.FAILED, trial=name, why=f"{why} the rule")]
