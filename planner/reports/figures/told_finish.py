"""The finish as it was told with each plan issued: one row for each issue."""

from __future__ import annotations

from collections.abc import Sequence

import plotly.graph_objects as go

from planner.core.wording import day_name
from planner.reports.figures import marks
from planner.reports.labels import OUTLINE, PALETTE, QUIET
from planner.site.issued import Issue

ROW_PX, AROUND_PX = 34, 110


def told_finish(issues: Sequence[Issue]) -> go.Figure:
    """Return finish and forecast of each issue, the latest at the bottom; wall-clock days."""
    rows = [row for row in issues if row.finish is not None]
    names = [
        f"{row.number} · issued {day_name(row.issued_at.date())} {row.issued_at.year}"
        for row in rows
    ]
    figure = go.Figure()
    for row, name in zip(rows, names, strict=True):
        if row.forecast is not None and row.forecast_low is not None:
            high = row.forecast_high or row.forecast
            figure.add_trace(
                go.Scatter(
                    x=[row.forecast_low.replace(tzinfo=None), high.replace(tzinfo=None)],
                    y=[name, name],
                    mode="lines",
                    line={"color": QUIET, "width": 12},
                    hoverinfo="skip",
                    showlegend=False,
                )
            )
    figure.add_trace(
        go.Scatter(
            x=[row.forecast.replace(tzinfo=None) if row.forecast else None for row in rows],
            y=names,
            mode="markers",
            marker={
                "symbol": "line-ns-open",
                "size": 18,
                "color": PALETTE["vermilion"],
                "line": {"width": 3, "color": PALETTE["vermilion"]},
            },
            name="forecast by the records, bar: its interval",
            hovertemplate="%{x|%a %d %b %H:%M}<extra>forecast</extra>",
        )
    )
    figure.add_trace(
        go.Scatter(
            x=[row.finish.replace(tzinfo=None) if row.finish else None for row in rows],
            y=names,
            mode="markers",
            marker={
                "symbol": "circle",
                "size": 12,
                "color": PALETTE["blue"],
                "line": {"color": OUTLINE, "width": 1},
            },
            name="finish of the plan",
            hovertemplate="%{x|%a %d %b %H:%M}<extra>plan</extra>",
        )
    )
    marks.canvas(figure, height=AROUND_PX + ROW_PX * len(rows), top=44, left=190)
    figure.update_layout(margin={"b": 36})
    figure.update_yaxes(autorange="reversed", gridcolor=QUIET, type="category")
    figure.update_xaxes(type="date", tickformat="%a %d %b", gridcolor=QUIET, zeroline=False)
    return figure
