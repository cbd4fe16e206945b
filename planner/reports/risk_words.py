"""What a study of risk tells, in sentences."""

from __future__ import annotations

import numpy as np

from planner.plan.costs import cost
from planner.plan.measures import finish_min
from planner.reports.labels import count, money
from planner.risk.inputs import DRIVERS, RULES, Driver
from planner.risk.outcome import Drive, all_due_chance, ladder, reserve
from planner.risk.study import Study

NOT_DRAWN = {
    Driver.GROWTH: "growth.area and growth.depth",
    Driver.RATE: "rate.factor",
    Driver.REBOUND: "rebound.factor",
    Driver.BREAKDOWN: "breakdown.hours_between",
    Driver.LATE: "late.start_min",
    Driver.PANELS: "panels.fail, where the plan has panels",
    Driver.SURGE: "surge.residual, a gauge's residual from ebbwork tide residual",
    Driver.WEATHER: "weather.lost, or weather_allowance.csv",
}
"""What would have to be given in risk.toml for a driver to be drawn."""


def in_hundred(chance: float) -> str:
    """Return a chance as so many in 100, never 0 or 100 unless it is.

    Examples
    --------
    >>> in_hundred(0.8), in_hundred(0.999), in_hundred(0.0)
    ('80 in 100', 'over 99 in 100', '0 in 100')
    """
    whole = round(100.0 * chance)
    if whole == 100 and chance < 1.0:
        return "over 99 in 100"
    if whole == 0 and chance > 0.0:
        return "under 1 in 100"
    return f"{whole} in 100"


def day(study: Study, minute: float | None) -> str:
    """Return a minute as a day in words."""
    if minute is None:
        return f"later than {study.longer.clock.last_day:%a %d %b %Y}"
    return f"{study.longer.clock.local(int(minute)):%a %d %b %Y}"


def headline(study: Study) -> str:
    """Return the plan's own finish with its chance."""
    planned = finish_min(study.plan) or 0
    end = study.longer.clock.day_end(study.longer.clock.day(planned - 1))
    chance = float(np.mean(study.lives.finish_min <= end))
    return (
        f"The plan ends on {day(study, planned - 1)}; the chance to be done by the end of that"
        f" day is {in_hundred(chance)}."
    )


def rungs(study: Study) -> list[str]:
    """Return the ladder of dates, a sentence a rung."""
    planned_cost = cost(study.campaign, study.plan)
    found = []
    for rung in ladder(study):
        text = f"{in_hundred(rung.chance)}: done by {day(study, rung.finish_min)}"
        if planned_cost > 0.0:
            text += f", for at most {money(rung.cost)} (each by itself)"
        found.append(f"{text}.")
    return found


def due_sentence(study: Study) -> str | None:
    """Return the chance that every due date is met; None where there is none."""
    chance = all_due_chance(study)
    if chance is None:
        return None
    return f"Every due date is met with a chance of {in_hundred(chance)}."


def reserve_sentence(study: Study, confidence: float) -> str:
    """Return the buffer and the weather allowance for a confidence."""
    kept = reserve(study, confidence=confidence)
    sure = f"To be sure in {in_hundred(confidence)}"
    if kept.buffer_days is None:
        return f"{sure}, the time that was looked at does not suffice."
    text = f"{sure}, keep {_days(kept.buffer_days)} behind the planned finish"
    if kept.weather_days is not None and {Driver.SURGE, Driver.WEATHER} & set(study.drivers):
        text += f", {_days(kept.weather_days)} of them for water and weather"
    if cost(study.campaign, study.plan) > 0.0:
        text += f", and {money(kept.cost)} of money"
    return f"{text}."


def drive_sentence(row: Drive, confidence: float) -> str:
    """Return how much a driver matters."""
    name = " and ".join(DRIVERS[driver] for driver in row.drivers)
    if row.days is None:
        return f"{name}: without it, too, the time looked at does not suffice"
    return f"{name}: without it, {in_hundred(confidence)} come {_days(row.days)} earlier"


def what_was_drawn(study: Study) -> list[str]:
    """Return how the study was made: runs, rule, drivers, and what was left as planned."""
    settings = study.settings
    drawn = "; ".join(DRIVERS[driver] for driver in study.drivers) or "nothing"
    left = [
        f"{DRIVERS[driver]} ({NOT_DRAWN[driver]})"
        for driver in Driver
        if driver not in study.drivers
    ]
    made = f"{settings.runs} lives of the plan, seed {settings.seed}."
    rule = f"Rule {settings.rule}: {RULES[settings.rule]}."
    found = [made, rule, f"Drawn: {drawn}."]
    if left:
        found.append(f"As planned, because nothing is given: {'; '.join(left)}.")
    unfinished = int(np.count_nonzero(~np.isfinite(study.lives.finish_min)))
    if unfinished:
        found.append(
            f"{unfinished} of the {settings.runs} were not done by"
            f" {study.longer.clock.last_day:%a %d %b %Y}, the last day that was looked at."
        )
    return found


def _days(days: float) -> str:
    whole = round(days)
    if whole == 0 and days > 0.0:
        return "less than a day"
    return count(whole, "day")
