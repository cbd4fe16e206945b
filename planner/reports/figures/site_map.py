"""The set-up map: zones in the look of the position that serves them, and each rig's way."""

from __future__ import annotations

import math
from collections.abc import Collection
from itertools import pairwise

import plotly.graph_objects as go

from planner.model.identifiers import PositionId, RigId, ZoneId
from planner.reports.figures import marks
from planner.reports.figures.folds import Fold, fold
from planner.reports.figures.projection import Patch, Projection, View, project
from planner.reports.labels import OUTLINE, QUIET, Look
from planner.reports.scene import Scene
from planner.reports.stays import main_position, stays

PAGE_PX = 1150.0
TALL_PX = 660.0
DASHES = ("solid", "dash", "dot", "dashdot")
ARC_POINTS = 14
TICKS = 10
LEFT_OUT = "#D55E00"
WAY_INK = "#6F6F6F"
TAGS_MAX = 14
"""With more moves than this only the positions carry the numbers of the stays."""
LABEL_AT = (4, 3, 5, 2)
"""Where along its bow, in eighths, each rig's arrow carries its label."""


def site_map(scene: Scene, view: View, rigs: Collection[RigId] | None = None) -> go.Figure:
    """Return the map of a plan; folded into strips where the site is long.

    Parameters
    ----------
    scene
        Plan and campaign to draw.
    view
        Way of looking.
    rigs
        Rigs whose moves are drawn; None: all.
    """
    shown = project(scene.campaign, view)
    paper = _fold(shown)
    figure = go.Figure()
    for trace in _ground(scene, shown, paper):
        figure.add_trace(trace)
    for trace in _zones(scene, shown, paper):
        figure.add_trace(trace)
    _ways(figure, scene, shown, paper, rigs=rigs)
    _positions(figure, scene, shown, paper)
    left, right, bottom, top = paper.paper
    height = PAGE_PX * (top - bottom) / (right - left)
    height = min(height, TALL_PX) if paper.count == 1 else height
    marks.canvas(figure, height=height + 70, top=56, left=70 if shown.ticks else 8)
    figure.update_xaxes(range=[left, right], visible=False)
    figure.update_yaxes(range=[bottom, top], visible=bool(shown.ticks), showgrid=False)
    if shown.ticks:
        figure.update_yaxes(**_across_ticks(shown, paper))
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
    for along, across in shown.spots.values():
        alongs.append(along)
        acrosses.append(across)
    extent = max(acrosses) - min(acrosses)
    margin = max(patch.width for patch in shown.patches) / 2
    return fold(alongs, acrosses, pad=0.10 * extent, margin=margin)


def _across_ticks(shown: Projection, paper: Fold) -> dict[str, object]:
    pairs = [
        (across - strip * paper.pitch, text)
        for strip in range(paper.count)
        for across, text in shown.ticks
    ]
    return {
        "tickvals": [at for at, _ in pairs],
        "ticktext": [text for _, text in pairs],
        "tickfont": {"size": 10},
        "zeroline": False,
    }


def _ground(scene: Scene, shown: Projection, paper: Fold) -> list[marks.Trace]:
    """Return hose legs, the scale beneath each strip, and thin lines across."""
    legs = [
        part
        for route in scene.campaign.routes
        if route.start in _spots(shown) and route.end in _spots(shown)
        for part in paper.line(_spots(shown)[route.start], _spots(shown)[route.end])
    ]
    across = [
        (0.0, at - strip * paper.pitch, paper.length, at - strip * paper.pitch)
        for strip in range(paper.count)
        for at, _ in shown.ticks
    ]
    lines, names = _scale(paper)
    return [
        marks.strokes(legs if shown.view is View.PLAN else [], colour=QUIET, width=1.0),
        marks.strokes(across, colour=QUIET, width=1.0, dash="dot"),
        marks.strokes(lines, colour=OUTLINE, width=1.0),
        marks.words(names, size=10),
    ]


def _spots(shown: Projection) -> dict[str, tuple[float, float]]:
    zones = {str(patch.zone.zone_id): (patch.along, patch.across) for patch in shown.patches}
    return {**zones, **shown.spots}


