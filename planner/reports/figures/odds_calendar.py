"""A calendar of the plan's windows with the odds that they hold."""

from __future__ import annotations

from collections import defaultdict
from datetime import date, timedelta

import plotly.graph_objects as go

from planner.reports.labels import OUTLINE, ink_on
from planner.risk.study import Study

DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
STEPS = ((0.95, "#00204C"), (0.8, "#31446B"), (0.6, "#7B7B78"), (0.4, "#BBAF71"), (0.0, "#FFE945"))
"""Least share, and colour (after cividis: dark is sure, light is not, in any colour vision)."""
NAMES = ("95 or more", "80 to 94", "60 to 79", "40 to 59", "under 40")
_ROW_PX = 58
_MARGIN_PX = 86


def day_odds(study: Study, *, done: bool) -> dict[date, tuple[float, int]]:
    """Return for each day of planned shifts the mean share of lives, and how many shifts.

    Parameters
    ----------
    study
        What was lived.
    done
        True: the work of the shift was done in it; False: water and weather left the window.
    """
    tally = study.lives.tally
    count = tally.kept if done else tally.held
    shares: dict[date, list[float]] = defaultdict(list)
    for k, outing in enumerate(study.outings):
        shares[study.longer.clock.day(outing.start_min)].append(int(count[k]) / tally.runs)
    return {day: (sum(row) / len(row), len(row)) for day, row in sorted(shares.items())}


def odds_calendar(study: Study, *, done: bool) -> go.Figure:
    """Return the calendar: a row for each week, a tile for each day with planned shifts."""
    odds = day_odds(study, done=done)
    figure = go.Figure()
    weeks = sorted({_monday(day) for day in odds})
    for place, (least, colour) in enumerate(STEPS):
        most = STEPS[place - 1][0] if place else 2.0
        days = [day for day, (share, _) in odds.items() if least <= share < most]
        figure.add_scatter(
            x=[DAYS[day.weekday()] for day in days],
            y=[_name(_monday(day)) for day in days],
            text=[_text(*odds[day]) for day in days],
            mode="markers+text",
            name=f"{NAMES[place]} in 100",
            marker={
                "symbol": "square",
                "size": 46,
                "color": colour,
                "line": {"color": OUTLINE, "width": 1},
            },
            textfont={"color": ink_on(colour), "size": 12},
            hoverinfo="skip",
            showlegend=True,
        )
    figure.update_layout(
        height=_MARGIN_PX + _ROW_PX * max(len(weeks), 1),
        margin={"l": 10, "r": 10, "t": 70, "b": 10},
        legend={"orientation": "h", "y": 1.0, "yanchor": "bottom", "x": 0.0,
                "itemsizing": "constant"},
        xaxis={"categoryorder": "array", "categoryarray": list(DAYS), "side": "bottom",
               "range": [-0.6, 6.6], "fixedrange": True, "showgrid": False},
        yaxis={"categoryorder": "array", "categoryarray": [_name(week) for week in weeks][::-1],
               "range": [-0.6, len(weeks) - 0.4], "fixedrange": True, "showgrid": False},
    )  # fmt: skip
    return figure


def _monday(day: date) -> date:
    return day - timedelta(days=day.weekday())


def _name(monday: date) -> str:
    return f"{monday:%d %b}"


def _text(share: float, shifts: int) -> str:
    more = "" if shifts == 1 else f"<br>{shifts} shifts"
    return f"<b>{100 * share:.0f}</b>{more}"
