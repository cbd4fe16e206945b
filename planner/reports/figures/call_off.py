"""What is ordered week by week: a bar for each mix."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import date

import plotly.graph_objects as go

from planner.model.identifiers import MixId
from planner.reports.figures import marks
from planner.reports.labels import OUTLINE, QUIET, look
from planner.reports.quantities import RunMaterial
from planner.trade.material import KG_PER_T, material_kg

HEIGHT_PX = 300
PATTERNS = ("", "/", ".", "x")


def call_off(runs: Sequence[RunMaterial]) -> go.Figure:
    """Return the material shot in each week, stacked by mix [t]."""
    tonnes: dict[MixId, dict[date, float]] = defaultdict(lambda: defaultdict(float))
    for run in runs:
        kg = material_kg(run.shot.shot_m3, run.factors)
        tonnes[run.run.mix][run.week] += kg / KG_PER_T
    weeks = sorted({run.week for run in runs})
    figure = go.Figure()
    for index, mix in enumerate(sorted(tonnes)):
        amounts = [tonnes[mix].get(week, 0.0) for week in weeks]
        figure.add_trace(
            go.Bar(
                x=[f"{week.day} {week:%b}" for week in weeks],
                y=amounts,
                name=f"{mix}: {sum(amounts):.0f} t",
                marker={
                    "color": look(index).colour,
                    "line": {"color": OUTLINE, "width": 1},
                    "pattern": {
                        "shape": PATTERNS[index % len(PATTERNS)],
                        "fillmode": "overlay",
                        "fgcolor": "black",
                        "fgopacity": 0.35,
                        "size": marks.PATTERN_SIZE,
                    },
                },
                hovertemplate=f"{mix}: %{{y:.1f}} t in the week from %{{x}}<extra></extra>",
                meta="call-off",
            )
        )
    marks.canvas(figure, height=HEIGHT_PX, top=44, left=56)
    figure.update_layout(barmode="stack", margin={"b": 48}, showlegend=True)
    figure.update_xaxes(title="week from", type="category", showgrid=False)
    figure.update_yaxes(title="t shot", rangemode="tozero", gridcolor=QUIET, zeroline=False)
    return figure
