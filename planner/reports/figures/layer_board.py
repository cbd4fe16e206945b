"""Every layer of every zone as a cell, coloured and dated by the day on which it is sprayed."""

from __future__ import annotations

from dataclasses import dataclass

import plotly.graph_objects as go
from plotly.colors import sample_colorscale

from planner.model.identifiers import ZoneId
from planner.plan.plan import Spell
from planner.reports.figures import marks
from planner.reports.labels import OUTLINE, count, ink_on
from planner.reports.scene import Scene
from planner.reports.wording import MONTHS, moment

COLUMNS = 20
CELL_PX = 19.0
NAME_PX = 17.0
GAP_PX = 8.0
SCALE = "Cividis"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cell:
    zone: ZoneId
    layer: int
    end_min: int
    pieces: int


def layer_board(scene: Scene) -> go.Figure:
    """Return the board: zones in table order, their layers one upon the other."""
    cells = _cells(scene)
    tall = max((cell.layer for cell in cells), default=1)
    row_px = tall * CELL_PX + NAME_PX + GAP_PX
    figure = go.Figure()
    if cells:
        figure.add_trace(_bars(scene, cells, row_px))
    figure.add_trace(_names(scene, cells, row_px))
    height = row_px * -(-len(scene.campaign.zones) // COLUMNS)
    marks.canvas(figure, height=height + 20, top=4, legend=False)
    figure.update_layout(uniformtext={"minsize": 8, "mode": "hide"})
    figure.update_xaxes(range=[0, COLUMNS], visible=False)
    figure.update_yaxes(range=[height, 0.0], visible=False)
    return figure


def _cells(scene: Scene) -> list[_Cell]:
    pieces: dict[tuple[ZoneId, int], list[Spell]] = {}
    for spell in scene.plan.spells:
        pieces.setdefault((spell.zone, spell.layer), []).append(spell)
    return [
        _Cell(
            zone=zone,
            layer=layer,
            end_min=max(spell.end_min for spell in found),
            pieces=len(found),
        )
        for (zone, layer), found in sorted(pieces.items())
    ]


def _place(scene: Scene) -> dict[ZoneId, tuple[int, int]]:
    return {
        zone.zone_id: (index % COLUMNS, index // COLUMNS)
        for index, zone in enumerate(scene.campaign.zones)
    }


def _bars(scene: Scene, cells: list[_Cell], row_px: float) -> go.Bar:
    clock = scene.campaign.clock
    place = _place(scene)
    last = max(cell.end_min for cell in cells)
    shares = [cell.end_min / max(last, 1) for cell in cells]
    colours = [_hex(colour) for colour in sample_colorscale(SCALE, shares)]
    bottoms = [(place[cell.zone][1] + 1) * row_px - GAP_PX - NAME_PX for cell in cells]
    texts = []
    hovers = []
    for cell in cells:
        day = clock.local(cell.end_min - 1)
        joint = "" if cell.pieces == 1 else f" ÷{cell.pieces}"
        texts.append(f"{day.day} {MONTHS[day.month - 1]}{joint}")
        hovers.append(
            f"<b>{cell.zone}</b> · layer {cell.layer}<br>done {moment(clock, cell.end_min)}"
            f"<br>{count(cell.pieces, 'spell')}"
        )
    return go.Bar(
        orientation="h",
        base=[place[cell.zone][0] + 0.04 for cell in cells],
        x=[0.92] * len(cells),
        y=[
            bottom - (cell.layer - 0.5) * CELL_PX
            for bottom, cell in zip(bottoms, cells, strict=True)
        ],
        width=[CELL_PX - 2.0] * len(cells),
        text=texts,
        textposition="inside",
        insidetextanchor="middle",
        textangle=0,
        textfont={"size": 10, "color": [ink_on(colour) for colour in colours]},
        customdata=hovers,
        hovertemplate="%{customdata}<extra></extra>",
        marker={"color": colours, "line": {"color": OUTLINE, "width": 1}},
        meta="layers",
    )


def _names(scene: Scene, cells: list[_Cell], row_px: float) -> go.Scatter:
    done = {cell.zone for cell in cells}
    names = []
    for zone, (column, row) in _place(scene).items():
        text = scene.short(zone) if zone in done else f"({scene.short(zone)})"
        names.append((column + 0.5, (row + 1) * row_px - GAP_PX - NAME_PX / 2, text))
    return marks.words(names, size=10)


def _hex(colour: str) -> str:
    """Return ``#RRGGBB`` for the ``rgb(r, g, b)`` that the colour scale gives."""
    channels = [round(float(part)) for part in colour[4:-1].split(",")]
    return "#" + "".join(f"{channel:02X}" for channel in channels)
