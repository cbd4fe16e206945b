"""Entering what a test gave: one more row of results, read as strictly as a file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from planner.core.problems import Problem, Severity
from planner.scenario.raw import Tables
from planner.workflow.editing import look_at, with_row

RESULTS = "results"
HEADING_ROWS = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """What became of a row that was typed.

    Attributes
    ----------
    tables
        The scenario with the row in it; None: it was refused.
    problems
        What is wrong with it, or odd about it.
    """

    tables: Tables | None
    problems: tuple[Problem, ...]


def entered(tables: Tables, cells: Mapping[str, str]) -> Entry:
    """Return the scenario with one more result, unless something in the row is wrong.

    Parameters
    ----------
    cells
        Text by column of results.csv; empty ones may be left out.
    """
    given = {name: text.strip() for name, text in cells.items() if text.strip()}
    after = with_row(tables, RESULTS, given)
    row = HEADING_ROWS + len(after.tables[RESULTS].rows)
    label = after.label(RESULTS)
    found = tuple(
        problem
        for problem in look_at(after).problems
        if problem.file == label and problem.row in {row, HEADING_ROWS}
    )
    wrong = any(problem.severity is Severity.ERROR for problem in found)
    return Entry(tables=None if wrong else after, problems=found)
