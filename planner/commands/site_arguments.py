"""The arguments of the commands of the site: progress, history, lookahead, sheets."""

from __future__ import annotations

import argparse
from datetime import date
from pathlib import Path

from planner.site.columns import RECORDS

WEEKS = 2


def _by(command: argparse.ArgumentParser) -> None:
    command.add_argument("--by", metavar="NAME", required=True, help="who writes")


def _table(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--table", action="store_true", help="a table for reading, as on a terminal; else CSV"
    )


def progress_arguments(command: argparse.ArgumentParser) -> None:
    """Add the arguments of ``progress``, the scenario aside."""
    actions = command.add_subparsers(dest="action", metavar="ACTION", required=True)
    add = actions.add_parser("add", help="write one record into the journal", allow_abbrev=False)
    for column in RECORDS.columns:
        unit = f" [{column.unit}]" if column.unit not in {"", "1"} else ""
        add.add_argument(
            f"--{column.name.replace('_', '-')}",
            metavar=column.name.upper(),
            default="",
            help=f"{column.meaning.rstrip('.')}{unit}".replace("%", "%%"),
        )
    add.add_argument(
        "--corrects", metavar="N", type=int, help="number of the entry whose place this one takes"
    )
    _by(add)
    withdraw = actions.add_parser(
        "withdraw", help="take an entry back; it stays in the journal", allow_abbrev=False
    )
    withdraw.add_argument("number", metavar="N", type=int, help="number of the entry")
    withdraw.add_argument("--why", default="", help="why it is taken back")
    _by(withdraw)
    take = actions.add_parser(
        "import", help="take in a spreadsheet of records (.csv or .xlsx)", allow_abbrev=False
    )
    take.add_argument("file", metavar="FILE", type=Path, help="the spreadsheet")
    _by(take)
    blank = actions.add_parser(
        "template", help="write an .xlsx workbook to fill in and import", allow_abbrev=False
    )
    blank.add_argument("file", metavar="FILE.xlsx", type=Path, help="the workbook to write")
    blank.add_argument(
        "plan",
        metavar="PLAN",
        nargs="?",
        type=Path,
        help="plan folder, whose spells are filled in",
    )
    blank.add_argument("--from", dest="first_day", metavar="DATE", type=day, help="first day")
    blank.add_argument("--to", dest="last_day", metavar="DATE", type=day, help="last day")
    listed = actions.add_parser("list", help="list the records that count", allow_abbrev=False)
    listed.add_argument(
        "--all", action="store_true", help="every entry, also corrected and withdrawn ones"
    )
    _table(listed)
    export = actions.add_parser(
        "export",
        help="write progress.csv, and what break-out found, into the scenario",
        allow_abbrev=False,
    )
    export.add_argument(
        "--replace",
        action="store_true",
        help="also where progress.csv holds rows that no record made; they go",
    )
    estimate = actions.add_parser(
        "estimate", help="what the records say of the rest of the work", allow_abbrev=False
    )
    estimate.add_argument(
        "plan", metavar="PLAN", nargs="?", type=Path, help="plan folder, for the finish"
    )
    _table(estimate)


def history_arguments(command: argparse.ArgumentParser) -> None:
    """Add the arguments of ``history``, the scenario aside."""
    actions = command.add_subparsers(dest="action", metavar="ACTION", required=True)
    issue = actions.add_parser("issue", help="keep a plan as issued", allow_abbrev=False)
    issue.add_argument("plan", metavar="PLAN", type=Path, help="plan folder")
    issue.add_argument("--note", default="", help="why it is issued")
    _by(issue)
    listed = actions.add_parser("list", help="list the plans issued", allow_abbrev=False)
    _table(listed)
    diff = actions.add_parser(
        "diff", help="what differs between two plans issued, in words", allow_abbrev=False
    )
    diff.add_argument("before", metavar="A", type=int, help="number of the earlier issue")
    diff.add_argument("after", metavar="B", type=int, help="number of the later issue")
    forecast = actions.add_parser(
        "forecast", help="the finish as it was told with each plan issued", allow_abbrev=False
    )
    _table(forecast)


def lookahead_arguments(command: argparse.ArgumentParser) -> None:
    """Add the arguments of ``lookahead``, the scenario aside."""
    command.add_argument("plan", metavar="PLAN", type=Path, help="plan folder")
    command.add_argument(
        "--weeks",
        metavar="N",
        type=weeks,
        default=WEEKS,
        help="how far to look (default %(default)s)",
    )
    command.add_argument(
        "--from",
        dest="first_day",
        metavar="DATE",
        type=day,
        help="first day (default: that of the last record, or of the campaign)",
    )
    views = command.add_mutually_exclusive_group()
    views.add_argument(
        "--ready",
        dest="view",
        action="store_const",
        const="ready",
        help="list instead what must be ready in that time, and what is not",
    )
    views.add_argument(
        "--months",
        dest="view",
        action="store_const",
        const="months",
        help="list instead what comes after that time, month by month",
    )
    command.add_argument(
        "--ahead",
        metavar="N",
        type=int,
        default=0,
        help="zones that break-out is wanted to be ahead of spraying (default 0)",
    )
    _table(command)


def sheets_arguments(command: argparse.ArgumentParser) -> None:
    """Add the arguments of ``sheets``, the scenario aside."""
    command.add_argument("plan", metavar="PLAN", type=Path, help="plan folder")
    command.add_argument(
        "--out", metavar="FOLDER", type=Path, required=True, help="folder to write the files to"
    )
    command.add_argument("--crew", metavar="CREW", help="only the sheets of this crew")
    command.add_argument("--from", dest="first_day", metavar="DATE", type=day, help="first day")
    command.add_argument("--to", dest="last_day", metavar="DATE", type=day, help="last day")
    command.add_argument("--ics", action="store_true", help="also a calendar file for each crew")
    command.add_argument("--xlsx", action="store_true", help="also the plan as a workbook")
    command.add_argument("--report", action="store_true", help="also a report of the campaign")


def day(text: str) -> date:
    """Return a date written as YYYY-MM-DD.

    Raises
    ------
    argparse.ArgumentTypeError
        If it is none.
    """
    try:
        return date.fromisoformat(text)
    except ValueError:
        msg = f"{text!r} is no date; write it as YYYY-MM-DD"
        raise argparse.ArgumentTypeError(msg) from None


def weeks(text: str) -> int:
    """Return a number of weeks, 1 to 520.

    Raises
    ------
    argparse.ArgumentTypeError
        If it is none.
    """
    most = 520
    if not text.isdigit() or not 1 <= int(text) <= most:
        msg = f"{text!r} is no number of weeks; write a whole number from 1 to {most}"
        raise argparse.ArgumentTypeError(msg)
    return int(text)
