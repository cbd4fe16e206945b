"""Do windows and finishes come as often as promised?  On years that the model has not seen.

``python -m tests.benchmarks.risk_calibration TIDES [--days N]`` with the folder of reference tides
(../shared/reference/tides).  Constituents and residual of Vlissingen are worked out from the
hourly levels of the first years; the later ones are then lived: every window, and one invented
small campaign after the other, planned on the prediction and run on the water that really came.
Only the water is drawn.  ``docs/risk.md`` keeps what was found.
"""

from __future__ import annotations

import argparse
import csv
import sys
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import numpy as np

from planner.access.allowance import Need, Observed, held
from planner.access.curve import Floats
from planner.access.harmonic import analyse
from planner.access.residual import Residual, fit_residual
from planner.access.tide import TideLevel
from planner.core.clock import Clock
from planner.core.progress import silent
from planner.model.campaign import Campaign
from planner.model.identifiers import Orientation
from planner.model.water import Constituent, Water, WaterKind
from planner.optimise.engine import NoPlanInTimeError, Settings, optimise
from planner.risk.inputs import RiskInputs, Rule
from planner.risk.outcome import quantile
from planner.risk.study import Bench
from planner.risk.surge import months_of_hours, residual_courses
from tests import builders

FILE = "rws_vlissingen_observed_hourly_2009_2012.csv"
START = datetime(2008, 12, 31, 23, tzinfo=UTC)
LIMIT_M = -0.5
RUNS = 500
CHANCE = 0.8


@dataclass(frozen=True, kw_only=True)
class Model:
    """What the first years tell: constituents, mean level, residual; hours fitted."""

    constituents: tuple[Constituent, ...]
    mean_m: float
    residual: Residual
    hours: int


def levels_m(folder: Path) -> Floats:
    """Return the hourly levels [m above NAP]."""
    with (folder / FILE).open(encoding="utf-8") as stream:
        rows = csv.DictReader(line for line in stream if not line.startswith("#"))
        return np.array([float(row["level_cm"]) for row in rows]) / 100.0


