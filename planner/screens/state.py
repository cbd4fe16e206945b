"""What the pages remember: with `sheet_state` the only code that touches Streamlit's state.

A scenario is kept as a draft under an id that stands in the address, so that a reloaded page or
another tab finds it again; its running search and its plan are kept on the server under the same
id.  A browser tab remembers which revision of the draft it has shown; a change made on an older
one than the latest is never written over it, but kept as a copy of its own.
"""

from __future__ import annotations

import secrets
from dataclasses import dataclass, field
from threading import RLock
from typing import cast

import streamlit as st

from planner.core.problems import Problem
from planner.model.campaign import Campaign
from planner.scenario.raw import Tables
from planner.screens.data_folder import data_folder, now
from planner.screens.drafts import DraftStore, Head, NoDraftError, Note, StaleError, StoreError
from planner.screens.workspace import Workspace
from planner.workflow.editing import look_at

__all__ = ["Workspace", "workspace"]

WORKSPACES_MAX = 24
PARAMETER = "w"
NEW_NAME = "New scenario"
"""Name of a draft whose campaign has none yet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """The revision of a draft that a browser tab has shown last, with its tables."""

    draft_id: str
    revision: int
    tables: Tables


@dataclass(frozen=True, slots=True, kw_only=True)
class Conflict:
    """A change that was not written, since another tab had changed the draft meanwhile.

    Attributes
    ----------
    theirs
        The draft that both tabs show.
    mine
        The copy in which this tab's change is kept.
    notes
        Who changed what meanwhile, oldest first.
    """

    theirs: str
    mine: str
    notes: tuple[Note, ...]


@dataclass(kw_only=True)
class _Shelf:
    """The workspaces of this server, the one used longest ago first."""

    found: dict[str, Workspace] = field(default_factory=dict)
    lock: RLock = field(default_factory=RLock)


@st.cache_resource
def _shelf() -> _Shelf:
    return _Shelf()


@st.cache_resource
def _store(folder: str) -> DraftStore:  # noqa: ARG001 - one store for each folder
    return DraftStore(data_folder())


def store() -> DraftStore:
    """Return the drafts of this machine's user."""
    return _store(str(data_folder()))


def workspace() -> Workspace:
    """Return the work on the scenario of this tab, as the latest saved draft has it.

    Call it once at the head of a page: the tab counts as having seen the latest revision then.
    """
    draft_id = _address()
    work = _on_shelf(draft_id) if draft_id else None
    if work is None or work.head is None or work.tables is None:
        st.session_state.pop("seen", None)
        return Workspace()
    st.session_state["seen"] = Seen(
        draft_id=draft_id, revision=work.head.revision, tables=work.tables
    )
    return work


def _address() -> str:
    """Return the id of this tab's draft, and keep it in the address."""
    draft_id = str(st.session_state.get(PARAMETER) or st.query_params.get(PARAMETER) or "")
    st.session_state[PARAMETER] = draft_id
    if draft_id and st.query_params.get(PARAMETER) != draft_id:
        st.query_params[PARAMETER] = draft_id
    return draft_id


def _on_shelf(draft_id: str) -> Workspace | None:
    """Return the workspace of a draft, brought to its latest revision."""
    head = store().head(draft_id)
    if head is None:
        return None
    shelf = _shelf()
    with shelf.lock:
        work = shelf.found.pop(draft_id, None) or Workspace()
        shelf.found[draft_id] = work
        _tidy(shelf.found)
    with work.lock:
        if work.head is None or work.head.revision != head.revision:
            head, tables = store().tables(draft_id)
            work.show(head, tables, look_at(tables))
        else:
            work.head = head
    return work


def _tidy(shelf: dict[str, Workspace]) -> None:
    """Drop workspaces beyond the number kept, those with a running search last."""
    idle = [key for key, work in shelf.items() if work.job is None or not work.job.running()]
    for key in (*idle, *(key for key in list(shelf) if key not in idle)):
        if len(shelf) <= WORKSPACES_MAX:
            return
        gone = shelf.pop(key)
        gone.drop_job()
        gone.drop_sweeps()


def who() -> str:
    """Return how others are told whose change it was: a name, or the mark of this tab."""
    name = str(st.session_state.get("who", "")).strip()
    if "tab" not in st.session_state:
        st.session_state["tab"] = secrets.token_hex(2).upper()
    return name or f"browser tab {st.session_state['tab']}"


def _note(what: str, revision: int) -> Note:
    return Note(revision=revision, what=what, who=who(), at=now())


def seen() -> Seen | None:
    """Return what this tab has shown last."""
    return cast("Seen | None", st.session_state.get("seen"))


def same_workspace() -> Workspace:
    """Return the work of this tab inside a fragment, which draws only a part of the page.

    The tab does not count as having seen a later revision by it.
    """
    return _on_shelf(str(st.session_state.get(PARAMETER, ""))) or Workspace()


def current_tables() -> Tables | None:
    """Return the scenario's text as this tab has shown it last."""
    shown = seen()
    return None if shown is None else shown.tables


def current_campaign() -> Campaign | None:
    """Return the campaign as it is now, or None where there is none or it has problems."""
    loaded = same_workspace().loaded
    return None if loaded is None else loaded.campaign


