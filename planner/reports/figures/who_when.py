"""Who works when: a lane for each rig and each crew over a few days, with the marks of runs."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

import plotly.graph_objects as go

from planner.core.clock import MINUTES_PER_HOUR
from planner.core.spans import Spans
from planner.explain.ground import Ground
from planner.explain.parts import run_parts
from planner.model.identifiers import CrewKind, RigId
from planner.plan.plan import BreakOut, Relocation, Run, Spell
from planner.reports.figures import marks
from planner.reports.figures.marks import Block
from planner.reports.figures.merging import merged
from planner.reports.figures.run_marks import LETTER_PX, MOVE_INK, part_keys, part_traces
from planner.reports.figures.shapes import FILL
from planner.reports.labels import OUTLINE, QUIET
from planner.reports.scene import Scene
from planner.reports.wording import day_name, time_range

LANE_PX = 40.0
GROUP_PX = 22.0
PLOT_PX = 900.0
BREAK_PATTERN = "|"
BREAK_COLOUR = "rgba(136,136,136,0.45)"
GANG = "lifting gang"
DAY_MIN = 1440
STEPS = ((2, 3), (4, 6), (8, 12), (10**6, 24))
"""Days shown at most, and hours between ticks."""
ON_SHIFT = "rgba(136,136,136,0.16)"


def who_when(
    scene: Scene, ground: Ground, start: int, end: int, *, asked: Spell | None = None
) -> go.Figure:
    """Return the lanes of rigs and crews between two minutes.

    Parameters
    ----------
    start, end
        Stretch to show [min]; only what lies in it is drawn.
    asked
        A spell to put a frame around.
    """
    px = PLOT_PX / max(end - start, 1)
    figure = go.Figure()
    traces: list[marks.Trace] = []
    labels: list[tuple[float, str]] = []
    top = 0.0
    for title, lanes in _groups(scene, ground, start, end):
        labels.append((top + GROUP_PX / 2, f"<b>{title}</b>"))
        top += GROUP_PX
        for name, open_, work in lanes:
            y0, y1 = top + 2, top + LANE_PX - 2
            labels.append(((y0 + y1) / 2, escape(name)))
            bands = [Block(x0=a, x1=b, y0=y0, y1=y1) for a, b in open_.clip(start, end)]
            colour = FILL if title == "Rigs" else ON_SHIFT
            traces.append(marks.plain(bands, colour=colour, meta="open"))
            if asked is not None and name in (asked.rig, asked.crew):
                _frame(figure, asked, y0 + 9, y1)
            for row in work:
                traces += _row(scene, ground, row, y0 + 11, y1 - 2, px=px, lane=name)
            top += LANE_PX
    figure.add_traces([*merged(traces), *_legend(scene, ground, start, end)])
    _dress(figure, scene, labels, height=top, span=(start, end))
    return figure


def _frame(figure: go.Figure, spell: Spell, y0: float, y1: float) -> None:
    figure.add_shape(
        type="rect",
        x0=spell.start_min,
        x1=spell.end_min,
        y0=y0,
        y1=y1,
        line={"color": OUTLINE, "width": 4},
        name="asked about",
    )
    marks.tag(figure, (spell.start_min + spell.end_min) / 2, y0 - 4, "asked about")


Work = Run | Relocation | BreakOut
Lane = tuple[str, Spans, list[Work]]


def _groups(
    scene: Scene, ground: Ground, start: int, end: int
) -> Iterator[tuple[str, list[Lane]]]:
    def near(rows: list[Work]) -> list[Work]:
        return [row for row in rows if row.start_min < end and start < row.end_min]

    yield (
        "Rigs",
        [
            (str(rig), _rig_open(scene, rig), near(list(ground.work_of_rig.get(rig, ()))))
            for rig in ground.rigs
        ],
    )
    crews: list[Lane] = [
        (str(crew), ground.crew_hours(crew), near(ground.work_of_crew.get(crew, [])))
        for crew in ground.crews
    ]
    gang: list[Work] = [move for move in scene.plan.relocations if move.crew is None]
    if gang and ground.rules.relocation_shift is not None:
        hours = Spans(ground.access.shifts(ground.rules.relocation_shift))
        crews.append((GANG, hours, near(gang)))
    yield "Crews", crews


def _rig_open(scene: Scene, rig: RigId) -> Spans:
    if not scene.has_water():
        return scene.on_shift(rig)
    return scene.any_open(scene.zones_of(rig))


def _row(
    scene: Scene, ground: Ground, row: Work, y0: float, y1: float, *, px: float, lane: str
) -> list[marks.Trace]:
    if isinstance(row, Run):
        traces = part_traces(scene, row, run_parts(ground, row), zero=0.0, y0=y0, y1=y1, px=px)
        return [*traces, _partner(row, lane, y0, px)]
    when = time_range(scene.campaign.clock, row.start_min, row.end_min)
    if isinstance(row, Relocation):
        text = f"{row.rig} moves from {row.from_position} to {row.to_position}"
        colour, pattern = MOVE_INK, ""
    else:
        text = f"{row.crew} breaks out {row.zone}, {row.volume_m3:.2f} m³"
        colour, pattern = BREAK_COLOUR, BREAK_PATTERN
    middle = (y0 + y1) / 2
    block = Block(
        x0=row.start_min,
        x1=row.end_min,
        y0=middle - 5,
        y1=middle + 5,
        hover=f"{escape(text)}<br>{when}",
    )
    return [marks.blocks([block], colour=colour, pattern=pattern, meta="move or break-out")]


def _partner(run: Run, lane: str, y0: float, px: float) -> marks.Trace:
    """Return whom a run's lane works with, above it where that fits."""
    other = run.crew if lane == run.rig else run.rig
    text = f"{other} · {run.position}"
    room = (run.end_min - run.start_min) * px
    shown = text if len(text) * LETTER_PX * 0.85 <= room else ""
    return marks.words([(run.start_min, y0 - 5, escape(shown))], anchor="middle right", size=9)