def _scale(
    paper: Fold,
) -> tuple[list[tuple[float, float, float, float]], list[tuple[float, float, str]]]:
    step = _round_step(paper.length / TICKS)
    lines: list[tuple[float, float, float, float]] = []
    names: list[tuple[float, float, str]] = []
    for strip in range(paper.count):
        base = paper.low - strip * paper.pitch
        lines.append((0.0, base, paper.length, base))
        first = paper.start + strip * paper.length
        tick = math.ceil(first / step) * step
        while tick <= first + paper.length:
            lines.append((tick - first, base, tick - first, base - 0.08 * paper.gap))
            names.append((tick - first, base - 0.3 * paper.gap, f"{tick:g} m"))
            tick += step
    return lines, names


def _round_step(rough: float) -> float:
    power = 10.0 ** math.floor(math.log10(rough))
    return next(power * lead for lead in (1.0, 2.0, 5.0, 10.0) if power * lead >= rough)


def _zones(scene: Scene, shown: Projection, paper: Fold) -> list[marks.Trace]:
    served = main_position(scene.plan)
    groups: dict[PositionId | None, list[Patch]] = {}
    for patch in shown.patches:
        groups.setdefault(served.get(str(patch.zone.zone_id)), []).append(patch)
    traces: list[marks.Trace] = []
    for position, look in scene.looks.items():
        found = groups.get(position, [])
        if found:
            traces.append(_fills(found, paper, look, f"from {position}"))
            traces.append(_names(scene, shown, paper, found, look=look))
    left_out = groups.get(None, [])
    if left_out:
        traces.append(_outlines(left_out, paper))
        traces.append(_names(scene, shown, paper, left_out, look=None))
    return traces


def _outline(patch: Patch, paper: Fold) -> tuple[list[float | None], list[float | None]]:
    strip = paper.strip(patch.along)
    x, y = paper.place(patch.along, patch.across, strip)
    half_w, half_h = patch.width / 2, patch.height / 2
    xs = [x - half_w, x + half_w, x + half_w, x - half_w, x - half_w, None]
    ys = [y - half_h, y - half_h, y + half_h, y + half_h, y - half_h, None]
    return xs, ys


def _ring(found: list[Patch], paper: Fold) -> dict[str, list[float | None]]:
    xs: list[float | None] = []
    ys: list[float | None] = []
    for patch in found:
        one_x, one_y = _outline(patch, paper)
        xs += one_x
        ys += one_y
    return {"x": xs, "y": ys}


def _fills(found: list[Patch], paper: Fold, look: Look, name: str) -> go.Scatter:
    return go.Scatter(
        **_ring(found, paper),
        mode="lines",
        fill="toself",
        fillcolor=look.colour,
        fillpattern={
            "shape": look.pattern,
            "fillmode": "overlay",
            "fgcolor": "black",
            "fgopacity": 0.35,
            "size": marks.PATTERN_SIZE,
            "solidity": 0.18,
        },
        line={"color": OUTLINE, "width": 1},
        hoverinfo="skip",
        name=name,
        meta="zones",
    )


def _outlines(found: list[Patch], paper: Fold) -> go.Scatter:
    return go.Scatter(
        **_ring(found, paper),
        mode="lines",
        line={"color": LEFT_OUT, "width": 1.5, "dash": "dash"},
        hoverinfo="skip",
        name="left out",
        meta="left out",
    )


def _names(
    scene: Scene, shown: Projection, paper: Fold, found: list[Patch], *, look: Look | None
) -> go.Scatter:
    left = shown.view is View.UNROLLED and shown.to_scale  # positions stand upon the wall
    points: list[tuple[float, float, ZoneId]] = []
    for patch in found:
        x, y = paper.place(patch.along, patch.across)
        points.append((x - 0.48 * patch.width if left else x, y, patch.zone.zone_id))
    trace = marks.words(
        [(x, y, scene.short(zone)) for x, y, zone in points],
        anchor="middle right" if left else "middle center",
        size=10,
        colour=look.ink if look else None,
    )
    trace.customdata = [_hover(scene, zone) for _, _, zone in points]
    trace.hoverinfo = None
    trace.hovertemplate = "%{customdata}<extra></extra>"
    return trace


def _hover(scene: Scene, zone: ZoneId) -> str:
    spells = [spell for spell in scene.plan.spells if spell.zone == zone]
    done = ", ".join(sorted({f"{spell.rig} from {spell.position}" for spell in spells}))
    volume_m3 = scene.zones[zone].in_place_m3(scene.campaign.rules.overbreak)
    what = f"{scene.zones[zone].orientation}, {volume_m3:.2f} m³"
    return f"<b>{zone}</b> · {what}<br>{done or 'left out'}"


