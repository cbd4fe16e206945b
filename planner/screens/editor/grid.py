"""One table as a sheet to type and paste into, with a mark beside each row."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from typing import cast

import pandas as pd
import streamlit as st
from streamlit.elements.lib.column_types import ColumnConfig

from planner.reports.column_words import explained, heading
from planner.scenario.dictionary import TABLE_BY_NAME, Column, Kind, Table
from planner.scenario.raw import RawTable, Tables
from planner.screens import sheet_state, state
from planner.screens.draft_content import table_content
from planner.screens.state import Workspace
from planner.workflow.editing import with_table
from planner.workflow.sheet import (
    FIRST_ROW,
    cells_of,
    choices_for,
    problems_by_row,
    row_marks,
    sheet_parts,
    shown_columns,
    what_changed,
    with_edits,
)

MARK = "row and mark"
"""Name of the column of row numbers; no column of a table is called so."""
HEIGHT_PX = 440
REST_S, LOOK_S = 2.5, 1.0
"""Rest after the last edit until the marks are drawn anew, and how often it is looked for [s].

Cells that come just as a cell is opened by a keystroke can swallow it: seen under load.
"""
_DROPPED = frozenset({Kind.CHOICE, Kind.FLAG, Kind.IDENTIFIER})
_RIGHT = frozenset({Kind.NUMBER, Kind.WHOLE, Kind.LEVEL, Kind.CLOCK_HOUR})


def show_grid(work: Workspace, tables: Tables, name: str) -> None:
    """Show the sheet of a table; each edit is kept at once."""
    table, raw = TABLE_BY_NAME[name], tables.tables.get(name)
    with st.container(horizontal=True, vertical_alignment="center"):
        all_of_them = st.toggle(
            "All columns",
            key=f"all-columns-{name}",
            persist_state="session",
            help="Otherwise those that are needed or used",
        )
        is_plain = st.toggle(
            "Plain cells",
            key="plain-cells",
            persist_state="session",
            help="No drop-down lists: whatever is pasted is kept as it is, and told below where "
            "it is wrong. A drop-down cell passes over pasted words that are not in its list.",
        )
        st.caption("Paste with Ctrl+V; empty rows at the end are for new ones.")
    columns = shown_columns(table, raw, all_of_them=all_of_them)
    part = _part(name, raw)
    filled = 0 if raw is None else len(raw.rows)
    found = problems_by_row(work.problems, tables.label(name))
    cells = {MARK: row_marks(part, filled, found)} | cells_of(raw, columns, part)
    content = work.view(f"content-{name}", lambda: table_content(raw or RawTable(columns=())))
    shape = hashlib.sha256(repr((part, columns, is_plain)).encode()).hexdigest()[:12]
    key = f"{sheet_state.sheet_key(name, content)}-{shape}"
    base = sheet_state.sheet_base(name, key, cells)
    st.data_editor(
        pd.DataFrame(base, dtype="str"),
        key=key,
        on_change=_edited,
        args=(name, key, part),
        num_rows="fixed",
        hide_index=True,
        height=min(HEIGHT_PX, 38 + 35 * len(part)),
        placeholder=" ",
        column_config=_config(table, tables, cells, is_plain=is_plain),
        alt=f"Table {name}: {table.title}. The list of what is wrong stands below it.",
    )
    if base[MARK] != cells[MARK]:  # below the sheet, which must keep its place on the page
        _mark_when_at_rest(name)


@st.fragment(run_every=LOOK_S)
def _mark_when_at_rest(name: str) -> None:
    """Draw the marks beside the rows anew as soon as nobody types."""
    if sheet_state.rest_s() >= REST_S:
        sheet_state.renew_sheet(name)
        st.rerun()


def _part(name: str, raw: RawTable | None) -> range:
    """Return the rows to show; of a long table, the part that is chosen."""
    parts = sheet_parts(raw)
    if len(parts) == 1:
        return parts[0]
    filled = 0 if raw is None else len(raw.rows)
    chosen = st.selectbox(
        "Rows on the page",
        range(len(parts)),
        format_func=lambda at: (
            f"{parts[at].start + FIRST_ROW} to {min(parts[at].stop, filled) + FIRST_ROW - 1}"
        ),
        key=f"part-{name}",
        width=220,
    )
    return parts[min(chosen or 0, len(parts) - 1)]


def _edited(name: str, key: str, part: range) -> None:
    """Keep what was typed or pasted."""
    sheet_state.note_edit()
    shown = state.seen()
    if shown is None:
        return
    held = cast("Mapping[str, Mapping[int, Mapping[str, object]]]", sheet_state.widget_value(key))
    edits = {
        row + part.start: {column: text for column, text in cells.items() if column != MARK}
        for row, cells in held["edited_rows"].items()
    }
    old = shown.tables.tables.get(name)
    new = with_edits(old, TABLE_BY_NAME[name], edits)
    if new == (old or RawTable(columns=new.columns)):
        return
    if state.change_tables(with_table(shown.tables, name, new), what=what_changed(name, old, new)):
        sheet_state.sheet_kept(name, table_content(new))
    if len(new.rows) == part.stop > len((old or new).rows):
        state.say_once(
            "The rows reach the end of the sheet. If more were pasted, the rest was cut off: "
            "there are free rows again now, or use “Take over a list”, which takes any length."
        )


def _config(
    table: Table, tables: Tables, cells: Mapping[str, Sequence[str]], *, is_plain: bool
) -> dict[str, ColumnConfig | None]:
    known = {column.name: column for column in table.columns}
    config: dict[str, ColumnConfig | None] = {
        MARK: st.column_config.TextColumn(
            "Row",
            help="✗ with how many cells of the row are wrong; ! for something odd. Both are told "
            "below the sheet.",
            disabled=True,
            pinned=True,
            width=72,
        )
    }
    for place, name in enumerate(cells):
        if name in known:
            is_name = place == 1 and name in table.key
            config[name] = _column(
                known[name], tables, cells[name], is_plain=is_plain, pinned=is_name
            )
    return config


def _column(
    column: Column, tables: Tables, present: Sequence[str], *, is_plain: bool, pinned: bool
) -> ColumnConfig:
    label, words = heading(column) + (" *" if column.is_required else ""), explained(column)
    if column.kind in _DROPPED and not is_plain:
        options = choices_for(column, tables, present)
        if options:
            return st.column_config.SelectboxColumn(
                label, help=words, options=options, pinned=pinned
            )
    return st.column_config.TextColumn(
        label,
        help=words,
        pinned=pinned,
        alignment="right" if column.kind in _RIGHT else "left",
    )
