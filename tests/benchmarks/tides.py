"""Measure tides and windows: ``python -m tests.benchmarks.tides``.

The constants are invented: the 37 names of the American tables with plausible sizes.  A row for
each job goes to standard output; the same curve by the uptide library (LGPL-3.0, extra
``crosscheck``, development only) stands beside it where that is installed.
"""

import argparse
import importlib
import importlib.util
import resource
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

import numpy as np

from planner.access.edges import long_enough, spans_of, whole_minutes
from planner.access.tide import TideLevel
from planner.model.water import Constituent

EPOCH = datetime(2025, 1, 1, tzinfo=UTC)
YEAR_MIN = 365.25 * 1440.0
STEP_MIN = 10.0
SIZES_M = {
    "M2": 1.37, "S2": 0.21, "N2": 0.31, "K1": 0.14, "M4": 0.02, "O1": 0.12, "M6": 0.03,
    "MK3": 0.006, "S4": 0.002, "MN4": 0.01, "NU2": 0.07, "S6": 0.002, "MU2": 0.01, "2N2": 0.04,
    "OO1": 0.004, "LAM2": 0.02, "S1": 0.005, "M1": 0.005, "J1": 0.01, "MM": 0.01, "SSA": 0.02,
    "SA": 0.05, "MSF": 0.01, "MF": 0.01, "RHO1": 0.004, "Q1": 0.02, "T2": 0.02, "R2": 0.004,
    "2Q1": 0.002, "P1": 0.05, "2SM2": 0.003, "M3": 0.002, "L2": 0.07, "2MK3": 0.007, "K2": 0.06,
    "M8": 0.006, "MS4": 0.009,
}  # fmt: skip
OTHERWISE = {"LAM2": "LAMBDA2", "RHO1": "RHO1"}


@dataclass(frozen=True)
class Row:
    """What one job took."""

    job: str
    by: str
    seconds: float
    peak_mb: float
    result: str


def waves() -> tuple[Constituent, ...]:
    """The constants; phases run through the circle."""
    return tuple(
        Constituent(name=name, amplitude_m=size, phase_deg=(97.0 * k) % 360.0)
        for k, (name, size) in enumerate(SIZES_M.items())
    )


def tide() -> TideLevel:
    return TideLevel(waves(), mean_m=0.0, epoch_utc=EPOCH)


def times(years: float) -> np.ndarray:
    return np.arange(0.0, years * YEAR_MIN, STEP_MIN)


def levels(years: float) -> str:
    """Levels every ten minutes, by the planner."""
    found = tide().level_m(times(years))
    return f"{found.size} levels"


def windows(years: float, count: int) -> str:
    """Windows below as many levels, in whole minutes."""
    curve = tide().curve(0.0, years * YEAR_MIN)
    found = 0
    for limit_m in np.linspace(-1.5, 1.5, count):
        below = long_enough(curve.below(float(limit_m)), 45)
        found += len(spans_of(*whole_minutes(below, None)))
    return f"{found} windows below {count} levels"


def levels_by_uptide(years: float) -> str:
    """The same levels by uptide, one node factor for all years, names it lacks left out."""
    uptide = importlib.import_module("uptide")
    known = [name for name in SIZES_M if name in uptide.tidal.omega]
    sizes = {wave.name: wave for wave in waves()}
    there = uptide.Tides(known)
    there.set_initial_time(EPOCH.replace(tzinfo=None))
    amplitudes = [sizes[name].amplitude_m for name in known]
    phases = np.radians([sizes[name].phase_deg for name in known])
    found = there.from_amplitude_phase(amplitudes, phases, times(years) * 60.0)
    return f"{np.size(found)} levels of {len(known)} constituents"


def measured(job: str, by: str, work: Callable[[], str]) -> Row:
    """Do a job once and say what it took of the processor; memory is the peak so far."""
    start = time.process_time()
    result = work()
    seconds = time.process_time() - start
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    divisor = 1024**2 if sys.platform == "darwin" else 1024
    return Row(job, by, seconds, peak / divisor, result)


def rows(years: float, count: int) -> list[Row]:
    """Every job: a year, many years, windows of many levels."""
    jobs = [
        ("1 year at 10 min", "planner", lambda: levels(1)),
        (f"{years:g} years, {count} levels", "planner", lambda: windows(years, count)),
        (f"{years:g} years at 10 min", "planner", lambda: levels(years)),
    ]
    if importlib.util.find_spec("uptide"):
        jobs += [
            ("1 year at 10 min", "uptide", lambda: levels_by_uptide(1)),
            (f"{years:g} years at 10 min", "uptide", lambda: levels_by_uptide(years)),
        ]
    return [measured(job, by, work) for job, by, work in jobs]


def main(arguments: Sequence[str]) -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--years", type=float, default=25.0)
    parser.add_argument("--levels", type=int, default=200)
    chosen = parser.parse_args(arguments)
    out = sys.stdout
    out.write(
        "| job | by | CPU seconds | peak MB so far | result |\n| --- | --- | --- | --- | --- |\n"
    )
    for row in rows(chosen.years, chosen.levels):
        out.write(
            f"| {row.job} | {row.by} | {row.seconds:.2f} | {row.peak_mb:.0f} | {row.result} |\n"
        )
    if not importlib.util.find_spec("uptide"):
        sys.stderr.write("uptide is not installed; nothing to compare with.\n")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