def _legend(scene: Scene, ground: Ground, start: int, end: int) -> list[marks.Trace]:
    used = {run.position for run in scene.plan.runs if run.start_min < end and start < run.end_min}
    keys: list[marks.Trace] = [
        marks.key(look, f"at {escape(position)}")
        for position, look in scene.looks.items()
        if position in used
    ]
    keys += part_keys()
    keys.append(marks.band_key(MOVE_INK, "relocation"))
    if any(crew.kind is CrewKind.BREAK_OUT for crew in ground.crews.values()):
        keys.append(marks.band_key(BREAK_COLOUR, "break-out", pattern=BREAK_PATTERN))
    word = "some face open" if scene.has_water() else "a crew for it on shift"
    keys.append(marks.band_key(FILL, word))
    keys.append(marks.band_key(ON_SHIFT, "crew on shift"))
    return keys


def _dress(
    figure: go.Figure,
    scene: Scene,
    labels: list[tuple[float, str]],
    *,
    height: float,
    span: tuple[int, int],
) -> None:
    start, end = span
    marks.canvas(figure, height=height + 130, top=118, left=110)
    clock = scene.campaign.clock
    step = MINUTES_PER_HOUR * next(h for days, h in STEPS if end - start <= days * DAY_MIN)
    ticks = range(start, end + 1, step)
    words = []
    for at in ticks:
        local = clock.local(at)
        head = f"<b>{day_name(local.date())}</b><br>" if local.hour < step // 60 else ""
        words.append((float(at), f"{head}{local:%H:%M}" if step < 360 else f"{head}{local:%H}"))
    figure.update_xaxes(**marks.hour_axis(float(start), float(end), words), tickangle=0)
    for day in clock.calendar():
        at = clock.day_start(day)
        if start < at < end:
            figure.add_vline(x=at, line={"color": QUIET, "width": 2}, layer="below")
    figure.update_yaxes(
        range=[height, 0.0],
        showgrid=False,
        zeroline=False,
        tickvals=[at for at, _ in labels],
        ticktext=[text for _, text in labels],
    )
