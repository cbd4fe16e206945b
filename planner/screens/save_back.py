"""Saving a draft to a folder or workbook on this machine, never over what others wrote there."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from planner.core.problems import InputRefusedError
from planner.scenario.dictionary import CAMPAIGN
from planner.scenario.tables import WORKBOOK_SUFFIX, load_tables
from planner.screens import state
from planner.screens.draft_content import content_of
from planner.screens.state import Workspace
from planner.workflow.saving import write_back


@dataclass(frozen=True, slots=True, kw_only=True)
class Saved:
    """What came of saving.

    Attributes
    ----------
    is_done
        Whether it was written.
    asks
        Whether it would be written when told to do so all the same.
    message
        What to tell, as a sentence.
    """

    is_done: bool
    asks: bool = False
    message: str


def save_to(work: Workspace, text: str, *, anyway: bool) -> Saved:
    """Write a draft to a path; what lies there and is not known is asked about first."""
    if work.head is None or work.tables is None:
        return Saved(is_done=False, message="Nothing is open.")
    if not text.strip():
        return Saved(is_done=False, message="Give the path of a folder, or of an .xlsx workbook.")
    path = Path(text.strip().strip("'\"")).expanduser().resolve()
    stands = _in_the_way(path, placed=work.head.placed if work.head.place == str(path) else "")
    if stands is not None and not (stands.asks and anyway):
        return stands
    try:
        write_back(work.tables, path)
    except OSError as error:
        why = error.strerror or type(error).__name__
        return Saved(is_done=False, message=f"It could not be written: {why}. The old one stands.")
    except InputRefusedError as refused:
        return Saved(is_done=False, message=refused.problems[0].line())
    state.store().place_it(work.head.draft_id, place=str(path), placed=content_of(work.tables))
    return Saved(is_done=True, message=f"Saved to {path}.")


def _in_the_way(path: Path, *, placed: str) -> Saved | None:
    """Return what keeps a scenario from being written at a path, or None."""
    if not path.exists():
        return None
    if path.is_file() and path.suffix.lower() != WORKBOOK_SUFFIX:
        return Saved(is_done=False, message="That is a file; give a folder or an .xlsx workbook.")
    if path.is_dir() and not (path / f"{CAMPAIGN}.toml").is_file():
        if any(path.iterdir()) and not placed:
            return Saved(
                is_done=False,
                message="That folder holds other things; give a new or empty one.",
            )
        return None
    there, _ = load_tables(path)
    if content_of(there) == placed:
        return None
    told = (
        "It has been changed there since it was opened here"
        if placed
        else "Another scenario stands there already"
    )
    return Saved(is_done=False, asks=True, message=f"{told}; nothing was written yet.")
