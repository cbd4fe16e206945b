"""Every table of the scenario, to be read and changed."""

from __future__ import annotations

import streamlit as st

from planner.reports.labels import count
from planner.scenario.dictionary import TABLE_BY_NAME
from planner.scenario.raw import Tables
from planner.screens.bar import bar
from planner.screens.editor.grid import show_grid
from planner.screens.editor.list_import import show_list_import
from planner.screens.editor.picker import pick
from planner.screens.editor.problem_list import show_problems
from planner.screens.editor.row_tools import show_row_tools
from planner.screens.editor.settings import show_settings
from planner.screens.navigation import go_to
from planner.screens.state import Workspace, workspace
from planner.screens.text import plain
from planner.workflow.key_sheet import KEY_SHEETS


def render() -> None:
    work = workspace()
    if work.head is None or work.tables is None:
        st.title("Tables")
        st.info("Open a scenario first, or start from blank; a demo will do.")
        go_to("start", label="Choose a scenario →")
        return
    st.title(plain(work.head.name))
    bar(work)
    name = pick(work, work.tables)
    if name in KEY_SHEETS:
        show_settings(work, work.tables, name)
        return
    _table(work, work.tables, name)


def _table(work: Workspace, tables: Tables, name: str) -> None:
    table, raw = TABLE_BY_NAME[name], tables.tables.get(name)
    need = f" ({table.need}{f': {table.needed_when}' if table.needed_when else ''})"
    rows = "not in the scenario yet" if raw is None else count(len(raw.rows), "row")
    st.header(name.replace("_", " ").capitalize())
    st.caption(f"{table.title[:1].upper()}{table.title[1:]}{need}; {rows}. * must be filled.")
    show_grid(work, tables, name)
    show_row_tools(work, tables, name)
    show_problems(work, tables, name)
    show_list_import(work, tables, name)


if __name__ == "__main__":
    render()
