"""Measure a study of risk: ``python -m tests.benchmarks.risk [--runs N] [--zones N]``.

An invented quay: so many zones in two layers, three rigs with a crew each, low-water windows, a
residual, wet days, and every default of risk.toml.  The plan is made with next to no effort; only
the study is measured.  A row for each rule goes to standard output.
"""

from __future__ import annotations

import argparse
import csv
import resource
import sys
import time
from dataclasses import replace
from datetime import date

import numpy as np

from planner.access.residual import PROBABILITIES, Residual
from planner.core.clock import Clock
from planner.core.progress import silent
from planner.model.campaign import Campaign
from planner.model.identifiers import ShiftId
from planner.model.water import Extreme, Water, WaterKind
from planner.optimise.engine import Settings as Search
from planner.optimise.engine import optimise
from planner.risk.inputs import Rule, usual
from planner.risk.study import Settings, study
from tests import builders

ACROSS = 20
"""Zones in reach of one position [1]."""


def quay(zones: int) -> Campaign:
    """Return an invented quay of so many zones."""
    clock = Clock(
        time_zone="Europe/London", first_day=date(2026, 3, 2), last_day=date(2026, 6, 30)
    )
    horizon = clock.horizon_min
    table = tuple(
        Extreme(minute=-2880.0 + 372.6 * k, level_m=1.8 * (-1) ** k, is_high=k % 2 == 0)
        for k in range(int((horizon * 2.2 + 5000) / 372.6))
    )
    stands = range(-(-zones // ACROSS))
    return builders.campaign(
        clock=clock,
        water=Water(kind=WaterKind.HIGHLOW, extremes=table, allowance_m=0.1, allowance_low_m=0.1),
        zones=tuple(
            builders.zone(
                f"Z{k:03}",
                x_m=100.0 * (k // ACROSS) + k % ACROSS,
                depth_mm=150.0,
                area_m2=6.0 + k % 5,
                section=f"S{k // ACROSS}",
                water_max_m=0.25 * (k % 4),
                wets_at_m=None if k % 3 else 1.5,
                joint_allowed=k % 2 == 0,
            )
            for k in range(zones)
        ),
        positions=tuple(builders.position(f"P{k}", x_m=100.0 * k) for k in stands),
        rigs=tuple(
            builders.rig(f"R{k}", hose_max_m=30.0, idle_max_min=60, available_to_min=horizon)
            for k in range(3)
        ),
        crews=tuple(
            builders.crew(
                f"C{k}", shift_id=ShiftId("late" if k == 2 else "day"), available_to_min=horizon
            )
            for k in range(3)
        ),
        shifts=(builders.shift(), builders.shift("late", start_tod=13 * 60, end_tod=22 * 60)),
        mixes=(builders.mix(protect_h=3.0),),
    )


def gauge() -> Residual:
    """Return an invented residual of some decimetres."""
    row = tuple(float(v) for v in np.interp(PROBABILITIES, (0.0, 0.5, 1.0), (-0.5, 0.0, 0.7)))
    return Residual(
        hours=9000,
        mean_m=0.0,
        spread_m=0.2,
        quantiles_m=(row, row),
        short_h=6.0,
        long_h=36.0,
        short_share=0.3,
        persistence=(0.9,) * 8,
    )


def main() -> None:
    """Print what a study of each rule takes."""
    arguments = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    arguments.add_argument("--runs", type=int, default=10_000)
    arguments.add_argument("--zones", type=int, default=200)
    arguments.add_argument("--workers", type=int, default=2)
    given = arguments.parse_args()
    campaign = quay(given.zones)
    plan, _ = optimise(
        campaign, settings=Search(effort=0.001, seconds=120.0, workers=1), listener=silent
    )
    inputs = replace(usual(), residual=gauge(), weather_lost=(0.1,) * 12, weather_spell_days=2.0)
    out = csv.writer(sys.stdout, lineterminator="\n")
    out.writerow(["rule", "zones", "spells", "runs", "wall_s", "processor_s", "peak_mb", "p80_d"])
    for rule in Rule:
        wall, processor = time.perf_counter(), time.process_time()
        settings = Settings(runs=given.runs, rule=rule, workers=given.workers)
        found = study(campaign, plan, inputs, settings)
        taken = time.perf_counter() - wall, time.process_time() - processor
        p80 = np.quantile(found.lives.finish_min, 0.8, method="inverted_cdf") / 1440.0
        peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0
        zones = len({spell.zone for spell in plan.spells})
        row = [rule, zones, len(plan.spells), given.runs]
        out.writerow([*row, *(f"{value:.1f}" for value in (*taken, peak_mb, p80))])
        sys.stdout.flush()


if __name__ == "__main__":
    main()
