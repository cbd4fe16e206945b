"""Opening a scenario from where the user has it."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

from planner.core.problems import InputRefusedError, Problem
from planner.screens.state import Workspace
from planner.workflow.demos import demos
from planner.workflow.loading import load_scenario


def open_demo(work: Workspace, name: str) -> None:
    """Open a demo scenario that comes with the package."""
    open_path(work, demos()[name], source=f"demo {name}")


def open_typed(work: Workspace, text: str) -> None:
    """Open a folder or workbook by the path that somebody typed."""
    path = Path(text.strip().strip("'\"")).expanduser()
    if not text.strip() or not path.exists():
        missing = Problem(
            file=text.strip() or "(no path)",
            message="nothing is there; give the path of a scenario folder or .xlsx workbook",
            code="no-such-path",
        )
        work.refuse(text, (missing,))
        return
    open_path(work, path, source=str(path))


def open_upload(work: Workspace, name: str, content: bytes) -> None:
    """Open a workbook that was uploaded."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / Path(name).name
        path.write_bytes(content)
        open_path(work, path, source=name)


def open_path(work: Workspace, path: Path, *, source: str) -> None:
    """Open a scenario; what is wrong with it is kept for the page to show."""
    try:
        work.take(source, load_scenario(path))
    except InputRefusedError as refused:
        work.refuse(source, refused.problems)
