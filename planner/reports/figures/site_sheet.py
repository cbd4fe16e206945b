"""The site map: zones, positions and routes to scale, and what reaches what."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from html import escape

import plotly.graph_objects as go
from plotly.colors import sample_colorscale

from planner.model.campaign import Campaign
from planner.model.identifiers import PositionId, ZoneId
from planner.model.zone import Zone
from planner.reports.figures import marks
from planner.reports.figures.site_views import Box, Sheet, Side, extent
from planner.reports.labels import OUTLINE, QUIET, ink_on

SHADES = 6
SCALE = "Cividis_r"
CHOSEN = "#D55E00"
PLAIN = "rgba(136,136,136,0.16)"
LABELS_MAX = 160
"""With more zones than this only those of interest carry their names."""
HEIGHT_PX, TALL_PX = 620.0, 900.0
NARROW_PX, LETTER_PX = 1000.0, 6.0
"""Width of the drawing, and of a letter, to choose names that fit [px]."""
GRID = 60
"""Points along the longer side that can be clicked to place something."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Interest:
    """What the reader has picked.

    Attributes
    ----------
    position, zone
        What is framed.
    values
        Zones with a number each: those that are reached, shaded by it.
    unit, decimals
        Unit of the numbers, and decimals to write them with.
    reaching
        Positions that reach the picked zone; None: none is picked.
    trial
        Name of a position that is tried; it is drawn apart.
    is_placing
        Whether a click shall give a place.
    lines
        Outlines to lie behind, in site coordinates.
    picture
        A picture to lie behind: data address, left, top, width, height [m].
    """

    position: PositionId | None = None
    zone: ZoneId | None = None
    values: Mapping[ZoneId, float] = field(default_factory=dict)
    unit: str = ""
    decimals: int = 0
    reaching: frozenset[PositionId] | None = None
    trial: PositionId | None = None
    is_placing: bool = False
    lines: Sequence[Sequence[tuple[float, float]]] = ()
    picture: tuple[str, float, float, float, float] | None = None


def site_sheet(
    campaign: Campaign,
    sheet: Sheet,
    picked: Interest,
    stretch: tuple[float, float] | None = None,
) -> go.Figure:
    """Return the map of a scenario from one side.

    Parameters
    ----------
    stretch
        Only what lies between these coordinates across is drawn [m]; None: everything.
    """
    figure = go.Figure()
    whole = extent(sheet)
    seen = whole if stretch is None else (*stretch, *whole[2:])
    sheet = _within(sheet, seen)
    if sheet.side in (Side.DOWN, Side.UP):
        _behind(figure, picked)
    figure.add_trace(_routes(campaign, sheet))
    for trace in _boxes(sheet, picked):
        figure.add_trace(trace)
    px = NARROW_PX / max(seen[1] - seen[0], 1e-9)
    figure.add_trace(_names(campaign, sheet, picked, px=px))
    for trace in _positions(campaign, sheet, picked):
        figure.add_trace(trace)
    if picked.is_placing and sheet.side is Side.DOWN:
        figure.add_trace(_grid(seen))
    _dress(figure, sheet, seen)
    return figure


Extent = tuple[float, float, float, float]


def _within(sheet: Sheet, seen: Extent) -> Sheet:
    """Return what of a sheet is in view; places stay, since routes lead to them."""
    low, high = seen[:2]
    boxes = tuple(
        box
        for box in sheet.boxes
        if box.x + box.width / 2 >= low and box.x - box.width / 2 <= high
    )
    return replace(sheet, boxes=boxes)


def _behind(figure: go.Figure, picked: Interest) -> None:
    if picked.picture is not None:
        source, left, top, width, height = picked.picture
        figure.add_layout_image(
            source=source,
            xref="x",
            yref="y",
            x=left,
            y=top,
            sizex=width,
            sizey=height,
            sizing="stretch",
            opacity=0.6,
            layer="below",
        )
    xs: list[float | None] = []
    ys: list[float | None] = []
    for line in picked.lines:
        xs += [*(x for x, _ in line), None]
        ys += [*(y for _, y in line), None]
    if xs:
        figure.add_trace(
            go.Scatter(
                x=xs,
                y=ys,
                mode="lines",
                line={"color": OUTLINE, "width": 1},
                hoverinfo="skip",
                name="outline",
                meta="outline",
            )
        )


def _routes(campaign: Campaign, sheet: Sheet) -> go.Scatter:
    spots = {**{str(box.zone.zone_id): (box.x, box.y) for box in sheet.boxes}, **sheet.spots}
    legs = [
        (*spots[route.start], *spots[route.end])
        for route in campaign.routes
        if route.start in spots and route.end in spots and sheet.side is not Side.UNROLLED
    ]
    return marks.strokes(legs, colour=QUIET, width=1.2, meta="routes")


