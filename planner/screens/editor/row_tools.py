"""What can be done with whole rows: repeat, insert, remove, move, write as a form."""

from __future__ import annotations

from collections.abc import Callable

import streamlit as st

from planner.core.problems import Problem
from planner.reports.column_words import explained, heading, short_rule
from planner.scenario.dictionary import TABLE_BY_NAME, Column, Kind, Need
from planner.scenario.raw import RawTable, Tables
from planner.screens import state
from planner.screens.state import Workspace
from planner.screens.text import plain
from planner.workflow.editing import with_table
from planner.workflow.sheet import (
    FIRST_ROW,
    choices_for,
    duplicated,
    inserted,
    moved,
    problems_by_row,
    rows_asked,
    what_changed,
    with_edits,
    without_rows,
)

_LISTS = frozenset({Kind.IDENTIFIERS, Kind.CHOICES, Kind.WEEKDAYS})


def show_row_tools(work: Workspace, tables: Tables, name: str) -> None:
    """Show the buttons for rows; the rows are typed, so that no mouse is needed."""
    table, raw = TABLE_BY_NAME[name], tables.tables.get(name)
    with st.container(horizontal=True, vertical_alignment="bottom"):
        text = st.text_input(
            "Rows",
            key=f"rows-{name}",
            placeholder="4 or 4-7",
            width=130,
            help="By the number that stands before each row",
        )
        asked = rows_asked(text, 0 if raw is None else len(raw.rows))
        done: RawTable | None = None
        for label, change in _changes(name, asked.rows).items():
            wants = st.button(label, key=f"rows-{label.lower()}", disabled=not asked.rows)
            if wants and raw is not None:
                done = change(raw)
        is_one = len(asked.rows) == 1
        if st.button("As a form", key="row-form", disabled=not is_one):
            _form(work, tables, name, asked.rows[0])
        if st.button("New row as a form", key="row-new"):
            _form(work, tables, name, 0 if raw is None else len(raw.rows))
        if raw is not None and table.need is not Need.ALWAYS:
            _remove_table(tables, name)
    if text.strip() and asked.complaint:
        st.caption(plain(asked.complaint))
    if done is not None and raw is not None:
        what = what_changed(name, raw, done)
        state.change_tables(with_table(tables, name, done), what=what)
        st.rerun()


def _changes(name: str, rows: tuple[int, ...]) -> dict[str, Callable[[RawTable], RawTable]]:
    table = TABLE_BY_NAME[name]
    return {
        "Duplicate": lambda raw: duplicated(raw, rows, table),
        "Insert above": lambda raw: inserted(raw, rows[0]),
        "Delete": lambda raw: without_rows(raw, rows),
        "Up": lambda raw: moved(raw, rows, -1),
        "Down": lambda raw: moved(raw, rows, +1),
    }


def _remove_table(tables: Tables, name: str) -> None:
    with st.popover("Remove table"):
        st.markdown(f"Takes the whole table **{name}** out; Undo brings it back.")
        if st.button("Remove it", key="remove-table"):
            state.change_tables(with_table(tables, name, None), what=f"{name}: table removed")
            st.rerun()


@st.dialog("A row as a form", width="large")
def _form(work: Workspace, tables: Tables, name: str, row: int) -> None:
    """Show every cell of a row with its choices; kept when the button says so."""
    table, raw = TABLE_BY_NAME[name], tables.tables.get(name)
    old = (
        dict(zip(raw.columns, raw.rows[row], strict=True))
        if raw is not None and row < len(raw.rows)
        else {}
    )
    st.caption(f"{name}, row {row + FIRST_ROW}: {table.title}")
    for problem in problems_by_row(work.problems, tables.label(name)).get(row, ()):
        st.markdown(_told(problem))
    with st.form(key=f"form-{name}-{row}", border=False):
        left, right = st.columns(2)
        cells = {}
        for place, column in enumerate(table.columns):
            with left if place % 2 == 0 else right:
                cells[column.name] = _field(
                    column, tables, old.get(column.name, ""), f"f-{name}-{row}-{column.name}"
                )
        is_kept = st.form_submit_button("Keep the row", type="primary")
    if is_kept:
        new = with_edits(raw, table, {row: cells})
        what = what_changed(name, raw, new)
        state.change_tables(with_table(tables, name, new), what=what)
        st.rerun()


def _told(problem: Problem) -> str:
    where = f"{plain(problem.column)}: " if problem.column else ""
    return f"✗ {where}{plain(problem.message)}"


def _field(column: Column, tables: Tables, text: str, key: str) -> str:
    label = f"{heading(column)} ({short_rule(column)})"
    items = [part.strip() for part in text.split(";") if part.strip()]
    words = explained(column)
    if column.kind in _LISTS:
        offered = choices_for(column, tables, items)
        chosen = st.multiselect(
            label, offered, default=items, key=key, help=words, accept_new_options=True
        )
        return ";".join(chosen)
    offered = choices_for(column, tables, [text])
    if offered:
        options = ("", *offered)
        picked = st.selectbox(label, options, index=options.index(text), key=key, help=words)
        return str(picked or "")
    return st.text_input(label, value=text, key=key, help=words)
