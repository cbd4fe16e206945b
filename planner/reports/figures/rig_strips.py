"""The whole campaign at a glance: a strip per day, hours across, a block of strips per rig.

Pale bands show when some face can be reached, stronger ones when every height of face can, so
the tide is seen to wander from day to day; runs lie upon them in the look of their position,
their spells in full tone.
"""

from __future__ import annotations

from collections.abc import Iterable

import plotly.graph_objects as go
from plotly.subplots import make_subplots

from planner.core.spans import Span
from planner.model.identifiers import PositionId, RigId
from planner.plan.plan import RunKind
from planner.reports.closed import rig_closed
from planner.reports.day_rows import DayRows
from planner.reports.figures import marks
from planner.reports.figures.marks import Block
from planner.reports.labels import HATCH, OPEN_BOTH, OPEN_PALE, OPEN_STRONG
from planner.reports.scene import Scene
from planner.reports.wording import run_hover, spell_hover, time_range

ROW_PX = 15.0
GAP_PX = 2.0
TICK_HOURS = tuple(range(0, 25, 3))
MOVE_INK = "#6F6F6F"
QUIET_BAND = "rgba(136,136,136,0.14)"


def rig_strips(scene: Scene, rigs: Iterable[RigId] | None = None) -> go.Figure:
    """Return the calendar of strips.

    Parameters
    ----------
    scene
        Plan and campaign to draw.
    rigs
        Rigs to show, in this order; None: all.
    """
    shown = list(rigs) if rigs is not None else [rig.rig_id for rig in scene.campaign.rigs]
    figure = make_subplots(
        rows=1, cols=max(1, len(shown)), shared_yaxes=True, horizontal_spacing=0.02
    )
    first, last = _shown_rows(scene)
    for column, rig in enumerate(shown, start=1):
        for trace in _rig_traces(scene, rig, first, last):
            figure.add_trace(trace, row=1, col=column)
    for trace in _legend(scene):
        figure.add_trace(trace, row=1, col=1)
    height = (last - first + 1) * ROW_PX
    marks.canvas(figure, height=height + 120, top=108, left=96 if scene.rows.start_tod else 70)
    low, high = scene.hours_shown()
    ticks = [(hours, scene.rows.hour_label(hours)[:2]) for hours in TICK_HOURS]
    figure.update_xaxes(**marks.hour_axis(low, high, ticks))
    figure.update_yaxes(range=[height, 0.0], showgrid=False, zeroline=False)
    figure.update_yaxes(
        tickvals=[(row - first + 0.5) * ROW_PX for row in range(first, last + 1)],
        ticktext=[scene.rows.name(row) for row in range(first, last + 1)],
        tickfont={"size": 10},
        col=1,
    )
    _headings(figure, scene, shown)
    return figure


def _shown_rows(scene: Scene) -> tuple[int, int]:
    """Return the first and last row worth drawing: the campaign, less what lies after the plan."""
    rows: DayRows = scene.rows
    ends = [run.end_min for run in scene.plan.runs]
    last = rows.row_of(max(ends) - 1) if ends else len(rows) - 1
    starts = [run.start_min for run in scene.plan.runs]
    first = min(rows.row_of(min(starts)), rows.row_of(0)) if starts else 0
    return first, min(len(rows) - 1, last + 2)


def _headings(figure: go.Figure, scene: Scene, shown: list[RigId]) -> None:
    processes = {rig.rig_id: rig.process for rig in scene.campaign.rigs}
    for column, rig in enumerate(shown, start=1):
        axis = "" if column == 1 else str(column)
        figure.add_annotation(
            text=f"<b>{rig}</b> · {processes[rig]}",
            xref=f"x{axis} domain",
            yref="paper",
            x=0.0,
            y=1.0,
            xanchor="left",
            yanchor="bottom",
            yshift=22,
            showarrow=False,
        )