def _boxes(sheet: Sheet, picked: Interest) -> list[go.Scatter]:
    edges = _edges(list(picked.values.values()))
    groups: dict[int, list[Box]] = {}
    for box in sheet.boxes:
        value = picked.values.get(box.zone.zone_id)
        shade = -1 if value is None else _shade(edges, value)
        groups.setdefault(shade, []).append(box)
    is_asked = bool(picked.values) or picked.position is not None
    traces = [_plain(groups[-1], asked=is_asked)] if -1 in groups else []
    for shade in sorted(key for key in groups if key >= 0):
        colour = _colour(shade)
        name = _range_words(edges, shade, picked)
        traces.append(_filled(groups[shade], colour=colour, name=name))
    chosen = [box for box in sheet.boxes if box.zone.zone_id == picked.zone]
    if chosen:
        frame = _ring(chosen)
        traces.append(
            go.Scatter(
                **frame,
                mode="lines",
                line={"color": CHOSEN, "width": 4},
                hoverinfo="skip",
                showlegend=False,
                meta="chosen zone",
            )
        )
    return traces


def _edges(values: list[float]) -> list[float]:
    if not values:
        return []
    low, high = min(values), max(values)
    count = SHADES if high > low else 1
    return [low + (high - low) * k / count for k in range(count + 1)]


def _shade(edges: list[float], value: float) -> int:
    return min(len(edges) - 2, sum(value >= edge for edge in edges[1:-1]))


def _colour(shade: int) -> str:
    rgb = sample_colorscale(SCALE, [shade / max(SHADES - 1, 1)])[0]
    return "#" + "".join(f"{round(float(part)):02X}" for part in rgb[4:-1].split(","))


def _range_words(edges: list[float], shade: int, picked: Interest) -> str:
    low, high = edges[shade], edges[shade + 1]
    return f"{low:.{picked.decimals}f} to {high:.{picked.decimals}f} {picked.unit}"


def _plain(found: list[Box], *, asked: bool) -> go.Scatter:
    return go.Scatter(
        **_ring(found),
        mode="lines",
        fill="toself",
        fillcolor="rgba(0,0,0,0)" if asked else PLAIN,
        line={"color": OUTLINE, "width": 1, "dash": "dot" if asked else "solid"},
        hoverinfo="skip",
        name="not reached" if asked else "zones",
        meta="not reached" if asked else "zones",
    )


def _filled(found: list[Box], *, colour: str, name: str) -> go.Scatter:
    return go.Scatter(
        **_ring(found),
        mode="lines",
        fill="toself",
        fillcolor=colour,
        line={"color": OUTLINE, "width": 1},
        hoverinfo="skip",
        name=name,
        meta="reached",
    )


def _ring(found: Sequence[Box]) -> dict[str, list[float | None]]:
    xs: list[float | None] = []
    ys: list[float | None] = []
    for box in found:
        w, h = box.width / 2, box.height / 2
        xs += [box.x - w, box.x + w, box.x + w, box.x - w, box.x - w, None]
        ys += [box.y - h, box.y - h, box.y + h, box.y + h, box.y - h, None]
    return {"x": xs, "y": ys}


def _names(campaign: Campaign, sheet: Sheet, picked: Interest, *, px: float) -> go.Scatter:
    """Return the zones' names and numbers; each point can be clicked and tells its zone."""
    many = len(sheet.boxes) > LABELS_MAX
    edges = _edges(list(picked.values.values()))
    texts, inks, hovers, ids = [], [], [], []
    seen: dict[tuple[float, float], int] = {}
    for box in sheet.boxes:
        zone = box.zone
        value = picked.values.get(zone.zone_id)
        said = "" if value is None else f"{value:.{picked.decimals}f}"
        turn = seen.get((box.x, box.y), 0)
        seen[box.x, box.y] = turn + 1
        shown = turn == 0 and (not many or zone.zone_id == picked.zone)
        texts.append(_label(_short(zone), said, box.width * px) if shown else "")
        inks.append(OUTLINE if value is None else ink_on(_colour(_shade(edges, value))))
        hovers.append(_hover(campaign, box, value, picked))
        ids.append(f"zone:{zone.zone_id}")
    _together(sheet, texts, many=many)
    on_wall = sheet.side is Side.UNROLLED and sheet.is_true  # positions stand upon it
    return go.Scatter(
        x=[box.x - (0.47 * box.width if on_wall else 0.0) for box in sheet.boxes],
        y=[box.y for box in sheet.boxes],
        text=texts,
        mode="markers+text",
        marker={"size": 14, "opacity": 0.0},
        textposition="middle right" if on_wall else "middle center",
        textfont={"size": 10, "color": inks},
        customdata=list(zip(hovers, ids, strict=True)),
        hovertemplate="%{customdata[0]}<extra></extra>",
        showlegend=False,
        meta="zone points",
    )


def _label(name: str, said: str, room_px: float) -> str:
    """Return a zone's name and number, or the number alone, as far as they fit."""
    if len(name) * LETTER_PX <= room_px:
        return f"{escape(name)}<br>{said}" if said else escape(name)
    return said if len(said) * LETTER_PX <= room_px else ""


def _short(zone: Zone) -> str:
    """Return a zone's name, without its section where the name begins with it."""
    name, section = str(zone.zone_id), zone.section
    if section and name.startswith(f"{section}-"):
        return name[len(section) + 1 :]
    return name


