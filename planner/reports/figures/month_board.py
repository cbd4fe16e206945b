"""Usable hours day by day: a board of weeks, a number in each day and a shade beside it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

import plotly.graph_objects as go
from plotly.colors import sample_colorscale

from planner.reports.figures import marks
from planner.reports.figures.marks import Block
from planner.reports.labels import OUTLINE, ink_on
from planner.reports.usable_hours import DayHours
from planner.reports.wording import DAYS, MONTHS, day_name

CELL_PX = 46.0
SCALE = "Cividis"
LEAST_H = 0.05


def month_board(days: Sequence[DayHours], *, staffed: bool) -> go.Figure:
    """Return the board: a row for each week, Monday to Sunday.

    Parameters
    ----------
    staffed
        Count only hours with a spray crew on shift.
    """
    figure = go.Figure()
    first = days[0].day - timedelta(days=days[0].day.weekday())
    most = max((_hours(one, staffed) for one in days), default=0.0)
    shades: dict[int, list[Block]] = {}
    names: list[tuple[float, float, str]] = []
    inks: list[str] = []
    for one in days:
        row, column = divmod((one.day - first).days, 7)
        hours = _hours(one, staffed)
        shade = round(10 * hours / most) if most else 0
        block = _block(one, row, column, hours)
        shades.setdefault(shade if hours >= LEAST_H else -1, []).append(block)
        month = f" {MONTHS[one.day.month - 1]}" if one.day.day == 1 or one is days[0] else ""
        word = "closed" if one.closed and hours < LEAST_H else f"{hours:.1f} h"
        names.append((column + 0.5, row + 0.5, f"{one.day.day}{month}<br><b>{word}</b>"))
        inks.append(OUTLINE if hours < LEAST_H else ink_on(_colour(shade)))
    for shade, blocks in sorted(shades.items()):
        if shade < 0:
            figure.add_trace(marks.hatched(blocks, meta="no hours"))
        else:
            figure.add_trace(marks.blocks(blocks, colour=_colour(shade), meta="hours"))
    words = marks.words(names, size=11)
    words.textfont = {"size": 11, "color": inks}
    figure.add_trace(words)
    rows = (days[-1].day - first).days // 7 + 1
    marks.canvas(figure, height=rows * CELL_PX + 60, top=36, left=92, legend=False)
    figure.update_xaxes(
        range=[0, 7],
        tickvals=[k + 0.5 for k in range(7)],
        ticktext=list(DAYS),
        side="top",
        showgrid=False,
        zeroline=False,
    )
    weeks = [first + timedelta(days=7 * k) for k in range(rows)]
    figure.update_yaxes(
        range=[rows, 0],
        tickvals=[k + 0.5 for k in range(rows)],
        ticktext=[f"from {day_name(day)[4:]}" for day in weeks],
        showgrid=False,
        zeroline=False,
    )
    return figure


def _hours(one: DayHours, staffed: bool) -> float:  # noqa: FBT001 - a switch of the whole board
    return one.staffed_h if staffed else one.open_h


def _colour(shade: int) -> str:
    rgb = sample_colorscale(SCALE, [shade / 10])[0]
    return "#" + "".join(f"{round(float(part)):02X}" for part in rgb[4:-1].split(","))


def _block(one: DayHours, row: int, column: int, hours: float) -> Block:
    closed = f"<br>site closed: {one.closed}" if one.closed else ""
    return Block(
        x0=column + 0.03,
        x1=column + 0.97,
        y0=row + 0.04,
        y1=row + 0.96,
        hover=f"<b>{day_name(one.day)}</b><br>{hours:.1f} h usable, of {one.open_h:.1f} h open"
        f"<br>longest stretch with a crew {one.longest_h:.1f} h{closed}",
    )