def model_of(levels: Floats, *, until: datetime) -> Model:
    """Return what the levels until a time tell."""
    hours = int((until - START).total_seconds() // 3600)
    minutes: Floats = np.arange(hours, dtype=np.float64) * 60.0
    fit = analyse(minutes, levels[:hours], epoch_utc=START)
    months = np.array([(START + timedelta(hours=k)).month for k in range(hours)])
    return Model(
        constituents=fit.constituents,
        mean_m=fit.mean_m,
        residual=fit_residual(fit.residual_m, months),
        hours=hours,
    )


def windows(model: Model, levels: Floats, *, allowance_m: float) -> tuple[int, float, float]:
    """Return the windows of the years not seen, the share promised and the share that held."""
    source = TideLevel(model.constituents, mean_m=model.mean_m, epoch_utc=START)
    minutes: Floats = np.arange(model.hours, levels.size, dtype=np.float64) * 60.0
    curve = source.curve(float(minutes[0]), float(minutes[-1]))
    need = Need(limit_m=LIMIT_M, least_min=120, get_in_min=20.0, get_out_min=20.0)
    seen = Observed.beside(source, minutes, levels[model.hours :])
    planned, good = held(curve, seen, need, allowance_m=allowance_m)
    months = np.array([(START + timedelta(minutes=float(at))).month for at in minutes])
    drawn = residual_courses(model.residual, months, 40, np.random.default_rng(1))
    predicted = source.level_m(minutes)
    promised = [
        held(
            curve,
            Observed.beside(source, minutes, predicted + course),
            need,
            allowance_m=allowance_m,
        )[1].mean()
        for course in drawn
    ]
    return int(planned.starts.size), float(np.mean(promised)), float(good.mean())


def campaign(model: Model, first: date, *, allowance_m: float) -> Campaign:
    """Return an invented job of a week or two on the shore of that day."""
    clock = Clock(
        time_zone="Europe/Amsterdam", first_day=first, last_day=first + timedelta(days=27)
    )
    horizon = clock.horizon_min
    water = Water(
        kind=WaterKind.TIDE,
        constituents=model.constituents,
        mean_level_m=model.mean_m,
        allowance_m=allowance_m,
        allowance_low_m=allowance_m,
    )
    zones = tuple(
        builders.zone(
            f"Z{k}",
            water_max_m=LIMIT_M + 0.25 * (k % 3),
            depth_mm=80.0,
            area_m2=22.0 + 3 * (k % 4),
            orientation=Orientation.VERTICAL,
            joint_allowed=k % 2 == 0,
        )
        for k in range(10)
    )
    return builders.campaign(
        clock=clock,
        water=water,
        zones=zones,
        rigs=(builders.rig(available_to_min=horizon),),
        crews=(builders.crew(available_to_min=horizon),),
        mixes=(builders.mix(orientation=Orientation.VERTICAL, rebound=0.3),),
        rules=builders.campaign().rules,
    )


@dataclass(frozen=True, kw_only=True)
class Told:
    """One campaign: shares promised and come, for its windows and for its P80 finish."""

    outings: int
    held_promised: float
    held_came: float
    finish_promised: float
    finish_came: bool


def lived(model: Model, levels: Floats, first: date, *, allowance_m: float) -> Told | None:
    """Return what was promised of a campaign and what came; None: no plan, or no levels."""
    job = campaign(model, first, allowance_m=allowance_m)
    try:
        plan, _ = optimise(job, settings=Settings(effort=0.002, seconds=20.0), listener=silent)
    except NoPlanInTimeError:
        return None
    bench = Bench(job, plan, RiskInputs(), seed=1)
    months = months_of_hours(bench.calendar.clock)
    hours = months.size
    rng = np.random.default_rng(first.toordinal())
    courses = residual_courses(model.residual, months, RUNS, rng)
    draws = replace(bench.chance.block(0).first(RUNS), residual_m=courses)
    promised = bench.live(draws, Rule.NEXT)
    at = int((job.clock.epoch_utc - START).total_seconds() // 3600)
    if at + hours > levels.size:
        return None
    source = TideLevel(
        model.constituents, mean_m=model.mean_m, epoch_utc=bench.calendar.clock.epoch_utc
    )
    at_hours: Floats = np.arange(hours, dtype=np.float64) * 60.0
    predicted = source.level_m(at_hours)
    true = replace(draws.first(1), residual_m=(levels[at : at + hours] - predicted)[None, :])
    came = bench.live(true, Rule.NEXT)
    limit = quantile(promised.finish_min, CHANCE)
    count = len(bench.outings)
    return Told(
        outings=count,
        held_promised=float(promised.tally.held.sum()) / RUNS / count,
        held_came=float(came.tally.held.sum()) / count,
        finish_promised=float(np.mean(promised.finish_min <= limit)),
        finish_came=bool(came.finish_min[0] <= limit),
    )


def main() -> None:
    """Print what was promised and what came."""
    arguments = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    arguments.add_argument("folder", type=Path)
    arguments.add_argument("--days", type=int, default=9, help="days between campaigns")
    given = arguments.parse_args()
    levels = levels_m(given.folder)
    model = model_of(levels, until=datetime(2010, 12, 31, 23, tzinfo=UTC))
    out = csv.writer(sys.stdout, lineterminator="\n")
    out.writerow(["what", "allowance_m", "count", "promised", "came", "difference_points"])
    for allowance_m in (0.0, 0.2, 0.4):
        count, promised, came = windows(model, levels, allowance_m=allowance_m)
        _row(out, "windows of 2011 and 2012", (allowance_m, count, promised, came))
    for allowance_m in (0.0, 0.2, 0.4):
        starts = (date(2011, 1, 1) + timedelta(days=k) for k in range(0, 660, given.days))
        told = [lived(model, levels, first, allowance_m=allowance_m) for first in starts]
        good = [one for one in told if one is not None]
        weights = np.array([one.outings for one in good], dtype=float)
        held_promised = np.average([one.held_promised for one in good], weights=weights)
        held_came = np.average([one.held_came for one in good], weights=weights)
        count = int(weights.sum())
        _row(out, "windows in plans", (allowance_m, count, held_promised, held_came))
        promised = float(np.mean([one.finish_promised for one in good]))
        came = float(np.mean([one.finish_came for one in good]))
        _row(out, "campaigns done by their P80", (allowance_m, len(good), promised, came))
        sys.stdout.flush()


def _row(out, what, found) -> None:
    allowance_m, count, promised, came = found
    difference = f"{100 * (came - promised):+.1f}"
    out.writerow([what, allowance_m, count, f"{promised:.3f}", f"{came:.3f}", difference])


if __name__ == "__main__":
    main()
