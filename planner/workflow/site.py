"""Records of the site from end to end: write them down, take them in, carry them into the plan."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from planner.core.problems import InputRefusedError, Problem
from planner.model.campaign import Campaign
from planner.plan.plan import Plan
from planner.plan.store import read_plan
from planner.scenario.raw import Form, Tables, label
from planner.scenario.reader import campaign_of
from planner.scenario.replace import replace_file
from planner.scenario.workbook import write_workbook
from planner.scenario.writer import csv_text
from planner.site.entry import Entry, Stored, body_of, current
from planner.site.export import PROGRESS, ZONES, by_hand, unknown_rows, with_tables
from planner.site.forecast import Forecast, Learnt, forecast, learnt
from planner.site.journal import Journal
from planner.site.place import journal_path
from planner.site.records import entries_of_file, entry_of_cells
from planner.workflow.loading import Loaded


@dataclass(frozen=True, slots=True, kw_only=True)
class Writer:
    """Who writes, when, and what tells this writing from another try of the same."""

    by: str
    at: datetime
    token: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Recorded:
    """Numbers of the entries written, and what is odd about them."""

    numbers: tuple[int, ...]
    warnings: tuple[Problem, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """What the records say: factors, and the forecast where a plan is given."""

    learnt: Learnt
    forecast: Forecast | None
    stored: tuple[Stored, ...]


def journal_of(scenario: Path) -> Journal:
    """Return the journal of a scenario folder or workbook."""
    return Journal(journal_path(scenario))


def record(
    scenario: Path,
    campaign: Campaign,
    cells: Mapping[str, str],
    writer: Writer,
    *,
    corrects: int | None = None,
) -> Recorded:
    """Write one record of a form or command line.

    Raises
    ------
    InputRefusedError
        With everything that is wrong; nothing is written then.
    """
    entry, warnings = entry_of_cells(cells, campaign, file="record")
    number = journal_of(scenario).add(
        entry, by=writer.by, recorded_at=writer.at, token=writer.token, corrects=corrects
    )
    return Recorded(numbers=(number,), warnings=warnings)


def withdraw(scenario: Path, number: int, writer: Writer, *, why: str) -> int:
    """Take an entry back; it stays in the journal and counts no more."""
    return journal_of(scenario).add(
        Entry(note=why or None),
        by=writer.by,
        recorded_at=writer.at,
        token=writer.token,
        corrects=number,
        withdrawn=True,
    )


def take_in(scenario: Path, campaign: Campaign, path: Path, writer: Writer) -> Recorded:
    """Write the records of a spreadsheet, all or none.

    A record is known again by what it says, so that a file can be taken in twice, or grow from
    day to day, and nothing is counted twice.

    Raises
    ------
    InputRefusedError
        With everything that is wrong, by row and column; nothing is written then.
    """
    found, warnings = entries_of_file(path, campaign)
    rows = [(_token(entry), entry, None, False) for _, entry in found]
    journal = journal_of(scenario)
    last = max((row.number for row in journal.stored()), default=0)
    numbers = journal.add_all(rows, by=writer.by, recorded_at=writer.at)
    return Recorded(
        numbers=tuple(sorted({number for number in numbers if number > last})), warnings=warnings
    )


def _token(entry: Entry) -> str:
    text = json.dumps(body_of(entry), sort_keys=True)
    return f"import:{hashlib.sha256(text.encode()).hexdigest()}"


def export(
    scenario: Path, loaded: Loaded, *, replace_rows: bool
) -> tuple[Tables, tuple[Problem, ...]]:
    """Write what the journal says into the scenario: progress.csv, and finds into zones.csv.

    Returns
    -------
    tuple
        The scenario as it stands now, and what is odd about it.

    Raises
    ------
    InputRefusedError
        If progress.csv holds rows that no entry made (``replace_rows`` puts them away), or the
        changed scenario is refused; nothing is written then.
    """
    journal = journal_of(scenario)
    stored, now = journal.stored(), journal.current()
    if not stored:
        problem = Problem(
            file=journal.path.name, message="there is no record yet", code="journal-empty"
        )
        raise InputRefusedError([problem])
    strangers = unknown_rows(loaded.campaign, loaded.campaign.done, stored)
    if strangers and not replace_rows:
        number = len(strangers)
        rows = "1 row comes" if number == 1 else f"{number} rows come"
        message = (
            f"{rows} from no entry of the journal, the first of zone {strangers[0].zone_id};"
            " take them in with progress import, or export with --replace"
        )
        file = loaded.tables.label(PROGRESS)
        raise InputRefusedError([Problem(file=file, message=message, code="progress-foreign")])
    changed = with_tables(loaded.tables, loaded.campaign, now)
    _, warnings = campaign_of(changed)
    _write(changed, scenario, loaded.tables)
    return changed, tuple(warnings)


def _write(tables: Tables, path: Path, before: Tables) -> None:
    """Write the tables that changed, zones first: a found depth may be what a layer needs."""
    if tables.form is Form.WORKBOOK:
        write_workbook(tables, path)
        return
    for name in (ZONES, PROGRESS):
        raw = tables.tables.get(name)
        if raw is not None and raw != before.tables.get(name):
            replace_file(path / label(name, Form.FOLDER), csv_text(raw).encode())


def standing(scenario: Path, campaign: Campaign, plan: Plan | None) -> Standing:
    """Return what the records say of the rest of the work."""
    ever = journal_of(scenario).stored()
    now, rest = current(ever), by_hand(campaign, ever)
    return Standing(
        learnt=learnt(campaign, now),
        forecast=None if plan is None else forecast(rest, plan, now),
        stored=now,
    )


def plan_of(folder: Path, campaign: Campaign) -> Plan:
    """Return the plan of a folder, read by the ids and dates of the campaign."""
    plan, _ = read_plan(folder, campaign)
    return plan
