"""The course of a search: plan and proof close in on each other, one band for each goal.

Goals are worked on one after the other; each band has the seconds of its own goal.
"""

from __future__ import annotations

from collections.abc import Sequence

import plotly.graph_objects as go
from plotly.subplots import make_subplots

from planner.model.identifiers import Goal
from planner.plan.search_log import SearchStep
from planner.reports.figures import marks
from planner.reports.labels import GOALS, PALETTE, QUIET

BAND_PX, AROUND_PX = 170, 90
UNITS = {Goal.FINISH.value: "h", Goal.LATE.value: "d"}
COUNTED = {Goal.RELOCATIONS.value, Goal.NIGHT_RUNS.value, Goal.JOINTS.value}
FEW = 8
"""Fewer steps of a count than this have a line each."""
BETWEEN = "rgba(230,159,0,0.18)"
"""What is still open between plan and proof."""


def search_course(steps: Sequence[SearchStep]) -> go.Figure:
    """Return one band for each goal: the best plan above, what is proven below, the rest shaded.

    Parameters
    ----------
    steps
        As kept with a plan (search.csv); at least one.

    Raises
    ------
    ValueError
        If there is no step.
    """
    if not steps:
        msg = "there is no search to draw: the plan has no search.csv"
        raise ValueError(msg)
    goals = list(dict.fromkeys(step.goal for step in steps))
    titles = [_title(goal, [step for step in steps if step.goal == goal]) for goal in goals]
    figure = make_subplots(
        rows=len(goals),
        cols=1,
        subplot_titles=titles,
        vertical_spacing=0.36 / max(1, len(goals)),
    )
    ends = [*_starts(steps, goals)[1:], steps[-1].seconds]
    for row, (goal, end) in enumerate(zip(goals, ends, strict=True), start=1):
        _band(figure, [step for step in steps if step.goal == goal], end, row)
    marks.canvas(figure, height=AROUND_PX + BAND_PX * len(goals), top=64, left=64)
    figure.update_layout(margin={"b": 44})
    figure.update_annotations(x=0.0, xanchor="left", font={"size": marks.FONT_SIZE})
    figure.update_xaxes(gridcolor=QUIET, zeroline=False)
    figure.update_xaxes(title="seconds of search", row=len(goals), col=1)
    figure.update_yaxes(gridcolor=QUIET, zeroline=False)
    return figure


def _starts(steps: Sequence[SearchStep], goals: Sequence[str]) -> list[float]:
    return [next(step.seconds for step in steps if step.goal == goal) for goal in goals]


def _title(goal: str, steps: Sequence[SearchStep]) -> str:
    last = steps[-1]
    unit = f" {UNITS[goal]}" if goal in UNITS else ""
    name = GOALS[Goal(goal)] if goal in set(Goal) else "Goal"
    if abs(last.value - last.bound) < 1.0 / 60.0:
        return f"{name}: {last.value:,.6g}{unit}, proven"
    return f"{name}: {last.value:,.6g}{unit}; no plan is below {last.bound:,.6g}{unit}"


def _band(figure: go.Figure, steps: Sequence[SearchStep], end: float, row: int) -> None:
    """Draw one goal; a bound of 0 says nothing yet and is not drawn."""
    seconds = [*(step.seconds for step in steps), end]
    values = [*(step.value for step in steps), steps[-1].value]
    said = [None if step.bound <= 0.0 < step.value else step.bound for step in steps]
    bounds = [*said, said[-1]]
    figure.add_trace(_line("proven bound", seconds, bounds, "blue", row), row=row, col=1)
    figure.add_trace(_line("best plan", seconds, values, "vermilion", row), row=row, col=1)
    known = [*values, *(bound for bound in said if bound is not None)]
    if len(set(known)) == 1:
        figure.update_yaxes(tickvals=[known[0]], row=row, col=1)
    elif steps[0].goal in COUNTED and max(known) - min(known) < FEW:
        figure.update_yaxes(dtick=1, row=row, col=1)
    if None not in bounds[:-1]:
        figure.data[-1].update(fill="tonexty", fillcolor=BETWEEN)


def _line(
    name: str, seconds: list[float], values: Sequence[float | None], colour: str, row: int
) -> go.Scatter:
    return go.Scatter(
        x=seconds,
        y=list(values),
        mode="lines+markers",
        name=name,
        legendgroup=name,
        showlegend=row == 1,
        line={
            "shape": "hv",
            "color": PALETTE[colour],
            "width": 2,
            "dash": "dot" if colour == "blue" else "solid",
        },
        marker={"size": 6, "symbol": "triangle-up" if colour == "blue" else "circle"},
        hovertemplate="%{x:.1f} s: %{y:,.6g}<extra>" + name + "</extra>",
    )