def _ways(
    figure: go.Figure,
    scene: Scene,
    shown: Projection,
    paper: Fold,
    *,
    rigs: Collection[RigId] | None,
) -> None:
    """Draw each rig's moves as bowed arrows, numbered in the order of time."""
    wanted = {rig.rig_id for rig in scene.campaign.rigs} if rigs is None else set(rigs)
    few = sum(move.rig in wanted for move in scene.plan.relocations) <= TAGS_MAX
    for index, rig in enumerate(scene.campaign.rigs):
        if rig.rig_id not in wanted:
            continue
        legs: dict[tuple[str, str], list[str]] = {}
        for before, after in pairwise(stays(scene.plan, rig.rig_id)):
            ends = (str(before.position), str(after.position))
            if set(ends) <= shown.spots.keys():
                legs.setdefault(ends, []).append(f"{before.number}→{after.number}")
        for (start, end), turns in legs.items():
            xs, ys = _bow(paper.place(*shown.spots[start]), paper.place(*shown.spots[end]), index)
            figure.add_trace(_arrow(xs, ys, index))
            at = len(xs) * LABEL_AT[index % len(LABEL_AT)] // 8
            if few:
                marks.tag(figure, xs[at], ys[at], f"{rig.rig_id} {', '.join(turns)}")


def _bow(
    start: tuple[float, float], end: tuple[float, float], index: int
) -> tuple[list[float], list[float]]:
    """Return points of a bow from one place to another; each rig's bends a little more."""
    (x0, y0), (x1, y1) = start, end
    reach = max(math.hypot(x1 - x0, y1 - y0), 1e-9)
    bow = (0.12 + 0.05 * index) * reach
    middle_x = (x0 + x1) / 2 - bow * (y1 - y0) / reach
    middle_y = (y0 + y1) / 2 + bow * abs(x1 - x0) / reach
    shares = [step / (ARC_POINTS - 1) for step in range(ARC_POINTS)]
    xs = [(1 - t) ** 2 * x0 + 2 * t * (1 - t) * middle_x + t * t * x1 for t in shares]
    ys = [(1 - t) ** 2 * y0 + 2 * t * (1 - t) * middle_y + t * t * y1 for t in shares]
    return xs, ys


def _arrow(xs: list[float], ys: list[float], index: int) -> go.Scatter:
    return go.Scatter(
        x=xs,
        y=ys,
        mode="lines+markers",
        line={"color": WAY_INK, "width": 2, "dash": DASHES[index % len(DASHES)]},
        marker={
            "symbol": "arrow",
            "angleref": "previous",
            "size": [0.0] * (ARC_POINTS - 1) + [14.0],
            "standoff": [0.0] * (ARC_POINTS - 1) + [8.0],
            "color": WAY_INK,
            "opacity": 1.0,
        },
        hoverinfo="skip",
        showlegend=False,
        meta="way",
    )


def _stay_numbers(scene: Scene) -> dict[str, str]:
    """Return, for each position used, which stays of which rigs it holds."""
    words: dict[str, list[str]] = {}
    for rig in scene.campaign.rigs:
        turns: dict[str, list[str]] = {}
        for stay in stays(scene.plan, rig.rig_id):
            turns.setdefault(str(stay.position), []).append(str(stay.number))
        for position, found in turns.items():
            words.setdefault(position, []).append(f"{rig.rig_id}·{','.join(found)}")
    return {position: " ".join(found) for position, found in words.items()}


def _positions(figure: go.Figure, scene: Scene, shown: Projection, paper: Fold) -> None:
    numbers = _stay_numbers(scene)
    for place in scene.campaign.positions:
        name = str(place.position_id)
        x, y = paper.place(*shown.spots[name])
        look = scene.looks.get(place.position_id)
        figure.add_trace(
            go.Scatter(
                x=[x],
                y=[y],
                mode="markers",
                marker={
                    "symbol": "circle" if look else "circle-open",
                    "size": 14 if look else 9,
                    "color": look.colour if look else OUTLINE,
                    "line": {"color": "#FFFFFF" if look else OUTLINE, "width": 2},
                },
                hoverinfo="skip",
                showlegend=False,
                meta="position",
            )
        )
        text = f"<b>{name}</b> {numbers[name]}" if name in numbers else name
        marks.tag(figure, x, y, text, above_px=17.0)
