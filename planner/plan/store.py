"""Keep a plan as a folder of CSV tables and summary.json, and read it again (contract, section 5).

A folder is written whole or not at all (:mod:`planner.plan.folder`); one that holds something
other than a plan is never written over.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from planner.core.problems import InputRefusedError, Problem
from planner.model.campaign import Campaign
from planner.plan.folder import recover, replace_folder, standing
from planner.plan.plan import Plan, Proof
from planner.plan.rows import COLUMNS, READERS, Known, Row, cells, plan_of
from planner.plan.summary import summary

SUMMARY = "summary.json"
MARK = "scenario_sha256"
"""The key by which a summary.json is known to be a plan's."""
EXTRA = "extra_files"
"""Key of summary.json: files in the folder that came with this plan besides the fixed ones."""
FIXED = (*COLUMNS, SUMMARY)


def write_plan(
    folder: Path,
    campaign: Campaign,
    plan: Plan,
    proof: Proof,
    version: str,
    *,
    extra: Mapping[str, str] | None = None,
) -> None:
    """Write a plan folder, whole or not at all; an old one stays until the new one is whole.

    Parameters
    ----------
    folder
        Target.  May be missing, empty, or hold an earlier plan, whose files are replaced; what
        somebody else put beside them is kept.
    version
        Version of the planner.
    extra
        More files that belong to this plan: text by plain file name.

    Raises
    ------
    planner.core.problems.InputRefusedError
        If the target holds something other than a plan.
    ValueError
        If an extra file has the name of a fixed one, or is no plain name.
    OSError
        If the disk does not let us.
    """
    extra = extra or {}
    for name in extra:
        if not name or name in FIXED or Path(name).name != name:
            msg = f"an extra file needs a plain name of its own, got {name!r}"
            raise ValueError(msg)
    target = folder.resolve()
    recover(target)
    _refuse_unless_plan(target)
    figures = summary(campaign, plan, proof, version=version)
    if extra:
        figures[EXTRA] = sorted(extra)
    files = {name: _csv(name, rows) for name, rows in cells(plan, campaign.clock).items()}
    files[SUMMARY] = json.dumps(figures, indent=2, ensure_ascii=False, allow_nan=False) + "\n"
    replace_folder(target, {**files, **extra}, own=_own_names(target))


def read_plan(folder: Path, campaign: Campaign) -> tuple[Plan, dict[str, Any]]:
    """Return the plan of a folder, and its summary.

    Raises
    ------
    planner.core.problems.InputRefusedError
        If a file is missing or a cell cannot be read; carries every such problem.
    """
    place = standing(folder)
    if not place.is_dir():
        message = "there is no such plan folder; name one that holds spells.csv and summary.json."
        raise InputRefusedError([_problem(folder.name, "plan-missing", message)])
    known = Known.of(campaign)
    problems: list[Problem] = []
    records = {name: _read_table(place / name, known, problems) for name in COLUMNS}
    figures = _read_summary(place / SUMMARY, problems)
    if problems:
        raise InputRefusedError(problems)
    return plan_of(records), figures


def _refuse_unless_plan(folder: Path) -> None:
    if not folder.exists() or is_plan_folder(folder):
        return
    if not folder.is_dir():
        message = "is a file, not a folder; choose another place for the plan."
    elif any(folder.iterdir()):
        message = (
            "holds something other than a plan, and is not written over; "
            "choose a new or an empty folder for the plan."
        )
    else:
        return
    raise InputRefusedError([_problem(folder.name, "plan-folder-taken", message)])


def is_plan_folder(folder: Path) -> bool:
    """Return whether a folder holds a plan: its summary.json names the scenario of one."""
    return MARK in _summary_or_nothing(folder)


def _own_names(folder: Path) -> list[str]:
    extra = _summary_or_nothing(folder).get(EXTRA, [])
    return [*FIXED, *(name for name in extra if isinstance(name, str))]


def _summary_or_nothing(folder: Path) -> dict[str, Any]:
    try:
        return _read_summary(folder / SUMMARY, [])
    except OSError:
        return {}


def _problem(file: str, code: str, message: str) -> Problem:
    return Problem(file=file, message=message, code=code)


def _csv(name: str, rows: Iterable[tuple[str, ...]]) -> str:
    lines = [",".join(map(_quoted, row)) for row in (COLUMNS[name], *rows)]
    return "\n".join(lines) + "\n"


def _quoted(text: str) -> str:
    """Quote a cell where need be; a lone carriage return too, which the csv module leaves bare."""
    if any(mark in text for mark in ',"\r\n'):
        return '"' + text.replace('"', '""') + '"'
    return text


def _text(path: Path, problems: list[Problem]) -> str | None:
    """Return the text of a file, or None with a problem where it cannot be had."""
    try:
        with path.open(encoding="utf-8-sig", newline="") as file:
            return file.read()
    except FileNotFoundError:
        message = "is missing; a plan folder holds " + ", ".join(FIXED) + "."
        problems.append(_problem(path.name, "plan-file-missing", message))
    except UnicodeDecodeError:
        message = "is not UTF-8 text; save it as UTF-8."
        problems.append(_problem(path.name, "plan-file-encoding", message))
    return None


def _read_summary(path: Path, problems: list[Problem]) -> dict[str, Any]:
    text = _text(path, problems)
    if text is None:
        return {}
    try:
        found = json.loads(text)
    except json.JSONDecodeError as error:
        message = f"is not JSON: {error.msg} in column {error.colno} of this line."
        problems.append(
            Problem(file=path.name, row=error.lineno, message=message, code="plan-summary-json")
        )
        return {}
    if not isinstance(found, dict):
        message = "holds no JSON object; write the summary as {...}."
        problems.append(_problem(path.name, "plan-summary-object", message))
        return {}
    return found


def _read_table(path: Path, known: Known, problems: list[Problem]) -> list[Any]:
    text = _text(path, problems)
    if text is None:
        return []
    try:
        table = list(csv.reader(io.StringIO(text, newline=""), strict=True))
    except csv.Error as error:
        message = f"is not a comma-separated table: {error}."
        problems.append(_problem(path.name, "plan-table", message))
        return []
    heading = [cell.strip() for cell in table[0]] if table else []
    missing = [column for column in COLUMNS[path.name] if column not in heading]
    if missing:
        problems.extend(
            Problem(
                file=path.name,
                row=1,
                column=column,
                message="this column is missing; the heading needs it.",
                code="plan-column-missing",
            )
            for column in missing
        )
        return []
    return _read_rows(path.name, heading, table[1:], known, problems)


def _read_rows(
    name: str,
    heading: list[str],
    table: list[list[str]],
    known: Known,
    problems: list[Problem],
) -> list[Any]:
    records = []
    for number, texts in enumerate(table, start=2):
        if not any(text.strip() for text in texts):
            continue
        row = Row(name, number, dict(zip(heading, texts, strict=False)), known)
        record = READERS[name](row)
        problems.extend(row.problems)
        if not row.problems:
            records.append(record)
    return records