def current_problems() -> tuple[Problem, ...]:
    """Return what is wrong or odd in the scenario as it is now."""
    return same_workspace().problems


def open_draft(draft_id: str) -> None:
    """Show another draft in this tab from now on."""
    st.session_state[PARAMETER] = draft_id
    st.query_params[PARAMETER] = draft_id
    st.session_state.pop("conflict", None)
    st.session_state.pop("refusal", None)
    st.session_state.pop("seen", None)


def new_draft(tables: Tables, *, name: str, source: str, place: str = "", what: str) -> Head:
    """Keep a scenario as a new draft."""
    return store().create(
        secrets.token_urlsafe(6),
        tables,
        name=name,
        source=source,
        place=place,
        note=_note(what, 1),
    )


def change_tables(tables: Tables, *, what: str) -> bool:
    """Save a change made on what this tab has shown; return whether it was written.

    Parameters
    ----------
    tables
        The whole scenario with the change in it.
    what
        What was changed, in a few words: "zones: 2 cells".

    Returns
    -------
    bool
        False where another tab changed the draft meanwhile: the change is kept as a copy, and
        :func:`conflict` tells the page about it.
    """
    shown = seen()
    if shown is None:
        return False
    try:
        head = store().save(
            shown.draft_id, tables, seen=shown.revision, note=_note(what, shown.revision + 1)
        )
    except StaleError as stale:
        _keep_aside(shown, tables, stale.notes, what)
        return False
    except StoreError as trouble:
        say_once(f"This change is not kept: {trouble}.")
        return False
    except NoDraftError:
        open_draft(
            new_draft(tables, name="Kept copy", source="a removed draft", what=what).draft_id
        )
        return True
    st.session_state["seen"] = Seen(draft_id=shown.draft_id, revision=head.revision, tables=tables)
    _name_along(head, shown.tables, tables)
    return True


def _name_along(head: Head, old: Tables, new: Tables) -> None:
    """Give a draft the campaign's new name, unless it was given one of its own."""
    before, after = (one.campaign.get("campaign.name", "").strip() for one in (old, new))
    if after and after != before and head.name in {before, NEW_NAME}:
        store().name_it(head.draft_id, name=after)


def _keep_aside(shown: Seen, tables: Tables, notes: tuple[Note, ...], what: str) -> None:
    """Keep a change that came too late in a copy of its own."""
    theirs = store().head(shown.draft_id)
    name = "Scenario" if theirs is None else theirs.name
    mine = new_draft(
        tables, name=f"{name} (mine)", source=f"a copy of {name}, kept apart", what=what
    )
    st.session_state["conflict"] = Conflict(theirs=shown.draft_id, mine=mine.draft_id, notes=notes)


def conflict() -> Conflict | None:
    """Return the change of this tab that came too late, until it is settled."""
    return cast("Conflict | None", st.session_state.get("conflict"))


def keep_mine() -> None:
    """Settle a conflict: go on with the copy that holds this tab's change."""
    found = conflict()
    if found is not None:
        open_draft(found.mine)


def take_theirs() -> None:
    """Settle a conflict: drop this tab's change, show what the other saved."""
    found = conflict()
    if found is not None:
        store().remove(found.mine)
        st.session_state.pop("conflict", None)


def undo() -> None:
    """Take back the latest change of the draft."""
    _step(-1, "undone")


def redo() -> None:
    """Do the change again that was undone last."""
    _step(+1, "done again")


def _step(by: int, word: str) -> None:
    shown = seen()
    try:
        head = None if shown is None else store().head(shown.draft_id)
        if shown is None or head is None:
            return
        told = head.undoes if by < 0 else head.redoes
        note = _note(f"{word}: {told}", shown.revision + 1)
        store().step(shown.draft_id, by, seen=shown.revision, note=note)
    except StaleError as stale:
        say_once(f"Not {word}, since others were first. {meanwhile(stale.notes)}")
    except StoreError as trouble:
        say_once(f"Not {word}: {trouble}.")


def meanwhile(notes: tuple[Note, ...]) -> str:
    """Return who changed what, as one sentence for each change, the latest three."""
    told = [f"{note.who} at {note.at.astimezone():%H:%M}: {note.what}." for note in notes[-3:]]
    more = len(notes) - len(told)
    return " ".join([*told, *([f"And {more} changes before."] if more else [])])


def refuse(source: str, problems: tuple[Problem, ...]) -> None:
    """Remember what is wrong with something that could not be opened at all."""
    st.session_state["refusal"] = (source, problems)


def forget_refusal() -> None:
    """Speak no more of what could not be opened."""
    st.session_state.pop("refusal", None)


def refusal() -> tuple[str, tuple[Problem, ...]] | None:
    """Return what could not be opened last, and why."""
    return cast("tuple[str, tuple[Problem, ...]] | None", st.session_state.get("refusal"))


def say_once(text: str) -> None:
    """Leave a line for the next page that is drawn."""
    st.session_state["notice"] = text


def said_once() -> str:
    """Return the line left for this page, once."""
    return str(st.session_state.pop("notice", ""))
