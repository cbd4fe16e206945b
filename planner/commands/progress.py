"""``ebbwork progress``: write records of the site down, and read what they say."""

from __future__ import annotations

import secrets
from argparse import Namespace
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import astuple, fields
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from planner.commands.codes import Exit
from planner.commands.console import RefusedError, say, say_problems
from planner.commands.listings import load
from planner.commands.text_table import is_readable, show_rows
from planner.commands.words import SAFETY, count
from planner.site.columns import RECORDS

if TYPE_CHECKING:
    from planner.core.clock import Clock
    from planner.site.entry import Stored
    from planner.workflow.site import Writer

HEADING = ("number", "recorded_at", "by", "corrects", "counts", *RECORDS.column_names)


def run_progress(arguments: Namespace) -> Exit:
    """Do one of the actions of ``progress``.

    Raises
    ------
    InputRefusedError
        With everything that is wrong with a record; nothing is written then.
    """
    return _ACTIONS[arguments.action](arguments)


def _writer(arguments: Namespace) -> Writer:
    from planner.workflow.site import Writer  # noqa: PLC0415 - heavy

    now = datetime.now(UTC)  # noqa: TID251 - the rim reads the clock and passes it in
    return Writer(by=arguments.by, at=now, token=secrets.token_hex(16))


def _add(arguments: Namespace) -> Exit:
    from planner.workflow.site import record  # noqa: PLC0415 - heavy

    campaign = load(arguments.scenario).campaign
    cells = {name: str(getattr(arguments, name)) for name in RECORDS.column_names}
    done = record(
        arguments.scenario, campaign, cells, _writer(arguments), corrects=arguments.corrects
    )
    say_problems(done.warnings)
    say(f"Entry {done.numbers[0]} is written.")
    return Exit.DONE


def _withdraw(arguments: Namespace) -> Exit:
    from planner.workflow.site import withdraw  # noqa: PLC0415 - heavy

    number = withdraw(arguments.scenario, arguments.number, _writer(arguments), why=arguments.why)
    say(f"Entry {number} takes entry {arguments.number} back; both stay in the journal.")
    return Exit.DONE


def _import(arguments: Namespace) -> Exit:
    from planner.workflow.site import take_in  # noqa: PLC0415 - heavy

    campaign = load(arguments.scenario).campaign
    done = take_in(arguments.scenario, campaign, arguments.file, _writer(arguments))
    say_problems(done.warnings)
    say(
        f"{count(len(done.numbers), 'new record')} taken from {arguments.file.name}; records that"
        " were in the journal already are not counted twice."
    )
    return Exit.DONE


def _template(arguments: Namespace) -> Exit:
    from planner.reports.record_book import record_workbook  # noqa: PLC0415 - heavy
    from planner.scenario.replace import replace_file  # noqa: PLC0415 - heavy
    from planner.workflow.site import plan_of  # noqa: PLC0415 - heavy

    campaign = load(arguments.scenario).campaign
    plan = None if arguments.plan is None else plan_of(arguments.plan, campaign)
    made = record_workbook(
        campaign,
        plan,
        first_day=arguments.first_day or campaign.clock.first_day,
        last_day=arguments.last_day or campaign.clock.last_day,
    )
    if arguments.file.exists():
        msg = f"{arguments.file} is there already; give another name, so that no record is lost."
        raise RefusedError(msg)
    replace_file(arguments.file, made)
    say(f"Fill in {arguments.file} and take it in with: progress import.")
    return Exit.DONE


def _list(arguments: Namespace) -> Exit:
    from planner.site.entry import current  # noqa: PLC0415 - heavy
    from planner.workflow.site import journal_of  # noqa: PLC0415 - heavy

    clock = load(arguments.scenario).campaign.clock
    stored = journal_of(arguments.scenario).stored()
    holds = {row.number for row in current(stored)}
    wanted = [row for row in stored if arguments.all or row.number in holds]
    rows = list(_rows(wanted, holds, clock))
    as_table = is_readable(asked=arguments.table)
    shown = [place for place in range(len(HEADING)) if not as_table or _is_used(rows, place)]
    show_rows(
        [HEADING[place] for place in shown],
        ([row[place] for place in shown] for row in rows),
        as_table=as_table,
    )
    return Exit.DONE


def _is_used(rows: list[tuple[object, ...]], place: int) -> bool:
    """Return whether a column says something: a table for reading leaves out the others."""
    return any(row[place] not in (None, "") for row in rows)


def _rows(stored: Iterable[Stored], holds: set[int], clock: Clock) -> Iterator[tuple[object, ...]]:
    for row in stored:
        values = [getattr(row.entry, name) for name in RECORDS.column_names]
        yield (
            row.number,
            row.recorded_at.isoformat(timespec="seconds"),
            _plain(row.by),
            row.corrects,
            "yes" if row.number in holds else ("withdraws" if row.withdrawn else "no"),
            *(_shown(value, clock) for value in values),
        )


def _shown(value: object, clock: Clock) -> object:
    if isinstance(value, datetime):
        return clock.text(clock.minute(value))
    return _plain(value) if isinstance(value, str) else value


def _plain(text: str) -> str:
    """Return a text that no spreadsheet takes for a formula."""
    return f"'{text}" if text[:1] in {"=", "+", "-", "@", "\t", "\r"} else text


def _export(arguments: Namespace) -> Exit:
    from planner.workflow.site import export  # noqa: PLC0415 - heavy

    loaded = load(arguments.scenario)
    changed, warnings = export(arguments.scenario, loaded, replace_rows=arguments.replace)
    say_problems(warnings)
    rows = len(changed.tables["progress"].rows)
    say(f"{changed.label('progress')} holds {count(rows, 'row')} from the journal.")
    if changed.tables["zones"] != loaded.tables.tables["zones"]:
        say(f"{changed.label('zones')} holds what break-out found beside the survey.")
    return Exit.DONE


def _estimate(arguments: Namespace) -> Exit:
    from planner.reports.standing import (  # noqa: PLC0415 - heavy
        StandingRow,
        standing_rows,
        standing_sentences,
    )
    from planner.workflow.site import plan_of, standing  # noqa: PLC0415 - heavy

    campaign = load(arguments.scenario).campaign
    plan = None if arguments.plan is None else plan_of(arguments.plan, campaign)
    found = standing(arguments.scenario, campaign, plan)
    rows = standing_rows(campaign, found.stored, found.learnt, found.forecast)
    heading = [field.name for field in fields(StandingRow)]
    show_rows(heading, map(astuple, rows), as_table=is_readable(asked=arguments.table))
    for sentence in standing_sentences(campaign, found.stored, found.learnt, found.forecast):
        say(sentence)
    say(SAFETY)
    return Exit.DONE


_ACTIONS: Mapping[str, Callable[[Namespace], Exit]] = {
    "add": _add,
    "withdraw": _withdraw,
    "import": _import,
    "template": _template,
    "list": _list,
    "export": _export,
    "estimate": _estimate,
}
