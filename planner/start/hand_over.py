"""Find out whether this interpreter can run Ebbwork; else set up one that can and go on there."""

import importlib.metadata
import importlib.util
import os
import subprocess
import sys
from collections.abc import Collection, Mapping, Sequence
from pathlib import Path
from typing import NoReturn

from planner.start.clone import Clone, SetUpError, read_stamp, this_clone, wanted_stamp
from planner.start.set_up import set_up

HOP_VARIABLE = "EBBWORK_STARTED_FROM"
"""Tells the next interpreter where it was started from, so that no two call each other on."""

MODULES: Mapping[str, tuple[str, ...]] = {
    "": (
        "holidays",
        "icalendar",
        "networkx",
        "numpy",
        "openpyxl",
        "ortools",
        "pandas",
        "plotly",
        "pyarrow",
        "reportlab",
        "streamlit",
        "tzdata",
        "xlsxwriter",
    ),
    "test": ("hypothesis", "pint", "pypdf", "pytest", "pytest_cov", "pytest_timeout", "scipy"),
}
"""The top module of each library that is needed, for each set; "" is needed always."""


def prepare(arguments: Sequence[str], *, extras: Collection[str] = ()) -> None:
    """Return where this interpreter has all that is needed; else start again in one that has.

    Parameters
    ----------
    arguments
        What follows ``python3 -m planner`` on the command line.
    extras
        Optional sets of libraries that are needed.

    Raises
    ------
    SetUpError
        Where no such interpreter can be had; the message is one line.
    """
    clone = this_clone()
    came_from = os.environ.pop(HOP_VARIABLE, "")
    missing = missing_modules(extras)
    is_outdated = clone is not None and came_from != "set-up" and _is_outdated(clone, extras)
    if not missing and not is_outdated:
        return
    lacking = ", ".join(missing)
    if clone is None:
        chosen = f"[{','.join(extras)}]" if extras else ""
        msg = f"These libraries are missing: {lacking}. Install planner{chosen} with all it needs."
        raise SetUpError(msg)
    if came_from == "set-up":
        msg = f"The environment still lacks {lacking}: delete .venv and run the command again."
        raise SetUpError(msg)
    if _is_inside(clone) and came_from != "inside":
        _go_on(Path(sys.executable).resolve(), arguments, hop="inside")
    set_up(clone, extras=extras, say=say)
    _go_on(clone.python, arguments, hop="set-up")


def missing_modules(extras: Collection[str] = ()) -> list[str]:
    """Return what this interpreter lacks of Ebbwork and its libraries.

    A library counts only where Ebbwork itself is installed beside it: a machine may have some of
    them in versions that do not fit.
    """
    if not _is_installed():
        return ["planner"]
    wanted = [name for group in ("", *extras) for name in MODULES[group]]
    return [name for name in wanted if importlib.util.find_spec(name) is None]


def run_tests(arguments: Sequence[str]) -> int:
    """Run the tests of the clone and return the exit code.

    Parameters
    ----------
    arguments
        Options and paths for pytest; paths are taken from the clone's folder.
    """
    os.chdir(clone_with_tests().root)
    return _replace([sys.executable, "-m", "pytest", *arguments], dict(os.environ))


def clone_with_tests() -> Clone:
    """Return the clone whose tests can be run.

    Raises
    ------
    SetUpError
        Where there is none: the installed package comes without them.
    """
    clone = this_clone()
    if clone is None or not (clone.root / "tests").is_dir():
        raise SetUpError("The tests are not part of the installed package; run them in a clone.")
    return clone


def say(line: str) -> None:
    """Write a line of progress where it does not mix with data."""
    print(line, file=sys.stderr, flush=True)


def _is_installed() -> bool:
    try:
        found = importlib.metadata.distribution("planner")
    except importlib.metadata.PackageNotFoundError:
        return False
    return any(entry.name == "ebbwork" for entry in found.entry_points)


def _is_inside(clone: Clone) -> bool:
    return Path(sys.prefix).resolve() == clone.environment.resolve()


def _is_outdated(clone: Clone, extras: Collection[str]) -> bool:
    """Say whether this is the clone's environment and its pins have changed since."""
    if not _is_inside(clone):
        return False
    found = read_stamp(clone)
    wanted = wanted_stamp(clone, extras=frozenset(extras))
    return found is not None and not found.covers(wanted)


def _go_on(python: Path, arguments: Sequence[str], *, hop: str) -> NoReturn:
    settings = {**os.environ, HOP_VARIABLE: hop}
    sys.exit(_replace([str(python), "-m", "planner", *arguments], settings))


def _replace(command: Sequence[str], settings: Mapping[str, str]) -> int:
    """Let a command take the place of this process, or return its exit code."""
    if os.name == "posix":
        os.execve(command[0], list(command), dict(settings))
    return subprocess.run(command, env=settings, check=False).returncode