def _together(sheet: Sheet, texts: list[str], *, many: bool) -> None:
    """Name zones that lie behind each other together, at the first of them."""
    if many:
        return
    first: dict[tuple[float, float], int] = {}
    for index, box in enumerate(sheet.boxes):
        at = (box.x, box.y)
        if at in first and texts[first[at]].startswith(
            escape(_short(sheet.boxes[first[at]].zone))
        ):
            texts[first[at]] += f"<br>{escape(_short(box.zone))}"
        else:
            first.setdefault(at, index)


def _hover(campaign: Campaign, box: Box, value: float | None, picked: Interest) -> str:
    zone = box.zone
    volume = zone.in_place_m3(campaign.rules.overbreak)
    head = f"<b>{escape(zone.zone_id)}</b> · {zone.orientation}, {volume:.2f} m³"
    place = f"x {zone.x_m:g}, y {zone.y_m:g}, z {zone.z_m:g} m"
    if value is None:
        return f"{head}<br>{place}"
    return f"{head}<br>{place}<br>{value:.{picked.decimals}f} {picked.unit}"


def _positions(campaign: Campaign, sheet: Sheet, picked: Interest) -> list[go.Scatter]:
    groups: dict[str, list[str]] = {}
    for position in campaign.positions:
        groups.setdefault(_state(position.position_id, picked), []).append(
            str(position.position_id)
        )
    return [_markers(sheet, state, groups[state]) for state in _MARKERS if state in groups]


_MARKERS: dict[str, dict[str, object]] = {
    "positions": {"symbol": "circle", "size": 13, "color": "#0072B2"},
    "reaches it": {"symbol": "circle", "size": 15, "color": "#009E73"},
    "does not reach it": {"symbol": "x", "size": 11, "color": "#6F6F6F"},
    "chosen position": {"symbol": "square", "size": 17, "color": CHOSEN},
    "new position, not saved yet": {"symbol": "star", "size": 20, "color": CHOSEN},
}


def _state(position: PositionId, picked: Interest) -> str:
    if position == picked.trial:
        return "new position, not saved yet"
    if position == picked.position:
        return "chosen position"
    if picked.reaching is None:
        return "positions"
    return "reaches it" if position in picked.reaching else "does not reach it"


def _markers(sheet: Sheet, state: str, names: list[str]) -> go.Scatter:
    spots = [sheet.spots[name] for name in names]
    return go.Scatter(
        x=[x for x, _ in spots],
        y=[y for _, y in spots],
        mode="markers+text",
        marker={**_MARKERS[state], "line": {"color": "#FFFFFF", "width": 1.5}, "opacity": 1.0},
        text=[f"<b>{escape(name)}</b>" for name in names],
        textposition="top center",
        textfont={"size": 11},
        customdata=[(f"position {escape(name)}", f"position:{name}") for name in names],
        hovertemplate="%{customdata[0]}<extra></extra>",
        name=state,
        meta=state,
    )


def _grid(seen: Extent) -> go.Scatter:
    """Return points, unseen, all over the sheet, so that a click anywhere gives a place."""
    left, right, bottom, top = seen
    step = nice_step(max(right - left, top - bottom) / GRID)
    xs = [k * step for k in range(math.ceil(left / step), math.floor(right / step) + 1)]
    ys = [k * step for k in range(math.ceil(bottom / step), math.floor(top / step) + 1)]
    points = [(x, y) for x in xs for y in ys]
    return go.Scatter(
        x=[x for x, _ in points],
        y=[y for _, y in points],
        mode="markers",
        marker={"size": 9, "opacity": 0.0},
        customdata=[("", "place") for _ in points],
        hovertemplate="place it at x %{x:g}, y %{y:g}<extra></extra>",
        showlegend=False,
        meta="places",
    )


def nice_step(rough: float) -> float:
    """Return the round step of 1, 2 or 5 that is next above a rough one."""
    power = 10.0 ** math.floor(math.log10(max(rough, 1e-6)))
    return next(power * lead for lead in (1.0, 2.0, 5.0, 10.0) if power * lead >= rough)


def _dress(figure: go.Figure, sheet: Sheet, seen: Extent) -> None:
    left, right, bottom, top = seen
    height = HEIGHT_PX if right - left > top - bottom else TALL_PX
    if sheet.is_true:
        height = min(height, 160.0 + 1150.0 * (top - bottom) / max(right - left, 1e-9))
    marks.canvas(figure, height=max(height, 320.0), top=64, left=64)
    figure.update_layout(margin={"b": 44}, clickmode="event+select", dragmode="pan")
    figure.update_xaxes(
        range=[right, left] if sheet.is_mirrored else [left, right],
        title={"text": sheet.x_name},
        gridcolor=QUIET,
        zeroline=False,
        constrain="domain",
    )
    figure.update_yaxes(
        range=[bottom, top], title={"text": sheet.y_name}, gridcolor=QUIET, zeroline=False
    )
    if sheet.is_true:
        figure.update_yaxes(scaleanchor="x", scaleratio=1, constrain="domain")
    if sheet.ticks:
        figure.update_yaxes(
            tickvals=[at for at, _ in sheet.ticks], ticktext=[text for _, text in sheet.ticks]
        )
