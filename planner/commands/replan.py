"""``ebbwork replan``: from now, with what is done, change as little of a plan as can be."""

from __future__ import annotations

import argparse
from argparse import Namespace
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from planner import __version__
from planner.checks.report import line
from planner.commands.codes import Exit
from planner.commands.console import ProgressLine, RefusedError, say, say_problems
from planner.commands.interrupts import Interrupts, in_background
from planner.commands.targets import as_typed, plan_target
from planner.commands.words import SAFETY, cautions, count

if TYPE_CHECKING:
    from planner.workflow.loading import Loaded
    from planner.workflow.replanning import Ask, NewPlan

START_S = 0.4
"""The interpreter's start, before a command can look at a clock [s]."""
KEEP_DAYS = 7.0
SECONDS = 20.0
DAYS_MAX = 366.0
LINES_SHOWN = 30


def replan_arguments(command: argparse.ArgumentParser) -> None:
    """Add the arguments of ``replan``, the scenario and those of the search aside."""
    command.add_argument("old", metavar="OLD_PLAN", type=Path, help="plan folder people work to")
    command.add_argument(
        "--now",
        metavar="DATE-TIME",
        type=moment,
        help="plan from then on, for example 2026-05-04T06:00 (default: the latest progress)",
    )
    command.add_argument(
        "--keep-days",
        metavar="N",
        type=days,
        default=KEEP_DAYS,
        help="shifts that begin within N days from now are issued and stay unless impossible"
        f" (default {KEEP_DAYS:g})",
    )
    command.add_argument(
        "--may-change",
        metavar="N",
        type=changes,
        default=0,
        help="changes beyond the fewest found that the scenario's goals may use (default 0)",
    )
    command.add_argument(
        "--out",
        metavar="PLAN",
        type=Path,
        help="plan folder to write (default: SCENARIO/plan; NAME-plan beside a workbook)",
    )


def moment(text: str) -> datetime:
    """Return a date-time, local where it has no offset."""
    try:
        found = datetime.fromisoformat(text)
    except ValueError:
        found = None
    if found is None or len(text) <= len("2026-05-04"):
        msg = f"{text!r} is no date-time; write day and time of day, for example 2026-05-04T06:00"
        raise argparse.ArgumentTypeError(msg)
    return found


def days(text: str) -> float:
    """Return a number of days, 0 to a year."""
    try:
        value = float(text)
    except ValueError:
        value = -1.0
    if not 0.0 <= value <= DAYS_MAX:
        msg = f"{text!r} is no number of days from 0 to {DAYS_MAX:g}; write for example 7"
        raise argparse.ArgumentTypeError(msg)
    return value


def changes(text: str) -> int:
    """Return a number of changes."""
    if not (text.isascii() and text.isdecimal() and len(text) <= len("999999")):
        msg = f"{text!r} is no number of changes; write a whole number from 0, for example 5"
        raise argparse.ArgumentTypeError(msg)
    return int(text)


def run_replan(
    arguments: Namespace,
    *,
    interrupts: Interrupts,
    started_s: float,
    clock: Callable[[], float],
) -> Exit:
    """Re-plan and write the new plan's folder; what changes is told."""
    from planner.optimise.engine import NoPlanInTimeError  # noqa: PLC0415 - heavy
    from planner.workflow.loading import load_scenario  # noqa: PLC0415 - heavy
    from planner.workflow.replanning import Ask  # noqa: PLC0415 - heavy

    target = plan_target(arguments.scenario, arguments.out)
    loaded = load_scenario(arguments.scenario)
    say_problems(loaded.warnings)
    ask = Ask(now=arguments.now, keep_days=arguments.keep_days, may_change=arguments.may_change)
    left_s = arguments.seconds - START_S - (clock() - started_s)
    with interrupts.kept():
        try:
            new = _search(arguments, loaded, ask, interrupts=interrupts, left_s=left_s)
        except NoPlanInTimeError:
            cause = "the interrupt came" if interrupts.asked else "the time was up"
            say(f"No plan was found before {cause}. Nothing was written; give --seconds more.")
            return Exit.INTERRUPTED if interrupts.asked else Exit.NO_PLAN
        if new.planned.violations:
            return _tell_fault(new, target)
        _write(new, target)
        _tell(new, target)
    if interrupts.asked:
        say("Interrupted: this is the best plan that was found until then.")
        return Exit.INTERRUPTED
    return Exit.PARTLY if new.planned.plan.unplanned else Exit.DONE


def _search(
    arguments: Namespace, loaded: Loaded, ask: Ask, *, interrupts: Interrupts, left_s: float
) -> NewPlan:
    from planner.optimise.engine import NoPlanInTimeError, Settings  # noqa: PLC0415 - heavy
    from planner.workflow.planning import closing_s  # noqa: PLC0415 - heavy
    from planner.workflow.replanning import replan_scenario  # noqa: PLC0415 - heavy

    seconds = left_s - closing_s(loaded.campaign)
    if seconds <= 0:
        raise NoPlanInTimeError
    settings = Settings(
        seed=arguments.seed,
        workers=arguments.workers,
        effort=arguments.effort,
        seconds=seconds,
        stop=interrupts.stop,
    )
    shown = ProgressLine()
    try:
        return in_background(
            lambda: replan_scenario(loaded, arguments.old, ask, settings, shown), interrupts
        )
    finally:
        shown.clear()


def _write(new: NewPlan, target: Path) -> None:
    from planner.workflow.replanning import write_new_plan  # noqa: PLC0415 - heavy

    try:
        write_new_plan(new, target, version=__version__)
    except OSError as failure:
        msg = f"{target} cannot be written: {failure.strerror or failure}; give --out another."
        raise RefusedError(msg) from failure


def _tell(new: NewPlan, target: Path) -> None:
    from planner.commands.summary import summary_lines  # noqa: PLC0415 - heavy

    for text in summary_lines(new.loaded, new.planned):
        say(text)
    say("")
    for text in _change_lines(new):
        say(text)
    say(f"Written to {as_typed(target)}")
    for caution in (*cautions(new.loaded.campaign.water.kind), SAFETY):
        say(caution)


def _change_lines(new: NewPlan) -> list[str]:
    clock, made = new.loaded.campaign.clock, new.made
    now = f"{clock.local(new.loaded.campaign.start_min):%Y-%m-%d %H:%M}"
    until = f"{clock.local(min(made.issued_until_min, clock.horizon_min)):%Y-%m-%d %H:%M}"
    issued = sum(row.issued for row in made.moved)
    kept = "all issued spells stay" if not issued else f"{count(issued, 'issued spell')} could not"
    lines = [
        f"From {now}; issued until {until}: {kept}.",
        (
            f"Changes: {made.changes.count} ({count(len(made.changes.moved), 'spell')} moved,"
            f" {count(len(made.changes.added), 'relocation')} added); at least"
            f" {made.changes_bound} whatever the plan."
        ),
    ]
    told = new.sentences()
    lines += [f"  {text}" for text in told[:LINES_SHOWN]]
    if len(told) > LINES_SHOWN:
        lines.append(f"  … and {len(told) - LINES_SHOWN} more: see changes.csv in the plan.")
    return lines


def _tell_fault(new: NewPlan, target: Path) -> Exit:
    say("This is a fault of the planner, not of your input: its plan breaks rules.")
    for violation in new.planned.violations:
        say(f"  {line(violation)}")
    say(f"Nothing was written; {target} was not touched. Please report it with the scenario.")
    return Exit.FAULT