def _rig_traces(scene: Scene, rig: RigId, first: int, last: int) -> list[marks.Trace]:
    draw = _Strip(scene, first, last)
    traces: list[marks.Trace] = []
    if scene.has_water():
        zones = scene.zones_of(rig)
        some = draw.bands(scene.any_open(zones))
        every = draw.bands(scene.all_open(zones))
        traces.append(marks.plain(some, colour=OPEN_PALE, meta="open to some"))
        traces.append(marks.plain(every, colour=OPEN_STRONG, meta="open to all"))
    else:
        shifts = draw.bands(scene.on_shift(rig))
        traces.append(marks.plain(shifts, colour=QUIET_BAND, meta="on shift"))
    closed = draw.bands(rig_closed(scene.campaign, rig))
    traces.append(marks.hatched(closed, meta="closed"))
    return traces + draw.work(rig) + draw.moves(rig)


class _Strip:
    """Turns stretches of time into rectangles on the strips of one rig."""

    def __init__(self, scene: Scene, first: int, last: int) -> None:
        self.scene = scene
        self.first = first
        self.last = last

    def bands(self, spans: Iterable[Span]) -> list[Block]:
        return [
            block
            for start, end in spans
            for block in self.cut(start, end, inset=0.0, text="", hover="")
        ]

    def cut(self, start: int, end: int, *, inset: float, text: str, hover: str) -> list[Block]:
        return [
            Block(
                x0=piece.start_h,
                x1=piece.end_h,
                y0=(piece.row - self.first) * ROW_PX + GAP_PX / 2 + inset,
                y1=(piece.row - self.first + 1) * ROW_PX - GAP_PX / 2 - inset,
                text=text,
                hover=hover,
            )
            for piece in self.scene.rows.pieces(start, end)
            if self.first <= piece.row <= self.last
        ]

    def work(self, rig: RigId) -> list[marks.Trace]:
        """Return the runs as tints and their spells in full tone, one trace per position."""
        traces: list[marks.Trace] = []
        for position, look in self.scene.looks.items():
            runs, spells = self._at(rig, position)
            if runs:
                traces.append(
                    marks.blocks(runs, colour=look.tint(0.35), outline=look.colour, meta="run")
                )
            if spells:
                traces.append(
                    marks.blocks(
                        spells,
                        colour=look.colour,
                        pattern=look.pattern,
                        ink=look.ink,
                        outline_px=0.5,
                        meta="spell",
                    )
                )
        return traces

    def _at(self, rig: RigId, position: PositionId) -> tuple[list[Block], list[Block]]:
        clock = self.scene.campaign.clock
        runs: list[Block] = []
        spells: list[Block] = []
        for run in self.scene.runs_of(rig):
            if run.position != position:
                continue
            text = "panel" if run.kind is RunKind.PANEL else ""
            hover = run_hover(clock, run, len(self.scene.spells_of[run.run]))
            runs += self.cut(run.start_min, run.end_min, inset=0.0, text=text, hover=hover)
            for spell in self.scene.spells_of[run.run]:
                spells += self.cut(
                    spell.start_min,
                    spell.end_min,
                    inset=2.5,
                    text="",
                    hover=spell_hover(clock, spell),
                )
        return runs, spells

    def moves(self, rig: RigId) -> list[marks.Trace]:
        clock = self.scene.campaign.clock
        found = [
            block
            for move in self.scene.plan.relocations
            if move.rig == rig
            for block in self.cut(
                move.start_min,
                move.end_min,
                inset=4.5,
                text="",
                hover=f"{rig} moves from {move.from_position} to {move.to_position}<br>"
                f"{time_range(clock, move.start_min, move.end_min)}",
            )
        ]
        return [marks.blocks(found, colour=MOVE_INK, outline_px=0.0, meta="relocation")]


def _legend(scene: Scene) -> list[marks.Trace]:
    keys: list[marks.Trace] = [
        marks.key(look, f"at {position}") for position, look in scene.looks.items()
    ]
    if scene.has_water():
        keys.append(marks.band_key(OPEN_PALE, "some face open"))
        keys.append(marks.band_key(OPEN_BOTH, "every height open"))
    else:
        keys.append(marks.band_key(QUIET_BAND, "a crew on shift"))
    keys.append(marks.band_key(MOVE_INK, "relocation"))
    closed = marks.band_key("rgba(136,136,136,0.10)", "closed", pattern="/")
    closed.marker.pattern.fgcolor = HATCH
    return [*keys, closed]
