"""A study as files: every run (Parquet), odds, drivers, due dates and windows (CSV)."""

from __future__ import annotations

from pathlib import Path

import pandas as pd

from planner.core.clock import MINUTES_PER_HOUR
from planner.risk.inputs import DRIVERS
from planner.risk.outcome import drives, dues, ladder
from planner.risk.study import Study

RUNS_FILE = "runs.parquet"


def runs_frame(study: Study) -> pd.DataFrame:
    """Return every run, a row each: finish, cost, its lines, what happened, how much of what."""
    lives = study.lives
    finish = pd.Series(lives.finish_min).where(lives.finish_min < float("inf"))
    columns: dict[str, object] = {
        "run": range(1, len(finish) + 1),
        "finish_h": finish / MINUTES_PER_HOUR,
        "cost": lives.cost,
        **{f"cost_{name}": values for name, values in lives.cost_lines.items()},
        **lives.counts,
        **{f"driver_{driver}": lives.scores[driver] for driver in study.drivers},
    }
    return pd.DataFrame(columns)


def ladder_frame(study: Study, chances: tuple[float, ...]) -> pd.DataFrame:
    """Return finish and cost at some chances."""
    return pd.DataFrame(
        [
            {
                "chance": rung.chance,
                "finish": when(study, rung.finish_min),
                "cost": round(rung.cost, 2),
            }
            for rung in ladder(study, chances)
        ]
    )


def dues_frame(study: Study) -> pd.DataFrame:
    """Return the odds of each due date; the last column is kept with a chance of 0.8."""
    return pd.DataFrame(
        [
            {
                "zone": row.zone,
                "due": study.longer.clock.text(row.due_min),
                "planned": study.longer.clock.text(row.planned_min),
                "chance": round(row.chance, 4),
                "p80": when(study, row.likely_min),
            }
            for row in dues(study)
        ],
        columns=["zone", "due", "planned", "chance", "p80"],
    )


def drives_frame(study: Study, *, confidence: float) -> pd.DataFrame:
    """Return the drivers, the strongest first."""
    return pd.DataFrame(
        [
            {
                "driver": "+".join(row.drivers),
                "meaning": " and ".join(DRIVERS[driver] for driver in row.drivers),
                "days_earlier_without": row.days,
                "spread_share": row.spread_share,
                "rank_correlation": row.rank_correlation,
            }
            for row in drives(study, confidence=confidence)
        ],
        columns=[
            "driver",
            "meaning",
            "days_earlier_without",
            "spread_share",
            "rank_correlation",
        ],
    )


def windows_frame(study: Study) -> pd.DataFrame:
    """Return the plan's shifts in their windows, with what became of them as shares of runs."""
    tally, clock = study.lives.tally, study.longer.clock
    rows = []
    for k, outing in enumerate(study.outings):
        shares = {
            "held": tally.held,
            "done_as_planned": tally.kept,
            "opened_late": tally.opened_late,
            "closed_early": tally.closed_early,
            "never_open": tally.never_open,
            "weather": tally.weather,
            "breakdowns": tally.breakdowns,
        }
        rows.append(
            {
                "start": clock.text(outing.start_min),
                "end": clock.text(outing.end_min),
                "crew": outing.crew,
                "zones": ";".join(outing.zones),
                **{name: round(int(count[k]) / tally.runs, 4) for name, count in shares.items()},
            }
        )
    return pd.DataFrame(rows)


def when(study: Study, minute: float | None) -> str:
    """Return a minute as civil time; empty: beyond the calendar."""
    return "" if minute is None else study.longer.clock.text(int(minute))


def write_study(folder: Path, study: Study, *, confidence: float) -> list[Path]:
    """Write a study's files into a folder, which is made where it is missing; return them.

    Raises
    ------
    OSError
        If the folder cannot be written.
    """
    folder.mkdir(parents=True, exist_ok=True)
    chances = tuple(round(0.05 * k, 2) for k in range(1, 20))
    tables = {
        "odds.csv": ladder_frame(study, tuple(sorted({*chances, confidence}))),
        "due.csv": dues_frame(study),
        "drivers.csv": drives_frame(study, confidence=confidence).round(4),
        "windows.csv": windows_frame(study),
    }
    for name, frame in tables.items():
        frame.to_csv(folder / name, index=False, lineterminator="\n")
    runs_frame(study).to_parquet(folder / RUNS_FILE, index=False)
    return [folder / name for name in (*tables, RUNS_FILE)]
