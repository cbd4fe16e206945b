"""Where a plan may be written: a new or empty folder, or one that holds a plan."""

from __future__ import annotations

import os
from pathlib import Path

from planner.commands.console import RefusedError
from planner.plan.store import is_plan_folder


def plan_target(scenario: Path, out: Path | None) -> Path:
    """Return the folder that a plan of this scenario goes to, known to be usable.

    Links are followed, so that the folder behind one is replaced and not the link.

    Raises
    ------
    RefusedError
        If the folder holds other things, lies below a file or cannot be written.
    """
    target = (out if out is not None else default_target(scenario)).resolve()
    if target.exists() and not target.is_dir():
        msg = f"{target} is a file; give --out a folder for the plan."
        raise RefusedError(msg)
    if target.is_dir():
        _refuse_foreign(target)
    if scenario.resolve().is_relative_to(target):
        msg = f"{target} holds the scenario itself; give --out another folder."
        raise RefusedError(msg)
    _refuse_unwritable(target)
    return target


def as_typed(path: Path) -> Path:
    """Return a path as a user in the current folder would type it."""
    here = Path.cwd()
    return path.relative_to(here) if path.is_relative_to(here) else path


def default_target(scenario: Path) -> Path:
    """Return ``plan`` inside a scenario folder, or ``NAME-plan`` beside a workbook."""
    if scenario.is_dir():
        return scenario / "plan"
    return scenario.with_name(f"{scenario.stem}-plan")


def _refuse_foreign(target: Path) -> None:
    try:
        empty = not any(target.iterdir())
    except OSError as failure:
        msg = f"{target}: {failure.strerror}; give --out a folder that you may read and write."
        raise RefusedError(msg) from failure
    if not empty and not is_plan_folder(target):
        msg = (
            f"{target} holds other things than a plan and is left alone; "
            "give --out a new folder, an empty one or one with a plan in it."
        )
        raise RefusedError(msg)


def _refuse_unwritable(target: Path) -> None:
    """Look at the nearest folder that is there already: the new one is made beside the old."""
    nearest = target.parent
    while not nearest.exists() and nearest != nearest.parent:
        nearest = nearest.parent
    if not nearest.is_dir():
        msg = f"{nearest} is a file, so no folder can be made below it; give --out another path."
        raise RefusedError(msg)
    if not os.access(nearest, os.W_OK | os.X_OK):
        msg = f"{nearest} cannot be written; give --out a folder that you may write."
        raise RefusedError(msg)
