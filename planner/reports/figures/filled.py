"""The soffit or the unrolled wall, filled turn by turn: which tide did what, up to a step."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape

import plotly.graph_objects as go
from plotly.colors import sample_colorscale

from planner.model.identifiers import ZoneId
from planner.reports.figures import marks
from planner.reports.figures.folds import Fold, fold
from planner.reports.figures.projection import Patch, Projection, View, project
from planner.reports.labels import OUTLINE, ink_on
from planner.reports.scene import Scene
from planner.reports.turns import Turns
from planner.reports.wording import moment

PAGE_PX = 1150.0
TALL_PX = 640.0
NARROW_PX = 760.0
"""Width of the drawing on a narrow page, to choose names that fit [px]."""
NOW = "#D55E00"
EMPTY = "rgba(136,136,136,0.06)"
PART = "rgba(136,136,136,0.16)"
LETTER_PX = 6.0
TWO_LINES_PX = 28.0
LABELS_MAX = 400
"""With more zones than this their names are told on touch alone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """How far one zone is at a step.

    Attributes
    ----------
    turns
        Numbers of the turns in which its spells end, up to the step, each once.
    layers_done, layers
        Layers complete by then, and in all.
    is_now
        Whether it is sprayed in the step's own turn.
    """

    turns: tuple[int, ...]
    layers_done: int
    layers: int
    is_now: bool

    @property
    def is_done(self) -> bool:
        """Return whether all its layers are there."""
        return self.layers > 0 and self.layers_done == self.layers


def progress_at(scene: Scene, turns: Turns, step: int) -> dict[ZoneId, Progress]:
    """Return how far each planned zone is after a turn, by its number."""
    ends: dict[ZoneId, dict[int, list[int]]] = {}
    for spell in scene.plan.spells:
        number = turns.at(spell.end_min - 1).number
        ends.setdefault(spell.zone, {}).setdefault(spell.layer, []).append(number)
    found = {}
    for zone, layers in ends.items():
        seen = sorted({number for rows in layers.values() for number in rows if number <= step})
        found[zone] = Progress(
            turns=tuple(seen),
            layers_done=sum(max(rows) <= step for rows in layers.values()),
            layers=len(layers),
            is_now=step in seen,
        )
    return found


def filled(scene: Scene, turns: Turns, step: int, view: View) -> go.Figure:
    """Return the site after a turn: each zone with the number of the turn that completed it.

    Done zones are filled from dark (early) to light (late), begun ones hatched, those of the
    turn itself framed; the rest are empty.
    """
    shown = project(scene.campaign, view)
    paper = _fold(shown)
    state = progress_at(scene, turns, step)
    figure = go.Figure()
    last = max((turns.at(spell.end_min - 1).number for spell in scene.plan.spells), default=1)
    left, right, bottom, top = paper.paper
    for trace in _patches(shown, paper, state, last=last):
        figure.add_trace(trace)
    px = NARROW_PX / max(right - left, 1e-9)
    figure.add_trace(_names(scene, shown, paper, state, turns=turns, last=last, px=px))
    height = PAGE_PX * (top - bottom) / max(right - left, 1e-9)
    height = min(height, TALL_PX) if paper.count == 1 else height
    marks.canvas(figure, height=height + 60, top=44, left=70 if shown.ticks else 8)
    figure.update_xaxes(range=[left, right], visible=False)
    figure.update_yaxes(range=[bottom, top], visible=bool(shown.ticks), showgrid=False)
    if shown.ticks:
        pairs = [
            (across - strip * paper.pitch, text)
            for strip in range(paper.count)
            for across, text in shown.ticks
        ]
        figure.update_yaxes(
            tickvals=[at for at, _ in pairs], ticktext=[text for _, text in pairs], zeroline=False
        )
    if shown.to_scale:
        figure.update_yaxes(
            scaleanchor="x", scaleratio=1, constrain="domain", constraintoward="top"
        )
        figure.update_xaxes(constrain="domain")
    return figure


def _fold(shown: Projection) -> Fold:
    alongs: list[float] = []
    acrosses: list[float] = []
    for patch in shown.patches:
        alongs += [patch.along - patch.width / 2, patch.along + patch.width / 2]
        acrosses += [patch.across - patch.height / 2, patch.across + patch.height / 2]
    extent = max(acrosses) - min(acrosses)
    margin = max(patch.width for patch in shown.patches) / 2
    return fold(alongs, acrosses, pad=0.10 * extent, margin=margin)


