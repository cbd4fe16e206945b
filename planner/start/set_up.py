"""Bring a clone's environment up to date, and do nothing where it is."""

import contextlib
import importlib
import shutil
import subprocess
import sys
from collections.abc import Collection, Iterator
from enum import Enum

from planner.start.clone import Clone, SetUpError, Stamp, read_stamp, wanted_stamp, write_stamp
from planner.start.install import Say, fill_environment, make_environment, tools_here


class Step(Enum):
    """What an environment needs."""

    NOTHING = "it is up to date"
    FILL = "libraries are missing or have changed"
    MAKE = "it is not there, half-made, or of another Python or place"
    REFUSE = "it is somebody's own and of another Python"


def step_for(
    *, found: Stamp | None, wanted: Stamp, is_there: bool, is_ours: bool, fits_python: bool
) -> Step:
    """Decide what an environment needs.

    Parameters
    ----------
    found
        The stamp of the finished environment; ``None`` where there is none.
    wanted
        The stamp it should have.
    is_there
        Whether the folder exists.
    is_ours
        Whether a set-up began or finished it; else somebody made it by hand, and it is never
        thrown away.
    fits_python
        Whether its interpreter is of the same version as the running one.
    """
    if found is not None:
        if found.covers(wanted):
            return Step.NOTHING
        return Step.FILL if found.base == wanted.base else Step.MAKE
    if not is_there or is_ours:
        return Step.MAKE
    return Step.FILL if fits_python else Step.REFUSE


def set_up(clone: Clone, *, extras: Collection[str], say: Say) -> None:
    """Bring the environment up to date.

    Parameters
    ----------
    clone
        The clone whose environment is meant.
    extras
        Optional sets of libraries that must be in it; those it has stay.
    say
        Receives each line of progress.

    Raises
    ------
    SetUpError
        Where it cannot be done; the message is one line.
    """
    try:
        with _alone(clone):
            _bring_up_to_date(clone, extras=frozenset(extras), say=say)
    except OSError as failed:
        msg = f"The environment .venv could not be written: {failed}."
        raise SetUpError(msg) from failed


def _bring_up_to_date(clone: Clone, *, extras: frozenset[str], say: Say) -> None:
    found = read_stamp(clone)
    kept = found.extras if found is not None else frozenset()
    wanted = wanted_stamp(clone, extras=extras | kept)
    step = step_for(
        found=found,
        wanted=wanted,
        is_there=clone.environment.exists(),
        is_ours=clone.unfinished_file.exists() or clone.stamp_file.exists(),
        fits_python=_python_version(clone) == sys.version,
    )
    if step is Step.NOTHING:
        return
    if step is Step.REFUSE:
        raise SetUpError(
            "The folder .venv was made by hand with another Python: move it away, or start "
            "Ebbwork with the Python inside it."
        )
    tools = tools_here()
    if step is Step.MAKE:
        say("Setting up Ebbwork in .venv; this takes about a minute, once ...")
        _clear(clone)
        make_environment(clone, tools)
    else:
        say("Bringing the libraries in .venv up to date ...")
        clone.stamp_file.unlink(missing_ok=True)
    fill_environment(clone, tools, extras=wanted.extras, say=say)
    write_stamp(clone, wanted)


def _clear(clone: Clone) -> None:
    """Leave a folder that holds only the mark of an unfinished environment."""
    if clone.environment.exists():
        shutil.rmtree(clone.environment)
    clone.environment.mkdir()
    clone.unfinished_file.touch()


def _python_version(clone: Clone) -> str | None:
    """Return the version text of the environment's interpreter, ``None`` where it has none."""
    if not clone.python.exists():
        return None
    asked = [str(clone.python), "-c", "import sys; sys.stdout.write(sys.version)"]
    done = subprocess.run(asked, capture_output=True, text=True, check=False)
    return done.stdout if done.returncode == 0 else None


@contextlib.contextmanager
def _alone(clone: Clone) -> Iterator[None]:
    """Let one set-up of a clone wait for another, where the system has file locks."""
    try:
        fcntl = importlib.import_module("fcntl")
    except ImportError:
        yield
        return
    with clone.project_file.open("rb") as held:
        fcntl.flock(held, fcntl.LOCK_EX)
        yield
