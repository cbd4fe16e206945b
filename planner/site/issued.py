"""Plans as they were issued: each kept whole, with the scenario it was made from.

``issued/0001`` holds ``record.json``, the plan folder ``plan`` as it was, and the scenario's
tables as text in ``scenario``, so that an old plan can be read with the ids and dates of its own
time.
A number is taken by making its folder, which only one of two writers can do.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import tempfile
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from planner.core.problems import InputRefusedError, Problem
from planner.model.campaign import Campaign
from planner.plan.plan import Plan
from planner.plan.store import FIXED, is_plan_folder, read_plan
from planner.scenario.raw import Tables
from planner.scenario.reader import read_scenario
from planner.scenario.writer import write_folder

RECORD = "record.json"
PLAN = "plan"
SCENARIO = "scenario"
_DIGITS = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Issue:
    """One plan that people were told to work to.

    Attributes
    ----------
    number
        Counted from 1.
    issued_at, by, note
        When [UTC], by whom, and why.
    scenario_sha256, plan_sha256
        Hash of the scenario that is kept with it, and of the plan's tables.
    finish, planned_m3, status
        As its summary says.
    forecast, forecast_low, forecast_high
        Finish by the measurements at that time; None: none was worked out, or not within the
        campaign's days.
    folder
        Where it lies.
    """

    number: int
    issued_at: datetime
    by: str
    note: str
    scenario_sha256: str
    plan_sha256: str
    finish: datetime | None
    planned_m3: float
    status: str
    forecast: datetime | None = None
    forecast_low: datetime | None = None
    forecast_high: datetime | None = None
    folder: Path


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What is written beside a plan that is issued.

    Who issues it, when and why; the hash of the scenario that is kept with it; and the finish by
    the measurements at that time.
    """

    by: str
    issued_at: datetime
    scenario_sha256: str
    note: str = ""
    forecast: datetime | None = None
    forecast_low: datetime | None = None
    forecast_high: datetime | None = None


def issue(history: Path, plan: Path, tables: Tables, told: Told) -> Issue:
    """Keep a plan folder and its scenario as the next issue, whole or not at all.

    The same plan of the same scenario is not kept twice in a row: the last issue is returned.

    Raises
    ------
    InputRefusedError
        If the folder holds no plan, or nobody issues it.
    OSError
        If the disk does not let us.
    """
    if not is_plan_folder(plan):
        message = "there is no plan in this folder; plan the scenario first"
        raise InputRefusedError([Problem(file=plan.name, message=message, code="plan-missing")])
    by = " ".join(told.by.split())
    if not by:
        message = "write who issues the plan"
        raise InputRefusedError([Problem(file=plan.name, message=message, code="issue-by")])
    files = {path.name: path.read_bytes() for path in sorted(plan.iterdir()) if path.is_file()}
    summary = json.loads(files["summary.json"])
    digest = _digest(files)
    before = issues(history)
    if before and before[-1].plan_sha256 == digest:
        return before[-1]
    record = {
        "issued_at": told.issued_at.astimezone(UTC).isoformat(),
        "by": by,
        "note": " ".join(told.note.split()),
        "scenario_sha256": told.scenario_sha256,
        "planned_for_sha256": summary["scenario_sha256"],
        "plan_sha256": digest,
        "finish": summary.get("finish"),
        "planned_m3": summary.get("planned_m3", 0.0),
        "status": summary.get("status", ""),
        **{
            name: moment.isoformat()
            for name in ("forecast", "forecast_low", "forecast_high")
            if (moment := getattr(told, name)) is not None
        },
    }
    return _read(_keep(history, files, tables, record))


def _keep(history: Path, files: dict[str, bytes], tables: Tables, record: dict[str, Any]) -> Path:
    history.mkdir(parents=True, exist_ok=True)
    work = Path(tempfile.mkdtemp(dir=history, prefix=".new-"))
    try:
        (work / PLAN).mkdir()
        for name, data in files.items():
            (work / PLAN / name).write_bytes(data)
        write_folder(tables, work / SCENARIO)
        text = json.dumps(record, indent=2, ensure_ascii=False) + "\n"
        (work / RECORD).write_text(text, encoding="utf-8")
        _sync(work)
        return _placed(history, work)
    finally:
        shutil.rmtree(work, ignore_errors=True)


def _placed(history: Path, work: Path) -> Path:
    """Give the folder the next free number; a rename onto one that is there fails."""
    number = max((row.number for row in issues(history)), default=0)
    while True:
        number += 1
        target = history / f"{number:0{_DIGITS}d}"
        try:
            work.chmod(0o755)
            work.rename(target)
        except OSError:
            if not target.exists():
                raise
            continue
        return target


def _sync(folder: Path) -> None:
    for path in sorted(folder.rglob("*")):
        if path.is_file():
            handle = os.open(path, os.O_RDONLY)
            try:
                os.fsync(handle)
            finally:
                os.close(handle)


def issues(history: Path) -> tuple[Issue, ...]:
    """Return every issue in order; a folder without a readable record is passed over."""
    if not history.is_dir():
        return ()
    found = [
        _read(folder)
        for folder in sorted(history.iterdir())
        if folder.name.isdigit() and (folder / RECORD).is_file()
    ]
    return tuple(found)


def issue_numbered(history: Path, number: int) -> Issue:
    """Return one issue.

    Raises
    ------
    InputRefusedError
        If there is none with that number.
    """
    found = issues(history)
    for row in found:
        if row.number == number:
            return row
    known = f"there are {found[0].number} to {found[-1].number}" if found else "none was issued"
    message = f"there is no issue {number}; {known}"
    raise InputRefusedError([Problem(file=history.name, message=message, code="no-such-issue")])


def _read(folder: Path) -> Issue:
    record = json.loads((folder / RECORD).read_text(encoding="utf-8"))

    def moment(name: str) -> datetime | None:
        text = record.get(name)
        return None if text is None else datetime.fromisoformat(text)

    return Issue(
        number=int(folder.name),
        issued_at=datetime.fromisoformat(record["issued_at"]),
        by=record["by"],
        note=record["note"],
        scenario_sha256=record["scenario_sha256"],
        plan_sha256=record["plan_sha256"],
        finish=moment("finish"),
        planned_m3=float(record["planned_m3"]),
        status=record["status"],
        forecast=moment("forecast"),
        forecast_low=moment("forecast_low"),
        forecast_high=moment("forecast_high"),
        folder=folder,
    )


def _digest(files: dict[str, bytes]) -> str:
    found = hashlib.sha256()
    for name in FIXED:
        found.update(name.encode() + b"\0" + files.get(name, b"") + b"\0")
    return found.hexdigest()


def read_issue(row: Issue) -> tuple[Campaign, Plan]:
    """Return the campaign and the plan of an issue, by the clock of its own scenario."""
    campaign, _ = read_scenario(row.folder / SCENARIO)
    plan, _ = read_plan(row.folder / PLAN, campaign)
    return campaign, plan
