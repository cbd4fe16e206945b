"""``ebbwork risk``: a plan lived many times, with the odds of its dates and what drives them."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from planner.commands.codes import Exit
from planner.commands.console import say
from planner.commands.interrupts import Interrupts
from planner.commands.listings import load
from planner.commands.text_table import is_readable, show_rows
from planner.commands.words import SAFETY

if TYPE_CHECKING:
    from planner.risk.study import Study
    from planner.workflow.risking import Lived

RUNS, RUNS_MAX = 10_000, 1_000_000
RULES = ("sequence", "next", "weekly")


@dataclass(frozen=True, slots=True, kw_only=True)
class RiskOrder:
    """What a user asks of ``risk``."""

    scenario: Path
    plan: Path
    runs: int
    seed: int
    rule: str
    confidence: float
    workers: int
    inputs: Path | None = None
    out: Path | None = None
    table: bool = False


def risk_arguments(
    command: argparse.ArgumentParser, *, seed: Callable[[str], int], workers: Callable[[str], int]
) -> None:
    """Add the arguments of ``risk``, the scenario aside."""
    command.add_argument("plan", metavar="PLAN", type=Path, help="plan folder to live")
    command.add_argument(
        "--runs", metavar="N", type=_runs, default=RUNS, help="lives (default %(default)s)"
    )
    command.add_argument(
        "--seed", metavar="N", type=seed, default=1, help="seed of chance (default 1)"
    )
    command.add_argument(
        "--rule",
        choices=RULES,
        default="next",
        help="what the site does when the plan cannot be kept (default %(default)s)",
    )
    command.add_argument(
        "--confidence",
        metavar="C",
        type=_share,
        default=0.8,
        help="how sure dates and money are to be, between 0 and 1 (default %(default)s)",
    )
    command.add_argument(
        "--inputs", metavar="FILE", type=Path, help="risk inputs (default: SCENARIO/risk.toml)"
    )
    command.add_argument(
        "--out", metavar="FOLDER", type=Path, help="write tables (CSV) and all runs (Parquet)"
    )
    command.add_argument(
        "--workers", metavar="N", type=workers, default=2, help="threads (default 2)"
    )
    command.add_argument("--table", action="store_true", help="a table to read instead of CSV")


def run_risk(order: RiskOrder, *, interrupts: Interrupts) -> Exit:
    """Live a plan many times and say what came of it."""
    from planner.risk.inputs import Rule  # noqa: PLC0415 - heavy
    from planner.risk.study import Settings, StoppedError  # noqa: PLC0415 - heavy
    from planner.workflow.risking import (  # noqa: PLC0415 - heavy
        BrokenPlanError,
        NothingPlannedError,
        risk_inputs,
        study_folder,
    )

    loaded = load(order.scenario)
    inputs = risk_inputs(loaded.campaign, order.scenario, order.inputs)
    settings = Settings(
        runs=order.runs,
        seed=order.seed,
        rule=Rule(order.rule),
        workers=order.workers,
        stop=interrupts.stop,
    )
    try:
        lived = study_folder(loaded, order.plan, inputs, settings)
    except BrokenPlanError as broken:
        say(
            f"The plan breaks {len(broken.violations)} rules of this scenario and cannot be"
            f" lived; see: ebbwork check {order.scenario} {order.plan}"
            f"; after records of the site: ebbwork replan {order.scenario} {order.plan}"
        )
        return Exit.PARTLY
    except NothingPlannedError:
        say("Nothing is planned, so there is nothing to live.")
        return Exit.PARTLY
    except StoppedError:
        say("Interrupted; nothing was written.")
        return Exit.INTERRUPTED
    _show(order, lived)
    return Exit.PARTLY if lived.study.plan.unplanned else Exit.DONE


def _show(order: RiskOrder, lived: Lived) -> None:
    from planner.reports import risk_words as words  # noqa: PLC0415 - heavy
    from planner.risk.files import ladder_frame, write_study  # noqa: PLC0415 - heavy

    study = lived.study
    chances = tuple(sorted({0.1, 0.5, 0.8, 0.9, order.confidence}))
    frame = ladder_frame(study, chances)
    rows = [list(row) for row in frame.itertuples(index=False, name=None)]
    show_rows(list(frame.columns), rows, as_table=is_readable(asked=order.table))
    sys.stdout.flush()
    if not lived.same_scenario:
        say("The plan was made from another state of this scenario; it was lived as it stands.")
    for sentence in (
        *words.what_was_drawn(study),
        words.headline(study),
        words.reserve_sentence(study, order.confidence),
    ):
        say(sentence)
    _say_dues(study)
    _say_drivers(study, order.confidence)
    if order.out is not None:
        for path in write_study(order.out, study, confidence=order.confidence):
            say(f"Written to {path}")
    say("Odds are as good as what was given: see docs/risk.md for every default's source.")
    say(SAFETY)


def _say_dues(study: Study) -> None:
    from planner.reports.risk_words import due_sentence, in_hundred  # noqa: PLC0415 - heavy
    from planner.risk.outcome import dues  # noqa: PLC0415 - heavy

    sentence = due_sentence(study)
    if sentence is None:
        return
    say(sentence)
    clock = study.longer.clock
    for row in dues(study):
        say(f"  {row.zone}: due {clock.day(row.due_min - 1)}: {in_hundred(row.chance)}")


def _say_drivers(study: Study, confidence: float) -> None:
    from planner.reports.risk_words import drive_sentence  # noqa: PLC0415 - heavy
    from planner.risk.outcome import drives  # noqa: PLC0415 - heavy

    rows = drives(study, confidence=confidence)
    if rows:
        say("What drives the finish, the strongest first:")
    for place, row in enumerate(rows, start=1):
        say(f"  {place}. {drive_sentence(row, confidence)}")


def _runs(text: str) -> int:
    value = int(text) if text.isascii() and text.isdecimal() and len(text) <= 8 else 0
    if not 1 <= value <= RUNS_MAX:
        msg = f"{text!r} is no number of runs from 1 to {RUNS_MAX}; write for example {RUNS}"
        raise argparse.ArgumentTypeError(msg)
    return value


def _share(text: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = 0.0
    if not 0.0 < value < 1.0:
        msg = f"{text!r} does not lie between 0 and 1; write for example 0.8"
        raise argparse.ArgumentTypeError(msg)
    return value
