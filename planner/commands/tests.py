"""``ebbwork tests``: the quality plan, stops, crews with their cards, and work chains."""

from __future__ import annotations

import argparse
import textwrap
from collections.abc import Callable, Iterable, Sequence
from dataclasses import astuple, fields
from pathlib import Path
from typing import TYPE_CHECKING, Any

from planner.commands.codes import Exit
from planner.commands.console import RefusedError, say, write_lines
from planner.commands.listings import load, zone_named
from planner.commands.targets import default_target
from planner.commands.text_table import is_readable, show_rows, terminal_width
from planner.scenario.suggest import did_you_mean

if TYPE_CHECKING:
    from planner.core.clock import Clock
    from planner.model.campaign import Campaign
    from planner.plan.plan import Plan
    from planner.trade.figure import Figure
    from planner.workflow.quality_rows import FigureRow, TrialRow

INDENT = 10

DEFERS = (
    "Verdicts are arithmetic: whether work stands, stops or is repaired the engineer and the "
    "contract decide."
)
WITHOUT_PLAN = (
    "Without a plan there are only the panels before the work starts, and no dates; make one with "
    "ebbwork plan."
)


def tests_arguments(command: argparse.ArgumentParser) -> None:
    """Add the arguments of ``tests``, the scenario aside."""
    command.add_argument(
        "plan",
        metavar="PLAN",
        nargs="?",
        type=Path,
        help="plan folder (default: the one that plan writes to, where it is there)",
    )
    views = command.add_mutually_exclusive_group()
    views.add_argument("--chain", metavar="ZONE", help="list instead the work chain of a zone")
    views.add_argument(
        "--stops", action="store_true", help="list instead the spells that must wait for a test"
    )
    views.add_argument(
        "--crews", action="store_true", help="list instead who may spray what, and until when"
    )
    command.add_argument(
        "--why",
        metavar="ID",
        help="list instead formula, inputs and source of one test, or of one step of --chain",
    )
    command.add_argument(
        "--ics",
        metavar="FILE",
        type=Path,
        help="write the days of panels, results and inspections to a calendar file as well",
    )
    command.add_argument(
        "--table", action="store_true", help="a table for reading, as on a terminal, not CSV"
    )


def run_tests(arguments: argparse.Namespace) -> Exit:
    """List the quality plan, or one of the other tables."""
    loaded = load(arguments.scenario)
    campaign = loaded.campaign
    plan = _plan_of(arguments, campaign)
    if arguments.chain is not None:
        return _chain(campaign, plan, arguments)
    if arguments.crews:
        if arguments.why is not None:
            msg = "--why asks for a test, or with --chain for a step; leave --crews out"
            raise RefusedError(msg)
        return _crews(campaign, plan, as_table=is_readable(asked=arguments.table))
    return _tests(campaign, plan, arguments)


def _plan_of(arguments: argparse.Namespace, campaign: Campaign) -> Plan | None:
    """Return the plan asked for, or the one that stands where ``plan`` writes; None: neither."""
    from planner.plan.store import is_plan_folder, read_plan  # noqa: PLC0415 - heavy

    folder = arguments.plan
    if folder is None:
        folder = default_target(arguments.scenario)
        if not folder.is_dir() or not is_plan_folder(folder):
            return None
    plan, summary = read_plan(folder, campaign)
    if summary.get("scenario_sha256") != campaign.fingerprint:
        say("The plan was made from another state of this scenario; it is taken as it stands.")
    return plan


def _chain(campaign: Campaign, plan: Plan | None, arguments: argparse.Namespace) -> Exit:
    from planner.workflow.quality_rows import ChainRow, chain_rows  # noqa: PLC0415 - heavy
    from planner.workflow.work_chains import WorkChains  # noqa: PLC0415 - heavy

    steps = WorkChains(campaign, plan).of(zone_named(campaign, arguments.chain))
    if arguments.why is not None:
        known = {str(step.number): step for step in steps}
        if arguments.why not in known:
            msg = f"There is no step {arguments.why!r}; the steps are 1 to {len(steps)}"
            raise RefusedError(msg)
        return _why(known[arguments.why].figures, as_table=is_readable(asked=arguments.table))
    as_table = is_readable(asked=arguments.table)
    time = _short_time(campaign.clock) if as_table else campaign.clock.text
    _show(ChainRow, chain_rows(steps, time), as_table=as_table)
    if plan is None:
        say("Without a plan no step has times; make one with ebbwork plan.")
    say("How much may be open at once, and propping, are for the structure's engineer.")
    return Exit.DONE


