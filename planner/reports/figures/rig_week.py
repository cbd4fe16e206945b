"""A few days close up: each day a strip with a lane per rig, and the water beneath.

Positions are in pixels from the top, so that a day without work takes little room.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import plotly.graph_objects as go

from planner.core.spans import Span
from planner.model.identifiers import RigId
from planner.plan.plan import Relocation, Run, RunKind
from planner.reports.closed import notes_on, rig_closed
from planner.reports.figures import marks
from planner.reports.figures.day_water import LIMIT_ROOM_PX, WATER_PX, WaterBand
from planner.reports.figures.marks import Block
from planner.reports.labels import (
    OPEN_BOTH,
    OPEN_PALE,
    OPEN_STRONG,
    OUTLINE,
    QUIET,
    SHIFT,
    WATER,
)
from planner.reports.scene import Scene
from planner.reports.wording import run_hover, spell_hover, time_range

LANE_PX = 58.0
LANE_GAP_PX = 6.0
HEAD_PX = 15.0
"""Height of a run's heading above its spells."""
CLOSED_PX = 17.0
QUIET_DAY_PX = 30.0
DAY_GAP_PX = 16.0
TICK_HOURS = tuple(range(0, 25, 2))
MOVE_INK = "#6F6F6F"
WORD_PX = 7.0
"""Room that a letter takes, to leave out words that do not fit."""
PAGE_PX = 760.0
"""Room for the hours on a rather narrow page, to choose words that fit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Day:
    """One strip: its row, top, and heights in pixels."""

    row: int
    top: float
    lanes: int
    notes: int
    water: bool

    @property
    def lanes_top(self) -> float:
        return self.top + self.notes * CLOSED_PX

    @property
    def water_top(self) -> float:
        return self.lanes_top + self.lanes * (LANE_PX + LANE_GAP_PX)

    @property
    def bottom(self) -> float:
        if not self.lanes:
            return self.lanes_top + QUIET_DAY_PX
        return self.water_top + (WATER_PX if self.water else 0.0)

    def lane(self, index: int) -> tuple[float, float]:
        top = self.lanes_top + index * (LANE_PX + LANE_GAP_PX)
        return top, top + LANE_PX


def rig_week(scene: Scene, *, first_row: int, days: int = 7) -> go.Figure:
    """Return some days of the campaign close up.

    Parameters
    ----------
    scene
        Plan and campaign to draw.
    first_row
        Row of :attr:`Scene.rows` to begin with.
    days
        Number of days [1].
    """
    rows = range(first_row, min(first_row + days, len(scene.rows)))
    water = WaterBand(scene, rows)
    strips = _layout(scene, rows, water)
    figure = go.Figure()
    for strip in strips:
        _draw_day(figure, scene, strip, water)
    for trace in _legend(scene, rows):
        figure.add_trace(trace)
    height = strips[-1].bottom + DAY_GAP_PX if strips else QUIET_DAY_PX
    marks.canvas(figure, height=height + 100, top=88, left=96)
    figure.update_layout(margin={"r": LIMIT_ROOM_PX if water.shown else 12})
    ticks = [(hours, scene.rows.hour_label(hours)) for hours in TICK_HOURS]
    figure.update_xaxes(**marks.hour_axis(*scene.hours_shown(), ticks))
    labels = [pair for strip in strips for pair in _labels(scene, strip)]
    figure.update_yaxes(
        range=[height, 0.0],
        showgrid=False,
        zeroline=False,
        tickvals=[at for at, _ in labels],
        ticktext=[text for _, text in labels],
    )
    return figure


def first_rows(scene: Scene, days: int = 7) -> list[int]:
    """Return the rows at which the weeks of the campaign begin, on Mondays where possible."""
    begin = [row for row, day in enumerate(scene.rows.days) if day.weekday() == 0]
    if not begin or begin[0] > 0:
        begin.insert(0, 0)
    return begin if days == 7 else list(range(0, len(scene.rows), days))


def _busy_rigs(scene: Scene, row: int) -> bool:
    start, end = scene.rows.row_span(row)
    work: Iterable[Run | Relocation] = (*scene.plan.runs, *scene.plan.relocations)
    return any(item.start_min < end and start < item.end_min for item in work)


def _layout(scene: Scene, rows: range, water: WaterBand) -> list[_Day]:
    strips: list[_Day] = []
    top = DAY_GAP_PX
    for row in rows:
        busy = _busy_rigs(scene, row)
        strip = _Day(
            row=row,
            top=top,
            lanes=len(scene.campaign.rigs) if busy else 0,
            notes=len(notes_on(scene.campaign, *scene.rows.row_span(row))),
            water=water.shown and busy,
        )
        strips.append(strip)
        top = strip.bottom + DAY_GAP_PX
    return strips


def _labels(scene: Scene, strip: _Day) -> list[tuple[float, str]]:
    day = f"<b>{scene.rows.name(strip.row)}</b>"
    labels = [(strip.top + strip.notes * CLOSED_PX - 8.0, day)]
    if not strip.lanes:
        return [(strip.lanes_top + QUIET_DAY_PX / 2, day)]
    for index, rig in enumerate(scene.campaign.rigs):
        top, bottom = strip.lane(index)
        labels.append(((top + bottom) / 2, rig.rig_id))
    return labels


def _draw_day(figure: go.Figure, scene: Scene, strip: _Day, water: WaterBand) -> None:
    draw = _Lanes(scene, strip)
    traces = draw.ground()
    for index, rig in enumerate(scene.campaign.rigs):
        if strip.lanes:
            traces += draw.lane(index, rig.rig_id)
    if strip.water:
        traces += water.traces(strip.row, strip.water_top)
    for trace in traces:
        figure.add_trace(trace)
    for x, y, text, ink in draw.narrow:
        marks.upright(figure, x, y, text, colour=ink)


class _Lanes:
    """Turns stretches of time into marks on the lanes of one day."""

    def __init__(self, scene: Scene, strip: _Day) -> None:
        self.scene = scene
        self.strip = strip
        self.span = scene.rows.row_span(strip.row)
        self.low_h, self.high_h = scene.hours_shown()
        self.hour_px = PAGE_PX / (self.high_h - self.low_h)
        self.narrow: list[tuple[float, float, str, str]] = []

    def cut(
        self, start: int, end: int, y0: float, y1: float, *, text: str = "", hover: str = ""
    ) -> list[Block]:
        """Return the part of a stretch on this day as rectangles between two heights."""
        low, high = self.span
        return [
            Block(x0=piece.start_h, x1=piece.end_h, y0=y0, y1=y1, text=text, hover=hover)
            for piece in self.scene.rows.pieces(max(start, low), min(end, high))
            if piece.row == self.strip.row
        ]

    def bands(self, spans: Iterable[Span], y0: float, y1: float) -> list[Block]:
        return [block for start, end in spans for block in self.cut(start, end, y0, y1)]

    def ground(self) -> list[marks.Trace]:
        """Return the day's outline and its closures, each with its reason."""
        low, high = self.span
        notes: list[Block] = []
        texts: list[tuple[float, float, str]] = []
        for index, note in enumerate(notes_on(self.scene.campaign, low, high)):
            y0 = self.strip.top + index * CLOSED_PX + 1.0
            found = self.bands(note.spans, y0, y0 + CLOSED_PX - 3.0)
            notes += found
            if found:
                at = max(found[0].x0, self.low_h)
                texts.append((at, y0 + (CLOSED_PX - 3.0) / 2, f" {note.text}"))
        line = [(0.0, self.strip.top - 3.0, 24.0, self.strip.top - 3.0)]
        traces: list[marks.Trace] = [
            marks.strokes(line, colour=QUIET, width=1.0),
            marks.hatched(notes, meta="closure"),
            marks.words(texts, anchor="middle right"),
        ]
        if not self.strip.lanes:
            middle = self.strip.lanes_top + QUIET_DAY_PX / 2
            traces.append(
                marks.words([(self.low_h, middle, " no work planned")], anchor="middle right")
            )
        return traces

    def lane(self, index: int, rig: RigId) -> list[marks.Trace]:
        """Return one rig's lane: windows, closures, runs with spells, relocations."""
        y0, y1 = self.strip.lane(index)
        zones = self.scene.zones_of(rig) if self.scene.has_water() else []
        some = self.bands(self.scene.any_open(zones).clip(*self.span), y0, y1)
        every = self.bands(self.scene.all_open(zones).clip(*self.span), y0, y1)
        closed = self.bands(rig_closed(self.scene.campaign, rig).clip(*self.span), y0, y1)
        shifts = self.bands(self.scene.on_shift(rig).clip(*self.span), y1 - 2.0, y1 + 2.0)
        rims = [(x, y0, x, y1) for block in some for x in (block.x0, block.x1)]
        return [
            marks.plain(some, colour=OPEN_PALE, meta="open to some"),
            marks.plain(every, colour=OPEN_STRONG, meta="open to all"),
            marks.edges(rims, colour=WATER),
            marks.hatched(closed, meta="closed"),
            marks.plain(shifts, colour=SHIFT, meta="on shift"),
            *self.runs(rig, y0, y1),
            *self.moves(rig, y0, y1),
        ]

    def runs(self, rig: RigId, y0: float, y1: float) -> list[marks.Trace]:
        clock = self.scene.campaign.clock
        traces: list[marks.Trace] = []
        for run in self._here(self.scene.runs_of(rig)):
            look = self.scene.looks[run.position]
            spells = self.scene.spells_of[run.run]
            hover = run_hover(clock, run, len(spells))
            tray = self.cut(run.start_min, run.end_min, y0, y1, hover=hover)
            traces.append(
                marks.blocks(tray, colour=look.tint(0.30), outline=look.colour, meta="run")
            )
            traces.append(self._heading(run, tray, y0))
            traces += self._spells(run, y0 + HEAD_PX, y1 - 3.0)
        return traces

    def _spells(self, run: Run, y0: float, y1: float) -> list[marks.Trace]:
        """Return a run's spells with their zones; in narrow ones the name reads upwards."""
        look = self.scene.looks[run.position]
        found: list[Block] = []
        names: list[tuple[float, float, str]] = []
        middle = (y0 + y1) / 2
        for spell in self.scene.spells_of[run.run]:
            name = self.scene.short(spell.zone)
            hover = spell_hover(self.scene.campaign.clock, spell)
            for block in self.cut(spell.start_min, spell.end_min, y0, y1, hover=hover):
                found.append(block)
                room = (block.x1 - block.x0) * self.hour_px
                if (len(name) + 2) * WORD_PX <= room:
                    names.append((block.x0, middle, f" <b>{name}</b> {spell.layer}"))
                else:
                    centre = (block.x0 + block.x1) / 2
                    self.narrow.append((centre, middle, f"<b>{name}</b>", look.ink))
        bars = marks.blocks(found, colour=look.colour, pattern=look.pattern, meta="spell")
        return [bars, marks.words(names, anchor="middle right", colour=look.ink)]

    def _here(self, runs: Iterable[Run]) -> list[Run]:
        low, high = self.span
        return [run for run in runs if run.start_min < high and low < run.end_min]

    def _heading(self, run: Run, tray: list[Block], y0: float) -> go.Scatter:
        texts: list[tuple[float, float, str]] = []
        for block in tray:
            room = (block.x1 - block.x0) * self.hour_px
            kind = " · panel" if run.kind is RunKind.PANEL else ""
            full = f" {run.position} · {run.crew}{kind}"
            text = full if len(full) * WORD_PX <= room else f" {run.position}"
            texts.append((block.x0, y0 + HEAD_PX / 2, text))
        return marks.words(texts, anchor="middle right", size=10)

    def moves(self, rig: RigId, y0: float, y1: float) -> list[marks.Trace]:
        """Return relocations as strokes with a head where the rig arrives, and where they lead."""
        low, high = self.span
        clock = self.scene.campaign.clock
        middle = (y0 + y1) / 2
        lines: list[tuple[float, float, float, float]] = []
        ends: list[tuple[float, float, str]] = []
        for move in self.scene.plan.relocations:
            if move.rig != rig or move.start_min >= high or move.end_min <= low:
                continue
            for block in self.cut(move.start_min, move.end_min, middle, middle):
                lines.append((block.x0, middle, block.x1, middle))
                hover = (
                    f"{rig} moves from {move.from_position} to {move.to_position}<br>"
                    f"{time_range(clock, move.start_min, move.end_min)}"
                )
                ends.append((block.x1, middle, hover))
        if not lines:
            return []
        names = [
            ((line[0] + line[2]) / 2, middle - 9.0, text)
            for line, text in zip(lines, self._destinations(rig), strict=False)
        ]
        heads = go.Scatter(
            x=[x for x, _, _ in ends],
            y=[y for _, y, _ in ends],
            mode="markers",
            marker={
                "symbol": "triangle-right",
                "size": 10,
                "color": MOVE_INK,
                "line": {"color": OUTLINE, "width": 1},
            },
            customdata=[hover for _, _, hover in ends],
            hovertemplate="%{customdata}<extra></extra>",
            showlegend=False,
            meta="relocation",
        )
        return [marks.strokes(lines, colour=MOVE_INK, width=2.5), heads, marks.words(names)]

    def _destinations(self, rig: RigId) -> list[str]:
        low, high = self.span
        return [
            f"{move.from_position} → {move.to_position}"
            for move in self.scene.plan.relocations
            if move.rig == rig and move.start_min < high and low < move.end_min
        ]


def _legend(scene: Scene, rows: range) -> list[marks.Trace]:
    low, high = scene.rows.row_span(rows[0])[0], scene.rows.row_span(rows[-1])[1]
    shown = {run.position for run in scene.plan.runs if run.start_min < high and low < run.end_min}
    keys: list[marks.Trace] = [
        marks.key(look, f"at {position}")
        for position, look in scene.looks.items()
        if position in shown
    ]
    keys.append(marks.band_key(SHIFT, "a crew on shift"))
    if scene.has_water():
        keys.append(marks.band_key(OPEN_PALE, "some face open"))
        keys.append(marks.band_key(OPEN_BOTH, "every height open"))
    return keys
