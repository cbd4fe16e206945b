"""The course of a search: when a better plan or a better bound was found (search.csv).

A row is written whenever the value or the bound of the goal that is being worked on changes, so
the rows of a plan are the same on any machine; only their ``seconds`` are not.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from planner.core.progress import Listener, Progress, silent
from planner.core.rounding import DECIMALS
from planner.plan.rows import exact

SEARCH = "search.csv"
COLUMNS = ("seconds", "goal", "value", "bound")


@dataclass(frozen=True, slots=True, kw_only=True)
class SearchStep:
    """The state of the search for one goal.

    Attributes
    ----------
    seconds
        Since the search began [s].
    goal
        Goal that is being worked on.
    value, bound
        Value of the best plan, and the bound proven by then, in the goal's own unit; finish in
        hours from minute 0.  A bound of 0 says nothing yet.
    """

    seconds: float
    goal: str
    value: float
    bound: float


class SearchLog:
    """A listener that keeps each change of a value or a bound, and hands every report on.

    Parameters
    ----------
    listener
        Who else listens.
    """

    def __init__(self, listener: Listener = silent) -> None:
        self._listener = listener
        self._steps: list[SearchStep] = []

    def __call__(self, report: Progress) -> None:
        """Take one report."""
        self._listener(report)
        if not report.goal or report.best is None or report.bound is None:
            return
        step = SearchStep(
            seconds=round(report.elapsed_s, 2),
            goal=report.goal,
            value=round(report.best, DECIMALS),
            bound=round(report.bound, DECIMALS),
        )
        if not self._steps or _state(self._steps[-1]) != _state(step):
            self._steps.append(step)

    @property
    def steps(self) -> tuple[SearchStep, ...]:
        """Return the steps in time order."""
        return tuple(self._steps)


def _state(step: SearchStep) -> tuple[str, float, float]:
    return step.goal, step.value, step.bound


def search_csv(steps: Iterable[SearchStep]) -> str:
    """Return the text of search.csv.

    Examples
    --------
    >>> step = SearchStep(seconds=1.5, goal="finish", value=81.5, bound=80.0)
    >>> print(search_csv([step]), end="")
    seconds,goal,value,bound
    1.5,finish,81.5,80
    """
    rows = ((exact(s.seconds), s.goal, exact(s.value), exact(s.bound)) for s in steps)
    return "\n".join([",".join(COLUMNS), *(",".join(map(str, row)) for row in rows)]) + "\n"


def read_search(folder: Path) -> tuple[SearchStep, ...]:
    """Return the search kept in a plan folder; nothing where there is none.

    Rows that hold no numbers are left out: no plan depends on them.
    """
    path = folder / SEARCH
    if not path.is_file():
        return ()
    text = path.read_text(encoding="utf-8-sig", errors="replace")
    steps = []
    for row in csv.DictReader(io.StringIO(text, newline="")):
        try:
            seconds, value, bound = (float(row[name]) for name in ("seconds", "value", "bound"))
        except (KeyError, TypeError, ValueError):
            continue
        goal = row.get("goal") or ""
        steps.append(SearchStep(seconds=seconds, goal=goal, value=value, bound=bound))
    return tuple(steps)