def _patches(
    shown: Projection,
    paper: Fold,
    state: dict[ZoneId, Progress],
    *,
    last: int,
) -> list[go.Scatter]:
    groups: dict[tuple[str, int], list[Patch]] = {}
    for patch in shown.patches:
        one = state.get(patch.zone.zone_id)
        if one is None:
            key = ("left out", 0)
        elif one.is_done:
            key = ("done", one.turns[-1])
        else:
            key = ("begun" if one.turns else "to do", 0)
        groups.setdefault(key, []).append(patch)
    traces = [
        _area(found, paper, kind=kind, colour=turn_colour(number, last), number=number)
        for (kind, number), found in sorted(groups.items())
    ]
    now = [p for p in shown.patches if (one := state.get(p.zone.zone_id)) and one.is_now]
    if now:
        ring = _ring(now, paper)
        traces.append(
            go.Scatter(
                **ring,
                mode="lines",
                line={"color": NOW, "width": 3},
                hoverinfo="skip",
                name="sprayed in this step",
                meta="now",
            )
        )
    return traces


def turn_colour(number: int, last: int) -> str:
    """Return the colour of a turn, dark for early and light for late, as ``#RRGGBB``."""
    share = (number - 1) / max(last - 1, 1)
    rgb = sample_colorscale("Cividis", [min(1.0, max(0.0, share))])[0]
    return "#" + "".join(f"{round(float(part)):02X}" for part in rgb[4:-1].split(","))


def _area(found: list[Patch], paper: Fold, *, kind: str, colour: str, number: int) -> go.Scatter:
    fills = {"done": colour, "begun": PART, "to do": EMPTY, "left out": "rgba(0,0,0,0)"}
    lines = {"left out": {"color": NOW, "width": 1, "dash": "dash"}}
    pattern = {"shape": "/", "fillmode": "overlay", "fgcolor": OUTLINE, "size": 7, "solidity": 0.2}
    return go.Scatter(
        **_ring(found, paper),
        mode="lines",
        fill="toself",
        fillcolor=fills[kind],
        fillpattern=pattern if kind == "begun" else None,
        line=lines.get(kind, {"color": OUTLINE, "width": 1}),
        hoverinfo="skip",
        name=kind,
        showlegend=kind != "done",
        meta=f"{kind} {number}" if number else kind,
    )


def _ring(found: list[Patch], paper: Fold) -> dict[str, list[float | None]]:
    xs: list[float | None] = []
    ys: list[float | None] = []
    for patch in found:
        x, y = paper.place(patch.along, patch.across)
        w, h = patch.width / 2, patch.height / 2
        xs += [x - w, x + w, x + w, x - w, x - w, None]
        ys += [y - h, y - h, y + h, y + h, y - h, None]
    return {"x": xs, "y": ys}


def _names(
    scene: Scene,
    shown: Projection,
    paper: Fold,
    state: dict[ZoneId, Progress],
    *,
    turns: Turns,
    last: int,
    px: float,
) -> go.Scatter:
    points: list[tuple[float, float, str]] = []
    inks: list[str | None] = []
    hovers: list[str] = []
    for patch in shown.patches:
        zone = patch.zone.zone_id
        one = state.get(zone)
        x, y = paper.place(patch.along, patch.across)
        name = escape(scene.short(zone))
        numbers = one.turns if one is not None else ()
        size = {"width_px": patch.width * px, "height_px": patch.height * px}
        points.append((x, y, _label(name, numbers, **size)))
        done = one is not None and one.is_done
        inks.append(ink_on(turn_colour(one.turns[-1], last)) if done and one else None)
        hovers.append(_hover(scene, zone, one, turns))
    many = len(points) > LABELS_MAX
    trace = marks.words([(x, y, "" if many else text) for x, y, text in points], size=10)
    if many:
        trace.mode = "markers"
        trace.marker = {"size": 6, "opacity": 0.0}
    else:
        trace.textfont = {"size": 10, "color": [ink or OUTLINE for ink in inks]}
    trace.customdata = hovers
    trace.hoverinfo = None
    trace.hovertemplate = "%{customdata}<extra></extra>"
    return trace


def _label(name: str, numbers: tuple[int, ...], *, width_px: float, height_px: float) -> str:
    """Return a zone's name and the numbers of its turns, as far as they fit."""
    every, last = "·".join(map(str, numbers)), str(numbers[-1]) if numbers else ""
    for number in (every, last):
        if (len(name) + len(number) + 1) * LETTER_PX <= width_px:
            return f"{name} <b>{number}</b>" if number else name
        fits = max(len(name), len(number)) * LETTER_PX <= width_px
        if number and fits and height_px >= TWO_LINES_PX:
            return f"{name}<br><b>{number}</b>"
    return f"<b>{last}</b>" if last else name


def _hover(scene: Scene, zone: ZoneId, one: Progress | None, turns: Turns) -> str:
    if one is None:
        return f"<b>{escape(zone)}</b><br>left out"
    ends = [spell.end_min for spell in scene.plan.spells if spell.zone == zone]
    done = moment(scene.campaign.clock, max(ends))
    did = ", ".join(str(number) for number in one.turns) or "none yet"
    return (
        f"<b>{escape(zone)}</b><br>{turns.word}: {did}<br>"
        f"{one.layers_done} of {one.layers} layers; planned to be done {done}"
    )
