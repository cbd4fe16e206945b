"""``ebbwork equipment``: machines, air and water, and where each number comes from."""

from __future__ import annotations

import argparse
import textwrap
from collections.abc import Sequence
from dataclasses import astuple, fields
from pathlib import Path
from typing import TYPE_CHECKING

from planner.commands.cautions import NO_PLAN, list_cautions
from planner.commands.codes import Exit
from planner.commands.console import RefusedError, say, write_lines
from planner.commands.listings import load
from planner.commands.text_table import is_readable, show_rows, terminal_width
from planner.scenario.suggest import did_you_mean

if TYPE_CHECKING:
    from planner.model.machine import MachineType
    from planner.workflow.equipment import Equipment
    from planner.workflow.equipment_rows import WhyRow

LIMIT = (
    "The rated reach of each rig (hose_max_m, rise_max_m) is the limit that plans keep to; air,"
    " water and pressure only advise. Ask makers, and follow your local code for pressure"
    " equipment."
)


def equipment_arguments(command: argparse.ArgumentParser) -> None:
    """Add the arguments of ``equipment``."""
    command.add_argument(
        "scenario",
        metavar="SCENARIO",
        type=Path,
        nargs="?",
        help="scenario folder or .xlsx workbook; not needed with --types",
    )
    command.add_argument(
        "--table", action="store_true", help="a table for reading, also where nobody watches"
    )
    views = command.add_mutually_exclusive_group()
    views.add_argument(
        "--why",
        metavar="ROW/RIG",
        help="formula, inputs and source of every number of a row, or of all rows of a rig",
    )
    views.add_argument(
        "--cautions",
        metavar="PLAN",
        nargs="?",
        const=NO_PLAN,
        help="what can hurt people, as the tables tell it; with a plan folder: what in it asks for"
        " a second look",
    )
    views.add_argument(
        "--types", action="store_true", help="list the machine catalogue with its sources"
    )


def run_equipment(arguments: argparse.Namespace) -> Exit:
    """List what every rig wants at every position, why, or the machine catalogue."""
    as_table = is_readable(asked=arguments.table)
    if arguments.types:
        return _types(as_table=as_table)
    if arguments.scenario is None:
        msg = "equipment: name a scenario folder or workbook, or ask for --types"
        raise RefusedError(msg)
    from planner.workflow.equipment import equipment  # noqa: PLC0415 - heavy

    loaded = load(arguments.scenario)
    if arguments.cautions is not None:
        return list_cautions(loaded, arguments.cautions, as_table=as_table)
    rows = equipment(loaded.campaign)
    if arguments.why is not None:
        return _why(_asked(rows, arguments.why), as_table=as_table)
    _list(rows, as_table=as_table)
    say(LIMIT)
    return Exit.DONE


def _list(rows: Sequence[Equipment], *, as_table: bool) -> None:
    from planner.workflow import equipment_rows as table  # noqa: PLC0415 - heavy

    if not as_table:
        show_rows(table.HEADING, table.csv_rows(rows), as_table=False)
        return
    heading, cells = table.short_table(rows)
    show_rows(heading, cells, as_table=True)
    write_lines([""])
    show_rows(("rows", "advice"), table.advice_rows(rows), as_table=True)


def _asked(rows: Sequence[Equipment], what: str) -> list[Equipment]:
    from planner.workflow.equipment_rows import asked  # noqa: PLC0415 - heavy

    found = asked(rows, what)
    if not found:
        rigs = list(dict.fromkeys(str(each.rig.rig_id) for each in rows))
        msg = (
            f"--why: there is no rig and no row {what!r}; the rigs are {', '.join(rigs)} and the"
            f" rows 1 to {len(rows)}{did_you_mean(what, rigs)}"
        )
        raise RefusedError(msg)
    return found


def _why(rows: Sequence[Equipment], *, as_table: bool) -> Exit:
    from planner.workflow.equipment_rows import WhyRow, why_rows  # noqa: PLC0415 - heavy

    found = list(why_rows(rows))
    if as_table:
        write_lines(line for row in found for line in _paragraph(row))
    else:
        heading = [field.name for field in fields(WhyRow)]
        show_rows(heading, (astuple(row) for row in found), as_table=False)
    return Exit.DONE


def _paragraph(row: WhyRow) -> list[str]:
    """Return one number with its formula, inputs and source as lines for reading."""
    value = "not known" if row.value is None else f"{row.value:g} {row.unit}".strip()
    parts = {
        "how": row.formula,
        "from": row.inputs,
        "source": f"{row.source} ({row.trust})",
        "note": row.note,
    }
    lines = [f"{row.rig} at {row.position or '-'}: {row.figure} = {value}"]
    for name, text in parts.items():
        if text:
            lines += _wrapped(f"{name}: {text}")
    return lines


def _types(*, as_table: bool) -> Exit:
    from planner.model.machines import MACHINES  # noqa: PLC0415 - seldom wanted
    from planner.workflow.equipment_rows import TypeRow, type_rows  # noqa: PLC0415 - heavy

    if as_table:
        write_lines(line for machine in MACHINES for line in _kind(machine))
    else:
        show_rows(
            [field.name for field in fields(TypeRow)], map(astuple, type_rows()), as_table=False
        )
    return Exit.DONE


def _kind(machine: MachineType) -> list[str]:
    """Return a kind of machine with all its values as lines for reading."""
    feed = "batch by batch" if machine.intermittent else "without a break"
    lines = [f"{machine.type_id}: {machine.title}, feeds {feed}", *_wrapped(machine.how)]
    for span in machine.spans:
        known = f"{span.words()}, usual {span.usual:g}" if span.has_range else span.words()
        lines += _wrapped(f"{span.trait}: {known}; {span.source} ({span.trust})")
    return lines


def _wrapped(text: str) -> list[str]:
    return textwrap.wrap(
        text,
        terminal_width(),
        initial_indent="    ",
        subsequent_indent="        ",
        break_on_hyphens=False,
    )
