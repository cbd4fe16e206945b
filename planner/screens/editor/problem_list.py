"""What is wrong in the table on the page, row by row, and how much there is elsewhere."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import pandas as pd
import streamlit as st

from planner.core.problems import Problem, Severity
from planner.reports.column_words import heading
from planner.reports.labels import count
from planner.scenario.dictionary import CAMPAIGN, TABLE_BY_NAME
from planner.scenario.raw import RawTable, Tables
from planner.screens import components
from planner.screens.state import Workspace
from planner.screens.text import plain
from planner.workflow.sheet import FIRST_ROW

LISTED_MAX = 200


def show_problems(work: Workspace, tables: Tables, name: str) -> None:
    """Show the problems of a table below it, those of others as a count."""
    file = tables.label(name)
    here = [problem for problem in work.problems if problem.file == file]
    here.sort(key=lambda one: (one.severity is not Severity.ERROR, one.row or 0))
    if not here:
        st.markdown("✓ Nothing is wrong in this table.")
    else:
        wrong = sum(problem.severity is Severity.ERROR for problem in here)
        odd = len(here) - wrong
        told = [f"{count(wrong, 'thing')} to mend"] * bool(wrong)
        told += [f"{odd} odd but possible"] * bool(odd)
        st.markdown(f"**{', '.join(told)}**")
        components.table(
            problem_frame(here[:LISTED_MAX], tables.tables.get(name), name),
            key="table-problems",
            alt=f"What is wrong in {name}, one line each",
        )
        if len(here) > LISTED_MAX:
            st.caption(f"And {len(here) - LISTED_MAX} more; mend these first.")
    _elsewhere(work, file)


def problem_frame(problems: Sequence[Problem], raw: RawTable | None, name: str) -> pd.DataFrame:
    """Return problems with the headings that the sheet has, and the cell as it is written."""
    rows = [
        {
            "Row": "" if problem.row is None else str(problem.row),
            "Column": _heading(name, problem.column),
            "Written": _cell(raw, problem),
            "What is wrong, and what would be right": problem.message,
            "Weight": "✗ wrong" if problem.severity is Severity.ERROR else "! odd",
        }
        for problem in problems
    ]
    return pd.DataFrame(rows)


def _heading(name: str, column: str) -> str:
    table = TABLE_BY_NAME.get(name)
    if table is None or column not in table.column_names:
        return column
    return heading(table.column(column))


def _cell(raw: RawTable | None, problem: Problem) -> str:
    if raw is None or problem.row is None or problem.column not in raw.columns:
        return ""
    row = problem.row - FIRST_ROW
    return raw.rows[row][raw.columns.index(problem.column)] if 0 <= row < len(raw.rows) else ""


def _elsewhere(work: Workspace, file: str) -> None:
    others = Counter(
        problem.file
        for problem in work.problems
        if problem.severity is Severity.ERROR and problem.file != file
    )
    if others:
        told = ", ".join(
            f"{_plain_name(other)} ({number})" for other, number in others.most_common(8)
        )
        st.caption(f"To mend elsewhere: {plain(told)}.")


def _plain_name(file: str) -> str:
    stem = file.rpartition(".")[0] or file
    return "settings" if stem == CAMPAIGN else stem.replace("_", " ")
