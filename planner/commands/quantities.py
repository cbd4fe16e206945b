"""``ebbwork quantities``: material by zone, mix, week or run, and where each number comes from."""

from __future__ import annotations

import argparse
import textwrap
from pathlib import Path
from typing import TYPE_CHECKING

from planner.commands.codes import Exit
from planner.commands.console import RefusedError, say, write_lines
from planner.commands.listings import load, zone_named
from planner.commands.targets import default_target
from planner.commands.text_table import is_readable, show_rows, terminal_width

if TYPE_CHECKING:
    from planner.model.campaign import Campaign
    from planner.plan.plan import Plan
    from planner.trade.figure import Figure

VIEWS = ("zone", "mix", "week", "run", "resource")
LIMIT = (
    "Quantities are for ordering and planning; the mix's maker, the trials and the engineer decide"
    " what is sprayed. Panels, washing and curing are not counted."
)


def quantities_arguments(command: argparse.ArgumentParser) -> None:
    """Add the arguments of ``quantities``, the scenario aside."""
    command.add_argument(
        "plan",
        metavar="PLAN",
        nargs="?",
        type=Path,
        help="plan folder (default: the one that plan writes to, where it is there; else whole"
        " zones are counted)",
    )
    views = command.add_mutually_exclusive_group()
    views.add_argument(
        "--by",
        choices=VIEWS,
        default="zone",
        help="what a row stands for (default %(default)s); week, run and resource (what is shared)"
        " need a plan",
    )
    views.add_argument(
        "--why", metavar="ZONE", help="formula, inputs and source of every number of a zone"
    )
    command.add_argument(
        "--table", action="store_true", help="a table for reading, also where nobody watches"
    )


def run_quantities(arguments: argparse.Namespace) -> Exit:
    """List the quantities of a scenario, or of a plan of it."""
    campaign = load(arguments.scenario).campaign
    plan = _plan_of(campaign, arguments.scenario, arguments.plan)
    as_table = is_readable(asked=arguments.table)
    if arguments.why is not None:
        return _why(campaign, plan, arguments.why, as_table=as_table)
    if plan is None and arguments.by in {"week", "run", "resource"}:
        msg = f"--by {arguments.by} needs a plan; make one with ebbwork plan, or name its folder"
        raise RefusedError(msg)
    from planner.reports.quantities_tables import By, quantity_table  # noqa: PLC0415 - heavy

    table = quantity_table(campaign, plan, By(arguments.by))
    if as_table:
        heading, rows = table.for_reading()
        show_rows(heading, rows, as_table=True)
    else:
        show_rows(table.heading, table.rows, as_table=False)
    say(LIMIT)
    return Exit.DONE


def _plan_of(campaign: Campaign, scenario: Path, folder: Path | None) -> Plan | None:
    """Return the plan that is asked for, or the one beside the scenario, or None."""
    from planner.plan.store import is_plan_folder, read_plan  # noqa: PLC0415 - heavy

    if folder is None:
        folder = default_target(scenario)
        if not is_plan_folder(folder):
            say("There is no plan: whole zones are counted, each with the first mix it may use.")
            return None
    plan, summary = read_plan(folder, campaign)
    if summary.get("scenario_sha256") != campaign.fingerprint:
        say("The plan says that it was made from another scenario, or an older one.")
    return plan


def _why(campaign: Campaign, plan: Plan | None, name: str, *, as_table: bool) -> Exit:
    from planner.reports.quantities_why import why_zone  # noqa: PLC0415 - heavy

    zone = zone_named(campaign, name)
    figures = why_zone(campaign, plan, zone)
    if not figures:
        msg = f"Zone {name} is not in this plan, or no mix may be sprayed on it"
        raise RefusedError(msg)
    if as_table:
        write_lines(line for figure in figures for line in _paragraph(figure))
    else:
        heading = (
            "zone",
            "figure",
            "value",
            "unit",
            "formula",
            "inputs",
            "source",
            "trust",
            "note",
        )
        rows = (
            (
                zone,
                each.name,
                each.value,
                each.unit,
                each.formula,
                each.inputs_words(),
                each.source,
                str(each.trust),
                each.note,
            )
            for each in figures
        )
        show_rows(heading, rows, as_table=False)
    return Exit.DONE


def _paragraph(figure: Figure) -> list[str]:
    """Return one number with its formula, inputs and source as lines for reading."""
    value = "not known" if figure.value is None else f"{figure.value:.6g} {figure.unit}".strip()
    lines = [f"{figure.name} = {value}"]
    parts = {
        "how": figure.formula,
        "from": figure.inputs_words(),
        "source": f"{figure.source} ({figure.trust})",
        "note": figure.note,
    }
    for name, text in parts.items():
        if text:
            lines += textwrap.wrap(
                f"{name}: {text}",
                terminal_width(),
                initial_indent="    ",
                subsequent_indent="        ",
                break_on_hyphens=False,
            )
    return lines
