"""Traces that look alike joined into one: a chart of a thousand runs then has a few traces."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import plotly.graph_objects as go

from planner.reports.figures.marks import Trace

BAR_LISTS = ("base", "x", "y", "width", "text", "customdata")
TEXT_LISTS = ("x", "y", "text")


def merged(traces: Iterable[Trace]) -> list[Trace]:
    """Return traces with those joined that differ in nothing but what they hold.

    Bars are joined with bars and texts with texts of the same look and meaning; everything
    else, and what stands in the legend, stays as it is.  The order of first appearance is kept.
    """
    found: dict[Any, Trace] = {}
    for index, trace in enumerate(traces):
        key = _key(trace) or index
        before = found.get(key)
        if before is None:
            found[key] = trace
        elif isinstance(before, go.Bar):
            _join(before, trace, BAR_LISTS)
        else:
            _join(before, trace, TEXT_LISTS)
    return list(found.values())


def _join(before: Trace, trace: Trace, names: tuple[str, ...]) -> None:
    for name in names:
        before[name] = (*(before[name] or ()), *(trace[name] or ()))


def _key(trace: Trace) -> tuple[str, ...] | None:
    """Return what makes a trace's look, or None where it is not to be joined."""
    if trace.showlegend or not trace.x:
        return None
    if isinstance(trace, go.Bar):
        marker = trace.marker
        return (
            "bar",
            str(marker.color),
            str(marker.pattern.shape),
            str(marker.line.color),
            str(marker.line.width),
            str(trace.textfont.color),
            str(trace.hovertemplate),
            str(trace.meta),
        )
    if trace.mode == "text" and trace.customdata is None:
        return (
            "text",
            str(trace.textposition),
            str(trace.textfont.size),
            str(trace.textfont.color),
        )
    return None
