"""The line above a scenario that is worked on: saved when, undo, copies, ways out."""

from __future__ import annotations

import re

import streamlit as st

from planner.screens import state
from planner.screens.drafts import Head
from planner.screens.save_back import save_to
from planner.screens.state import Workspace
from planner.screens.text import plain
from planner.workflow.saving import scenario_workbook, scenario_zip, workbook_problem

WATCH_S = 5.0
"""How often an idle tab looks whether another one has saved [s]."""


def bar(work: Workspace) -> None:
    """Show when the scenario was saved, and what can be done with it as a whole."""
    head = work.head
    if head is None or work.tables is None:
        return
    _conflict(head)
    notice = state.said_once()
    if notice:
        st.info(plain(notice))
    with st.container(horizontal=True, vertical_alignment="center"):
        st.button(
            "Undo",
            key="undo",
            on_click=state.undo,
            disabled=not head.undoes,
            shortcut="Ctrl+Z",
            help=f"Takes back: {plain(head.undoes)}" if head.undoes else "Nothing to take back",
        )
        st.button(
            "Redo",
            key="redo",
            on_click=state.redo,
            disabled=not head.redoes,
            shortcut="Ctrl+Y",
            help=f"Does again: {plain(head.redoes)}" if head.redoes else "Nothing to do again",
        )
        with st.popover("Copy, save, download"):
            _ways_out(work, head)
        _saved_line()


def _ways_out(work: Workspace, head: Head) -> None:
    tables = work.tables
    if tables is None:
        return
    st.text_input(
        "Your name, for others who work on it",
        key="who",
        persist_state="session",
        placeholder=state.who(),
    )
    name = st.text_input("Name of a copy", value=f"{head.name} (copy)", key="copy-name")
    if st.button("Make the copy and go on with it", key="copy") and name.strip():
        copy = state.new_draft(
            tables, name=name.strip()[:120], source=f"a copy of {head.name}", what="copied"
        )
        state.open_draft(copy.draft_id)
        st.rerun()
    st.divider()
    _save(work, head)
    st.divider()
    stem = file_stem(head.name)
    st.download_button(
        "Download as .zip of tables",
        data=lambda: scenario_zip(tables, stem),
        file_name=f"{stem}.zip",
        mime="application/zip",
        on_click="ignore",
        key="download-zip",
    )
    _workbook(work, stem)


def _workbook(work: Workspace, stem: str) -> None:
    tables = work.tables
    if tables is None:
        return
    lost = work.view("workbook", lambda: workbook_problem(tables))
    if lost:
        st.caption(f"No workbook: {plain(lost)}")
        return
    st.download_button(
        "Download as .xlsx workbook",
        data=lambda: scenario_workbook(tables),
        file_name=f"{stem}.xlsx",
        mime="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
        on_click="ignore",
        key="download-xlsx",
    )


def _save(work: Workspace, head: Head) -> None:
    path = st.text_input(
        "Folder or .xlsx workbook on this machine",
        value=head.place,
        key="save-path",
        help="Written whole or not at all; other files of the folder, and the comments of "
        "campaign.toml, are kept.",
    )
    with st.container(horizontal=True):
        wants = st.button("Save there", key="save")
        anyway = st.button(
            "Save over it", key="save-anyway", help="Also where something else stands there"
        )
    if wants or anyway:
        saved = save_to(work, path, anyway=anyway)
        if saved.is_done:
            st.success(plain(saved.message))
        else:
            more = " “Save over it” writes all the same." if saved.asks else ""
            st.warning(plain(saved.message) + more)
    elif head.place:
        told = "holds the same" if head.is_saved else "does not hold the latest changes"
        st.caption(f"{plain(head.place)} {told}.")


def file_stem(name: str) -> str:
    """Return a name for a file from a name for people."""
    words = re.findall(r"[A-Za-z0-9]+", name)
    return "-".join(words).lower()[:60] or "scenario"


def _conflict(head: Head) -> None:
    found = state.conflict()
    if found is None or found.theirs != head.draft_id:
        return
    with st.container(border=True):
        st.warning(
            "**Two at work.** This scenario was changed elsewhere before your last change was "
            f"saved: {plain(state.meanwhile(found.notes))} Nothing was overwritten. Your change "
            "is kept in a copy; below you see what the other saved."
        )
        with st.container(horizontal=True):
            if st.button("Keep mine as a copy and go on with it", key="keep-mine"):
                state.keep_mine()
                st.rerun()
            if st.button("Take theirs and drop my change", key="take-theirs"):
                state.take_theirs()
                st.rerun()


@st.fragment(run_every=WATCH_S)
def _saved_line() -> None:
    """Say when the latest change was kept, and whether another tab has been at work since."""
    shown = state.seen()
    head = None if shown is None else state.store().head(shown.draft_id)
    if shown is None or head is None:
        return
    if head.revision != shown.revision:
        told = state.meanwhile(state.store().notes(head.draft_id, after=shown.revision))
        st.markdown(f"**Changed elsewhere.** {plain(told)}")
        if st.button("Show it", key="show-theirs"):
            st.rerun()
        return
    st.caption(
        f"Every change is kept. Latest {head.last.at.astimezone():%H:%M:%S}: "
        f"{plain(head.last.what)} ({plain(head.last.who)}). Change {head.revision}."
    )
