"""Stagings side by side: where the money goes, and where the cheaper one changes."""

from __future__ import annotations

from collections.abc import Sequence

import plotly.graph_objects as go

from planner.core.clock import MINUTES_PER_DAY, Clock
from planner.estimate.crossing import Crossing
from planner.estimate.staging import Staging
from planner.reports.comparison import BUNDLE_COLOURS, BUNDLES
from planner.reports.labels import OUTLINE, PALETTE, QUIET, ink_on, money
from planner.reports.wording import day_name

ROW_PX, FRAME_PX = 54, 96
CURVE_PX = 380
LEAST_SHARE = 0.05
"""A smaller part of the bill bears no words of its own."""
BUNDLE_PATTERNS = {
    "time": "",
    "material": "/",
    "moves": "x",
    "once": ".",
    "work on faces": "-",
    "on top": "\\",
}
"""Second sign beside the colour of each group of money."""


def money_bars(found: Sequence[Staging], clock: Clock) -> go.Figure:
    """Return one bar for each staging, in groups of money, with total and finish at its end."""
    names = [_label(staging) for staging in found]
    figure = go.Figure()
    for bundle, groups in BUNDLES.items():
        sums = [sum(staging.money.get(group, 0.0) for group in groups) for staging in found]
        if not any(sums):
            continue
        figure.add_trace(
            go.Bar(
                y=names,
                x=sums,
                orientation="h",
                name=bundle,
                marker={
                    "color": BUNDLE_COLOURS[bundle],
                    "line": {"color": OUTLINE, "width": 0.6},
                    "pattern": {
                        "shape": BUNDLE_PATTERNS[bundle],
                        "fillmode": "overlay",
                        "fgcolor": "white",
                        "fgopacity": 0.55,
                        "size": 7,
                    },
                },
                customdata=[money(amount) for amount in sums],
                hovertemplate="%{y}<br>" + bundle + ": %{customdata}<extra></extra>",
            )
        )
    for name, staging in zip(names, found, strict=True):
        end = clock.local(round(staging.finish_day * MINUTES_PER_DAY))
        figure.add_annotation(
            y=name,
            x=staging.total,
            text=f" <b>{money(staging.total)}</b> · done {day_name(end.date())}",
            showarrow=False,
            xanchor="left",
        )
    most = max((staging.total for staging in found), default=1.0)
    figure.update_layout(
        barmode="stack",
        height=FRAME_PX + ROW_PX * len(found),
        margin={"l": 8, "r": 8, "t": 36, "b": 8},
        legend={
            "orientation": "h",
            "y": 1.02,
            "yanchor": "bottom",
            "x": 0,
            "traceorder": "normal",
        },
        plot_bgcolor="rgba(0,0,0,0)",
        paper_bgcolor="rgba(0,0,0,0)",
        bargap=0.35,
    )
    figure.update_yaxes(autorange="reversed", automargin=True)
    figure.update_xaxes(range=[0, most * 1.32], showgrid=True, gridcolor=QUIET, tickformat=",.0f")
    return figure


def _label(staging: Staging) -> str:
    left_out = f"<br>{staging.left_out} left out" if staging.left_out else ""
    return f"{staging.name}{left_out}"


def break_even_curve(
    one: Sequence[Staging], other: Sequence[Staging], found: Sequence[Crossing], *, axis_title: str
) -> go.Figure:
    """Return estimates per m³ of two stagings over a scale.

    A ring marks a plan that leaves zones out; an upright line marks where both cost the same.
    """
    figure = go.Figure()
    looks = ((one, PALETTE["vermilion"], "solid"), (other, PALETTE["blue"], "dash"))
    for stagings, colour, dash in looks:
        whole = [staging for staging in stagings if staging.total_m3]
        if not whole:
            continue
        figure.add_trace(
            go.Scatter(
                x=[staging.at for staging in whole],
                y=[staging.total_m3 for staging in whole],
                mode="lines+markers",
                name=whole[0].name,
                line={"color": colour, "dash": dash, "width": 2.4},
                marker={
                    "size": 9,
                    "symbol": ["circle-open" if s.left_out else "circle" for s in whole],
                },
                customdata=[[money(s.total), s.left_out, s.relocations] for s in whole],
                hovertemplate=(
                    "<b>%{fullData.name}</b> at %{x:g}<br>%{y:,.0f} per m³, "
                    "%{customdata[0]} in all<br>%{customdata[1]} left out, "
                    "%{customdata[2]} relocations<extra></extra>"
                ),
            )
        )
    for crossing in found:
        figure.add_vline(
            x=crossing.at,
            line={"color": OUTLINE, "dash": "dot", "width": 1.5},
            annotation={"text": f"same cost at {crossing.at:.3g}", "yanchor": "bottom"},
        )
    figure.update_layout(
        height=CURVE_PX,
        margin={"l": 8, "r": 8, "t": 48, "b": 8},
        legend={"orientation": "h", "y": 1.06, "yanchor": "bottom", "x": 0},
        plot_bgcolor="rgba(0,0,0,0)",
        paper_bgcolor="rgba(0,0,0,0)",
    )
    figure.update_xaxes(title=axis_title, gridcolor=QUIET, zeroline=False)
    figure.update_yaxes(
        title="estimate per m³ in place", rangemode="tozero", gridcolor=QUIET, tickformat=",.0f"
    )
    return figure


def bill_bar(sums: Sequence[tuple[str, str, float]]) -> go.Figure:
    """Return one bar in which each item of the bill has its share.

    Parameters
    ----------
    sums
        Name, colour and amount of each item, those of nothing left out.
    """
    total = sum(amount for _, _, amount in sums) or 1.0
    figure = go.Figure()
    for name, colour, amount in sums:
        share = amount / total
        figure.add_trace(
            go.Bar(
                y=[""],
                x=[amount],
                orientation="h",
                name=f"{name} {money(amount)}",
                marker={"color": colour, "line": {"color": OUTLINE, "width": 0.6}},
                text=f"{100 * share:.0f} %" if share > LEAST_SHARE else "",
                textposition="inside",
                insidetextanchor="middle",
                insidetextfont={"color": ink_on(colour), "size": 13},
                hovertemplate=f"{name}: {money(amount)}<extra></extra>",
            )
        )
    figure.update_layout(
        barmode="stack",
        height=132,
        margin={"l": 8, "r": 8, "t": 8, "b": 8},
        legend={"orientation": "h", "y": -0.1, "yanchor": "top", "x": 0, "traceorder": "normal"},
        plot_bgcolor="rgba(0,0,0,0)",
        paper_bgcolor="rgba(0,0,0,0)",
    )
    figure.update_xaxes(visible=False, range=[0, total])
    figure.update_yaxes(visible=False)
    return figure
