"""How the volume in place grows over the campaign, for each rig and for all."""

from __future__ import annotations

from itertools import accumulate

import plotly.graph_objects as go

from planner.core.clock import MINUTES_PER_DAY
from planner.plan.plan import Spell
from planner.reports.figures import marks
from planner.reports.labels import OUTLINE, QUIET, look
from planner.reports.scene import Scene
from planner.reports.wording import day_name

HEIGHT_PX = 320
DASHES = ("solid", "dash", "dot", "dashdot")
TICKS_MAX = 12


def growth(scene: Scene) -> go.Figure:
    """Return volume in place over time: a line per rig, and one for all."""
    figure = go.Figure()
    total = sorted(scene.plan.spells, key=lambda spell: spell.end_min)
    figure.add_trace(_line(total, name="all rigs", colour=OUTLINE, dash="solid", width=3.0))
    for index, rig in enumerate(scene.campaign.rigs):
        mine = [spell for spell in total if spell.rig == rig.rig_id]
        dash = DASHES[(index + 1) % len(DASHES)]
        colour = look(index).colour
        figure.add_trace(_line(mine, name=str(rig.rig_id), colour=colour, dash=dash, width=2.0))
    marks.canvas(figure, height=HEIGHT_PX, top=44, left=56)
    figure.update_layout(margin={"b": 36})
    days = scene.campaign.clock.calendar()
    step = -(-len(days) // TICKS_MAX)
    first = next((k for k, day in enumerate(days) if day.weekday() == 0), 0) if step > 1 else 0
    step = max(7, step) if step > 1 else 1
    ticks = list(range(first, len(days), step))
    last = max((spell.end_min for spell in total), default=MINUTES_PER_DAY) / MINUTES_PER_DAY
    figure.update_xaxes(
        range=[0.0, last + 1.5],
        tickvals=ticks,
        ticktext=[day_name(days[k]) for k in ticks],
        gridcolor=QUIET,
        zeroline=False,
    )
    figure.update_yaxes(title="m³ in place", rangemode="tozero", gridcolor=QUIET, zeroline=False)
    return figure


def _line(spells: list[Spell], *, name: str, colour: str, dash: str, width: float) -> go.Scatter:
    """Return a line that climbs while a spell lasts and is level between spells."""
    amounts = list(accumulate((spell.volume_m3 for spell in spells), initial=0.0))
    xs: list[float] = [0.0]
    ys: list[float] = [0.0]
    for spell, before, after in zip(spells, amounts, amounts[1:], strict=False):
        xs += [spell.start_min / MINUTES_PER_DAY, spell.end_min / MINUTES_PER_DAY]
        ys += [before, after]
    label = f"{name}: {amounts[-1]:.0f} m³"
    return go.Scatter(
        x=xs,
        y=ys,
        mode="lines",
        line={"color": colour, "dash": dash, "width": width},
        name=label,
        hovertemplate=f"{name}: %{{y:.1f}} m³<extra></extra>",
        meta="growth",
    )