def _crews(campaign: Campaign, plan: Plan | None, *, as_table: bool) -> Exit:
    from planner.workflow.crews import CrewRow, crew_rows  # noqa: PLC0415 - heavy

    _show(CrewRow, crew_rows(campaign, plan), as_table=as_table)
    return Exit.DONE


def _tests(campaign: Campaign, plan: Plan | None, arguments: argparse.Namespace) -> Exit:
    from planner.workflow.quality import quality_plan  # noqa: PLC0415 - heavy
    from planner.workflow.quality_rows import (  # noqa: PLC0415 - heavy
        StopRow,
        TrialRow,
        stop_rows,
        stop_words,
        trial_rows,
    )

    quality = quality_plan(campaign, plan)
    if arguments.why is not None:
        figures = quality.figures(arguments.why)
        if figures is None:
            names = [one.trial.name for one in quality.tested]
            msg = f"There is no test {arguments.why!r}{did_you_mean(arguments.why, names)}"
            raise RefusedError(msg)
        return _why(figures, as_table=is_readable(asked=arguments.table))
    as_table = is_readable(asked=arguments.table)
    if arguments.stops:
        time = _short_time(campaign.clock) if as_table else campaign.clock.text
        _show(StopRow, stop_rows(quality, time), as_table=as_table)
    else:
        rows = list(trial_rows(quality, campaign.clock))
        if as_table:
            _short_table(rows)
        else:
            _show(TrialRow, rows, as_table=False)
    if arguments.ics is not None:
        from planner.workflow.quality_calendar import quality_calendar  # noqa: PLC0415 - heavy

        arguments.ics.write_bytes(quality_calendar(campaign, quality))
        say(f"Written to {arguments.ics}")
    if plan is None:
        say(WITHOUT_PLAN)
    words = stop_words(quality)
    if words:
        say(words if arguments.stops else f"{words[:-1]}; --stops lists them.")
    say(DEFERS)
    return Exit.DONE


SHORT = ("test", "zone", "made", "due", "pieces", "asked_mpa", "tested", "verdict", "waiting")
"""Columns of the quality plan for reading; what the rule says stands below them."""


def _short_table(rows: Sequence[TrialRow]) -> None:
    """Show the trials for reading, then what the rule says of each result."""
    _read(SHORT, [[getattr(row, name) or None for name in SHORT] for row in rows])
    said = [(row.test, row.says) for row in rows if row.says]
    if said:
        write_lines([""])
        show_rows(("test", "what the rule says"), said, as_table=True)


def _why(figures: Iterable[Figure], *, as_table: bool) -> Exit:
    from planner.workflow.quality_rows import FigureRow, figure_rows  # noqa: PLC0415 - heavy

    rows = list(figure_rows(figures))
    if as_table:
        write_lines(line for row in rows for line in _paragraph(row))
    else:
        _show(FigureRow, rows, as_table=False)
    return Exit.DONE


def _paragraph(row: FigureRow) -> list[str]:
    """Return one figure with what it rests on as lines for reading."""
    unit = "" if row.unit == "1" else f" {row.unit}"
    value = "" if row.value is None else f" = {row.value:g}{unit}"
    parts = {
        "how": row.formula,
        "from": row.inputs,
        "source": f"{row.source} ({row.trust})",
        "note": row.note,
    }
    lines = [f"{row.name}{value}"]
    for name, text in parts.items():
        if text:
            indent = " " * INDENT
            lines += textwrap.wrap(
                text,
                terminal_width(),
                initial_indent=f"  {name:<{INDENT - 2}}",
                subsequent_indent=indent,
            )
    return lines


def _short_time(clock: Clock) -> Callable[[int], str]:
    return lambda minute: clock.local(minute).strftime("%a %d %b %H:%M")


def _show(kind: type[Any], rows: Iterable[Any], *, as_table: bool) -> None:
    heading = [field.name for field in fields(kind)]
    if as_table:
        _read(heading, [astuple(row) for row in rows])
    else:
        show_rows(heading, (astuple(row) for row in rows), as_table=False)


def _read(heading: Sequence[str], rows: Sequence[Sequence[object]]) -> None:
    """Show a table for reading, without the columns in which nothing stands."""
    kept = [k for k in range(len(heading)) if any(row[k] not in (None, "") for row in rows)]
    kept = kept or list(range(len(heading)))
    show_rows([heading[k] for k in kept], ([row[k] for k in kept] for row in rows), as_table=True)
