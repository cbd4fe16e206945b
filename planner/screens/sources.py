"""Opening a scenario from where the user has it; each becomes a draft of its own."""

from __future__ import annotations

from pathlib import Path

from planner.core.problems import InputRefusedError, Problem
from planner.scenario.raw import Tables
from planner.screens import state
from planner.screens.draft_content import content_of
from planner.screens.drafts import Head
from planner.workflow.demos import demos
from planner.workflow.opening import blank_tables, read_for_editing, read_upload


def open_demo(name: str) -> None:
    """Open a demo scenario that comes with the package."""
    _open_path(demos()[name], source=f"demo {name}", place="")


def open_blank() -> None:
    """Open a scenario with nothing in it yet."""
    _take(blank_tables(), name=state.NEW_NAME, source="started from blank")


def open_typed(text: str) -> None:
    """Open a folder or workbook by the path that somebody typed."""
    path = Path(text.strip().strip("'\"")).expanduser()
    if not text.strip() or not path.exists():
        missing = Problem(
            file=text.strip() or "(no path)",
            message="nothing is there; give the path of a scenario folder or .xlsx workbook",
            code="no-such-path",
        )
        state.refuse(text.strip() or "An empty path", (missing,))
        return
    path = path.resolve()
    _open_path(path, source=str(path), place=str(path))


def open_upload(name: str, content: bytes) -> None:
    """Open a workbook or a zip of tables that was uploaded."""
    try:
        tables = read_upload(name, content)
    except InputRefusedError as refused:
        state.refuse(name, refused.problems)
        return
    _take(tables, name=_title(tables, name), source=f"upload {name}")


def _open_path(path: Path, *, source: str, place: str) -> None:
    try:
        tables = read_for_editing(path)
    except InputRefusedError as refused:
        state.refuse(source, refused.problems)
        return
    _take(tables, name=_title(tables, path.name), source=source, place=place)


def _take(tables: Tables, *, name: str, source: str, place: str = "") -> None:
    """Go on with a draft that holds just this already, or keep a new one."""
    same = _same_draft(tables, source)
    if same is not None:
        state.open_draft(same.draft_id)
        return
    head = state.new_draft(tables, name=name, source=source, place=place, what="opened")
    state.open_draft(head.draft_id)


def _same_draft(tables: Tables, source: str) -> Head | None:
    content = content_of(tables)
    for head in state.store().recent():
        if head.source == source and head.content == content:
            return head
    return None


def unsaved_drafts(text: str) -> list[Head]:
    """Return drafts of a folder or workbook that hold changes not saved to it."""
    if not text.strip():
        return []
    place = str(Path(text.strip().strip("'\"")).expanduser().resolve())
    return [head for head in state.store().recent() if head.place == place and not head.is_saved]


def _title(tables: Tables, otherwise: str) -> str:
    return tables.campaign.get("campaign.name", "").strip()[:120] or otherwise
