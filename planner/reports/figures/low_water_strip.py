"""The low-water strip: a row for each tide or night, minutes from low water across.

The window is a shape, wide at the top where the highest faces are open longest; the run lies in
it with its start-up, spells and clean-up, and under it the minutes that were lost, each named.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

import plotly.graph_objects as go

from planner.reports.figures import marks
from planner.reports.figures.marks import Block
from planner.reports.figures.merging import merged
from planner.reports.figures.run_marks import (
    MOVE_INK,
    SPELL_OF,
    lost_traces,
    part_keys,
    part_traces,
)
from planner.reports.figures.shapes import FILL, path_of
from planner.reports.labels import OUTLINE, QUIET, SHIFT
from planner.reports.lost_minutes import Share
from planner.reports.scene import Scene
from planner.reports.turns import Turn
from planner.reports.wording import time_range

RUN_PX = 34.0
LOST_PX = 17.0
WORDS_PX = 14.0
LANE_PX = RUN_PX + LOST_PX + WORDS_PX + 3.0
HEAD_PX = 17.0
GAP_PX = 12.0
PLOT_PX = 880.0
"""Room for the minutes on a rather narrow page, to choose words that fit [px]."""
EDGE_MIN = 20.0
HOUR = 60.0
SPELLS = "spells"


def low_water_strip(scene: Scene, shares: Sequence[Share]) -> go.Figure:
    """Return the strip of some turns; one lane for each rig that has something to show.

    Parameters
    ----------
    shares
        What rigs make of turns, turn by turn; idle ones are left out.
    """
    shown = [share for share in shares if not share.is_idle]
    turns = list(dict.fromkeys(share.turn for share in shares))
    low, high = _extent(shown)
    sheet = _Sheet(scene, low=low, high=high)
    for turn in turns:
        sheet.turn(turn, [share for share in shown if share.turn == turn])
    figure = go.Figure(
        data=[*merged(sheet.traces), *_legend(scene, shown)], layout={"shapes": sheet.shapes}
    )
    _dress(figure, scene, turns, sheet)
    return figure


class _Sheet:
    """Collects the marks of the rows, from the top downwards."""

    def __init__(self, scene: Scene, *, low: float, high: float) -> None:
        self.scene = scene
        self.low, self.high = low, high
        self.px = PLOT_PX / max(high - low, 1.0)
        self.top = GAP_PX
        self.traces: list[marks.Trace] = []
        self.shapes: list[dict[str, object]] = []
        self.labels: list[tuple[float, str]] = []

    def turn(self, turn: Turn, lanes: Sequence[Share]) -> None:
        """Add a turn with a lane for each rig."""
        self.labels.append((self.top + HEAD_PX / 2, f"<b>{_turn_name(turn)}</b>"))
        line = [(self.low, self.top - 4.0, self.high, self.top - 4.0)]
        self.traces.append(marks.strokes(line, colour=QUIET, width=1.0))
        if turn.note:
            self._say(self.top + HEAD_PX / 2, turn.note)
        self.top += HEAD_PX
        for share in lanes:
            self._lane(share)
            self.labels.append((self.top + RUN_PX / 2, escape(share.rig)))
            self.top += LANE_PX
        if not lanes:
            self._say(self.top + 4.0, "nothing planned")
            self.top += 14.0
        self.top += GAP_PX

    def _say(self, y: float, text: str) -> None:
        self.traces.append(
            marks.words([(self.low, y, f" {text}")], anchor="middle right", size=10)
        )

    def _lane(self, share: Share) -> None:
        top, zero = self.top, float(share.turn.zero_min)
        bottom = top + RUN_PX
        self.shapes += [
            path_of(shape, top=top, bottom=bottom, zero=zero) for shape in share.shapes
        ]
        on_shift = [
            Block(x0=a - zero, x1=b - zero, y0=bottom - 1.5, y1=bottom + 1.5)
            for a, b in share.shift
        ]
        self.traces.append(marks.plain(on_shift, colour=SHIFT, meta="on shift"))
        rows = {"y0": top + 5, "y1": bottom - 4}
        for run in share.runs:
            parts = [part for part in share.parts if run.start_min <= part.start_min < run.end_min]
            for trace in part_traces(self.scene, run, parts, zero=zero, px=self.px, **rows):
                if str(trace.meta).startswith(SPELL_OF):
                    trace.meta = SPELLS
                self.traces.append(trace)
        self.traces += _moves(self.scene, share, zero, top + 5, bottom - 4)
        below = {"y0": bottom + 3, "y1": bottom + LOST_PX}
        self.traces += lost_traces(self.scene, share.lost, zero=zero, px=self.px, **below)
        self._say(bottom + LOST_PX + WORDS_PX / 2, share.words())


def _turn_name(turn: Turn) -> str:
    return f"{turn.number} · {turn.name}"


def _extent(shares: Sequence[Share]) -> tuple[float, float]:
    """Return the minutes that the strip shows, from the zero of its turns."""
    edges: list[float] = []
    for share in shares:
        zero = share.turn.zero_min
        edges += [part.start_min - zero for part in (*share.parts, *share.lost)]
        edges += [part.end_min - zero for part in (*share.parts, *share.lost)]
        for shape in share.shapes:
            edges += [shape.whole[0] - zero, shape.whole[1] - zero]
    if not edges:
        return -6 * HOUR, 6 * HOUR
    return min(edges) - EDGE_MIN, max(edges) + EDGE_MIN


def _moves(scene: Scene, share: Share, zero: float, y0: float, y1: float) -> list[marks.Trace]:
    start, end = share.turn.start_min, share.turn.end_min
    found = [
        Block(
            x0=max(move.start_min, start) - zero,
            x1=min(move.end_min, end) - zero,
            y0=(y0 + y1) / 2 - 4,
            y1=(y0 + y1) / 2 + 4,
            hover=f"{escape(move.rig)} moves from {escape(move.from_position)} to "
            f"{escape(move.to_position)}<br>"
            f"{time_range(scene.campaign.clock, move.start_min, move.end_min)}",
        )
        for move in scene.plan.relocations
        if move.rig == share.rig and move.start_min < end and start < move.end_min
    ]
    if not found:
        return []
    return [marks.blocks(found, colour=MOVE_INK, outline_px=0.0, meta="relocation")]


def _legend(scene: Scene, shares: Sequence[Share]) -> list[marks.Trace]:
    used = {run.position for share in shares for run in share.runs}
    keys: list[marks.Trace] = [
        marks.key(look, f"at {escape(position)}")
        for position, look in scene.looks.items()
        if position in used
    ]
    keys += part_keys()
    if scene.has_water():
        keys.append(marks.band_key(FILL, "window, wide for the highest faces"))
    keys.append(marks.band_key(MOVE_INK, "relocation"))
    keys.append(marks.band_key(SHIFT, "a crew on shift"))
    keys.append(marks.band_key("rgba(136,136,136,0.10)", "lost, named by cause"))
    return keys


def _dress(figure: go.Figure, scene: Scene, turns: Sequence[Turn], sheet: _Sheet) -> None:
    height, low, high = sheet.top, sheet.low, sheet.high
    marks.canvas(figure, height=height + 110, top=104, left=152)
    tidal = bool(turns) and turns[0].is_tide
    step = HOUR if high - low <= 14 * HOUR else 2 * HOUR
    ticks = [step * k for k in range(int(low // step), int(high // step) + 1)]
    words = [(at, _tick(scene, at, tidal=tidal)) for at in ticks if low <= at <= high]
    axis = marks.hour_axis(low, high, words)
    figure.update_xaxes(**axis)
    if tidal:
        figure.add_vline(x=0.0, line={"color": OUTLINE, "width": 1})
    figure.update_yaxes(
        range=[height, 0.0],
        showgrid=False,
        zeroline=False,
        tickvals=[at for at, _ in sheet.labels],
        ticktext=[text for _, text in sheet.labels],
    )


def _tick(scene: Scene, minutes: float, *, tidal: bool) -> str:
    if not tidal:
        return scene.rows.hour_label(minutes / HOUR)
    if not minutes:
        return "low water"
    return f"{minutes / HOUR:+g} h"
