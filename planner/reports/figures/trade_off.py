"""Relocations against finish: a stair of plans, what no plan beats below it, the cost beside."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

import plotly.graph_objects as go

from planner.core.clock import MINUTES_PER_HOUR, Clock
from planner.core.rounding import up
from planner.plan.trade_off import TradePoint
from planner.reports.figures import marks
from planner.reports.labels import OUTLINE, PALETTE, QUIET, money

HEIGHT_PX = 420
OPEN = "rgba(230,159,0,0.35)"
"""Between a plan and what no plan beats: nobody knows yet."""


def trade_off_chart(points: Sequence[TradePoint], clock: Clock) -> go.Figure:
    """Return finish over relocations allowed; each plan bears its cost.

    A bar hangs from each plan down to the proven bound: where there is none, the plan is the best.
    """
    moves = [point.relocations_max for point in points]
    finish = [_local(point.best.finish_h, clock) for point in points]
    bounds = [_local(point.finish_bound_h, clock) for point in points]
    figure = go.Figure()
    for place, (most, at, bound) in enumerate(zip(moves, finish, bounds, strict=True)):
        figure.add_trace(
            go.Scatter(
                x=[most, most],
                y=[bound, at],
                mode="lines",
                line={"color": OPEN, "width": 14},
                name="still open, down to the proven bound",
                showlegend=place == 0,
                hoverinfo="skip",
            )
        )
    figure.add_trace(
        go.Scatter(
            x=moves,
            y=bounds,
            mode="markers",
            marker={
                "symbol": "line-ew-open",
                "size": 16,
                "color": PALETTE["blue"],
                "line": {"width": 3, "color": PALETTE["blue"]},
            },
            name="no plan is done before",
            hovertemplate="no plan is done before %{y|%a %d %b %H:%M}<extra></extra>",
        )
    )
    figure.add_trace(
        go.Scatter(
            x=moves,
            y=finish,
            mode="lines+markers+text",
            line={"shape": "hv", "color": PALETTE["vermilion"], "width": 2},
            marker={"size": 11, "line": {"color": OUTLINE, "width": 1}},
            text=[money(point.best.cost) for point in points],
            textposition="top right",
            customdata=[[point.best.relocations, money(point.best.cost)] for point in points],
            name="best plan found, with its cost",
            hovertemplate=(
                "at most %{x} relocations (%{customdata[0]} used)<br>"
                "done %{y|%a %d %b %H:%M}<br>cost %{customdata[1]}<extra></extra>"
            ),
        )
    )
    marks.canvas(figure, height=HEIGHT_PX, top=56, left=128)
    figure.update_layout(margin={"b": 52, "r": 72})
    figure.update_xaxes(
        title="relocations allowed", tickvals=moves, gridcolor=QUIET, zeroline=False
    )
    figure.update_yaxes(type="date", tickformat="%a %d %b %H:%M", gridcolor=QUIET, zeroline=False)
    return figure


def _local(hours: float, clock: Clock) -> datetime:
    return clock.local(up(hours * MINUTES_PER_HOUR)).replace(tzinfo=None)
