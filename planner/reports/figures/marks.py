"""The few kinds of mark that all figures are made of."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import plotly.graph_objects as go

from planner.reports.labels import HATCH, OUTLINE, QUIET, Look

Trace = go.Bar | go.Scatter
FONT_SIZE = 12
LABEL_SIZE = 11
PATTERN_SIZE = 7


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """A rectangle in axis units, with the text upon it and the text of its hover label."""

    x0: float
    x1: float
    y0: float
    y1: float
    text: str = ""
    hover: str = ""


def blocks(
    found: Sequence[Block],
    *,
    colour: str,
    name: str = "",
    pattern: str = "",
    ink: str = "",
    outline: str = OUTLINE,
    outline_px: float = 1.0,
    legend: bool = False,
    meta: str = "",
) -> go.Bar:
    """Return one trace of rectangles that look alike.

    Parameters
    ----------
    found
        The rectangles.
    colour, pattern, ink
        Fill, second sign, and colour of the text.
    name, legend
        Entry in the legend, if wanted.
    outline, outline_px
        Edge colour and width [px].
    meta
        What the rectangles stand for, for tests and readers of the figure's JSON.
    """
    shape = {"shape": pattern, "fillmode": "overlay", "fgcolor": "black", "fgopacity": 0.35}
    return go.Bar(
        orientation="h",
        base=[block.x0 for block in found],
        x=[block.x1 - block.x0 for block in found],
        y=[(block.y0 + block.y1) / 2 for block in found],
        width=[block.y1 - block.y0 for block in found],
        text=[block.text for block in found],
        textposition="inside",
        insidetextanchor="start",
        textangle=0,
        textfont={"size": LABEL_SIZE, **({"color": ink} if ink else {})},
        customdata=[block.hover for block in found],
        hovertemplate="%{customdata}<extra></extra>",
        hoverinfo=None if any(block.hover for block in found) else "skip",
        marker={
            "color": colour,
            "pattern": {**shape, "size": PATTERN_SIZE, "solidity": 0.18},
            "line": {"color": outline, "width": outline_px},
        },
        name=name,
        legendgroup=name,
        showlegend=legend,
        meta=meta,
        cliponaxis=True,
    )


def plain(found: Sequence[Block], *, colour: str, meta: str = "") -> go.Bar:
    """Return rectangles without an edge, to lie behind others; no hover."""
    bar = blocks(found, colour=colour, outline_px=0.0, meta=meta)
    bar.hovertemplate = None
    bar.hoverinfo = "skip"
    return bar


def hatched(found: Sequence[Block], *, meta: str = "") -> go.Bar:
    """Return rectangles hatched in grey: closed."""
    bar = blocks(found, colour="rgba(136,136,136,0.10)", pattern="/", outline_px=0.0, meta=meta)
    bar.marker.pattern.fgcolor = HATCH
    bar.marker.pattern.fgopacity = 0.8
    bar.marker.pattern.size = 6
    return bar


def edges(found: Iterable[tuple[float, float, float, float]], *, colour: str) -> go.Scatter:
    """Return dotted straight lines, each from (x0, y0) to (x1, y1)."""
    return strokes(found, colour=colour, width=1.0, dash="dot")


def strokes(
    found: Iterable[tuple[float, float, float, float]],
    *,
    colour: str,
    width: float = 1.5,
    dash: str = "solid",
    meta: str = "",
) -> go.Scatter:
    """Return straight lines as one trace, each from (x0, y0) to (x1, y1)."""
    xs: list[float | None] = []
    ys: list[float | None] = []
    for x0, y0, x1, y1 in found:
        xs += [x0, x1, None]
        ys += [y0, y1, None]
    return go.Scatter(
        x=xs,
        y=ys,
        mode="lines",
        line={"color": colour, "width": width, "dash": dash},
        hoverinfo="skip",
        showlegend=False,
        meta=meta,
    )


def words(
    found: Sequence[tuple[float, float, str]],
    *,
    anchor: str = "middle center",
    size: int = LABEL_SIZE,
    colour: str | None = None,
) -> go.Scatter:
    """Return texts at points; in the page's own text colour unless one is given."""
    return go.Scatter(
        x=[x for x, _, _ in found],
        y=[y for _, y, _ in found],
        text=[text for _, _, text in found],
        mode="text",
        textposition=anchor,
        textfont={"size": size, **({"color": colour} if colour else {})},
        hoverinfo="skip",
        showlegend=False,
        cliponaxis=False,
    )


def upright(figure: go.Figure, x: float, y: float, text: str, *, colour: str) -> None:
    """Put a text that reads upwards upon a figure, for narrow rectangles."""
    figure.add_annotation(
        x=x,
        y=y,
        text=text,
        textangle=-90,
        showarrow=False,
        font={"size": LABEL_SIZE - 1, "color": colour},
    )


def tag(figure: go.Figure, x: float, y: float, text: str, *, above_px: float = 0.0) -> None:
    """Put a small label on its own light ground upon a figure, to be read over anything."""
    figure.add_annotation(
        x=x,
        y=y,
        text=text,
        showarrow=False,
        yshift=above_px,
        font={"size": LABEL_SIZE - 1, "color": "#000000"},
        bgcolor="rgba(255,255,255,0.88)",
        bordercolor=OUTLINE,
        borderwidth=1,
        borderpad=1,
    )


def key(look: Look, name: str) -> go.Bar:
    """Return an empty trace that puts a position's look into the legend."""
    bar = blocks([], colour=look.colour, pattern=look.pattern, name=name, legend=True)
    bar.x, bar.y = [None], [None]
    return bar


def band_key(colour: str, name: str, *, pattern: str = "") -> go.Bar:
    """Return an empty trace that puts a band into the legend."""
    bar = blocks([], colour=colour, pattern=pattern, name=name, legend=True)
    bar.x, bar.y = [None], [None]
    return bar


def canvas(
    figure: go.Figure, *, height: float, top: int = 70, left: int = 8, legend: bool = True
) -> go.Figure:
    """Dress a figure: see-through ground, legend above, room for labels; return it.

    Parameters
    ----------
    height, top, left
        Whole height, and margins above (legend, hours) and left [px].
    """
    figure.update_layout(
        barmode="overlay",
        height=round(height),
        margin={"l": left, "r": 12, "t": top, "b": 12},
        paper_bgcolor="rgba(0,0,0,0)",
        plot_bgcolor="rgba(0,0,0,0)",
        font={"size": FONT_SIZE},
        uniformtext={"minsize": LABEL_SIZE - 1, "mode": "hide"},
        showlegend=legend,
        legend={
            "orientation": "h",
            "yanchor": "top",
            "y": 1.0,
            "yref": "container",
            "xanchor": "left",
            "x": 0.0,
            "traceorder": "normal",
            "itemclick": False,
            "itemdoubleclick": False,
        },
        uirevision="ebbwork",
        hoverlabel={"align": "left"},
    )
    return figure


def hour_axis(low: float, high: float, labels: Sequence[tuple[float, str]]) -> dict[str, object]:
    """Return an x axis of hours between two hours, with the labels given."""
    return {
        "range": [low, high],
        "tickvals": [hours for hours, _ in labels],
        "ticktext": [text for _, text in labels],
        "showgrid": True,
        "gridcolor": QUIET,
        "gridwidth": 1,
        "zeroline": False,
        "side": "top",
    }
