"""``ebbwork estimate``: what a plan would cost, as a bill."""

from __future__ import annotations

import argparse
from dataclasses import astuple, fields
from pathlib import Path

from planner import __version__
from planner.commands.codes import Exit
from planner.commands.console import say, write_rows
from planner.commands.listings import load
from planner.commands.words import SAFETY


def estimate_arguments(command: argparse.ArgumentParser) -> None:
    """Add the arguments of ``estimate``, the scenario aside."""
    command.add_argument("plan", metavar="PLAN", type=Path, help="plan folder to price")
    command.add_argument(
        "--xlsx", metavar="FILE", type=Path, help="write the estimate as a workbook as well"
    )
    command.add_argument(
        "--pdf", metavar="FILE", type=Path, help="write the estimate as a PDF as well"
    )


def run_estimate(scenario: Path, folder: Path, *, xlsx: Path | None, pdf: Path | None) -> Exit:
    """Price a plan: the bill goes to standard output, files are written where asked."""
    from planner.reports.estimate_rows import (  # noqa: PLC0415 - heavy
        BillRow,
        bill_rows,
        headline,
        notes,
    )
    from planner.workflow.estimating import (  # noqa: PLC0415 - heavy
        BrokenPlanError,
        Files,
        priced_folder,
    )

    loaded = load(scenario)
    try:
        checked, priced = priced_folder(loaded, folder)
    except BrokenPlanError as broken:
        say(
            f"The plan breaks {len(broken.violations)} rules of this scenario and is not priced; "
            f"see: ebbwork check {scenario} {folder}"
            f"; after records of the site: ebbwork replan {scenario} {folder}"
        )
        return Exit.PARTLY
    write_rows([field.name for field in fields(BillRow)], map(astuple, bill_rows(priced)))
    Files(loaded, checked.plan, priced, version=__version__).write(pdf=pdf, xlsx=xlsx)
    if not checked.same_scenario:
        say("The plan was made from another state of this scenario; it was priced as it stands.")
    say(headline(priced))
    for sentence in (*notes(loaded.campaign, checked.plan, priced), SAFETY):
        say(sentence)
    for path in (xlsx, pdf):
        if path is not None:
            say(f"Written to {path}")
    return Exit.PARTLY if checked.plan.unplanned else Exit.DONE
