"""A week on paper for the foreman: who does what, the water, what must be ready."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

import numpy as np

from planner.core.wording import day_name
from planner.model.water import WaterKind
from planner.reports.labels import count
from planner.reports.sheets.ground import SheetGround
from planner.reports.sheets.paper import (
    BOX,
    SHADE,
    TO,
    WIDTH_PT,
    Command,
    document,
    gap,
    grid,
    parts,
    text,
)
from planner.reports.sheets.shift_sheet import SAFETY
from planner.reports.sheets.stop_rows import stop_rows
from planner.site.duties import Duty
from planner.site.ready import ReadyRow, State

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

DAYS = 7
HEADS = ("Crew", "Shift", "Rig at position", "Zones: layer, m³", "m³", "out by", "done")
WIDTHS = (58.0, 54.0, 78.0, 0.0, 32.0, 40.0, 40.0)
READY_MAX = 40
_STEP_MIN = 5


def week_pdf(ground: SheetGround, monday: date, ready: Sequence[ReadyRow]) -> bytes:
    """Return the foreman's sheet of the week that begins on a Monday.

    Parameters
    ----------
    ready
        What must be ready for it.
    """
    last = monday + timedelta(days=DAYS - 1)
    title = f"Week of {day_name(monday)} to {day_name(last)} {last.year}"
    duties = [duty for duty in ground.duties if monday <= duty.day <= last]
    volume = math.fsum(duty.volume_m3 for duty in duties)
    story: list[Flowable] = [
        text(title, "title"),
        gap(2),
        text(
            f"{ground.campaign.name} · {count(len(duties), 'shift')}, {volume:.1f} m³ in place,"
            f" {count(sum(len(duty.relocations) for duty in duties), 'relocation')}",
            "small",
        ),
        gap(5),
        _work(ground, monday, duties),
        gap(6),
        *_materials(ground, duties),
        *_ready(ground, ready),
        gap(3),
        text(SAFETY, "small"),
    ]
    return document(story, title=title, head=title, foot=ground.campaign.name)


def _work(ground: SheetGround, monday: date, duties: Sequence[Duty]) -> Flowable:
    widths = [*WIDTHS]
    widths[3] = WIDTH_PT - sum(WIDTHS)
    rows: list[list[Any]] = [[text(words, "head") for words in HEADS]]
    commands: list[Command] = []
    for offset in range(DAYS):
        day = monday + timedelta(days=offset)
        at = len(rows)
        rows.append([_day(ground, day), *[""] * (len(HEADS) - 1)])
        commands += [("SPAN", (0, at), (-1, at)), ("BACKGROUND", (0, at), (-1, at), SHADE)]
        rows += [_duty(ground, duty) for duty in duties if duty.day == day]
    return grid(rows, widths, commands=commands)


def _day(ground: SheetGround, day: date) -> Flowable:
    turns = _turns(ground, day)
    return parts((day_name(day), True), (turns, False))


def _turns(ground: SheetGround, day: date) -> str:
    """Return high and low waters of a tide on a day, predicted."""
    if ground.campaign.water.kind not in {WaterKind.TIDE, WaterKind.HIGHLOW}:
        return ""
    source = ground.stop_finder.source(None)
    if source is None:
        return ""
    start = ground.clock.day_start(day)
    minutes = np.arange(start - _STEP_MIN, start + 24 * 60 + _STEP_MIN, _STEP_MIN, dtype=float)
    level = source.level_m(minutes)
    found = []
    for at in range(1, len(minutes) - 1):
        before, here, after = level[at - 1], level[at], level[at + 1]
        if here >= before and here > after:
            found.append(f"high {_at(ground, minutes[at])} {here:+.2f} m")
        elif here <= before and here < after:
            found.append(f"low {_at(ground, minutes[at])} {here:+.2f} m")
    return "  " + ", ".join(found) if found else ""


def _at(ground: SheetGround, minute: float) -> str:
    return f"{ground.clock.local(round(minute)):%H:%M}"


def _duty(ground: SheetGround, duty: Duty) -> list[Any]:
    clock = ground.clock
    start, end = clock.local(duty.start_min), clock.local(duty.end_min)
    rows = stop_rows(ground, duty)
    out = min((row.leave_min for row in rows), default=None)
    places = dict.fromkeys(f"{run.rig} at {run.position}" for run in duty.runs)
    return [
        text(duty.name, "strong"),
        text(f"{start:%H:%M}{TO}{end:%H:%M}"),
        text("; ".join(places)),
        text(_what(ground, duty), "small"),
        text(f"{duty.volume_m3:.1f}" if duty.spells else "", "right"),
        text("" if out is None else f"{clock.local(out):%H:%M}", "strong"),
        "",
    ]


def _what(ground: SheetGround, duty: Duty) -> str:
    clock = ground.clock
    words = [
        f"move {move.rig} {move.from_position} to {move.to_position}"
        f" {clock.local(move.start_min):%H:%M}"
        for move in duty.relocations
    ]
    words += [
        f"test panel {run.mix} {run.orientation or ''}".strip()
        for run in duty.runs
        if run.kind == "panel"
    ]
    words += [f"break out {piece.zone} {piece.volume_m3:.2f}" for piece in duty.break_outs]
    words += [
        f"{spell.zone}: {spell.layer}/{ground.layers(spell)}, {spell.volume_m3:.2f}"
        for spell in duty.spells
    ]
    words += list(dict.fromkeys(f"test: {due.short}" for due in ground.tests_due(duty)))
    return "; ".join(words)


def _materials(ground: SheetGround, duties: Sequence[Duty]) -> list[Flowable]:
    found: dict[str, float] = {}
    for duty in duties:
        for spell in duty.spells:
            mix = str(ground.runs[spell.run].mix)
            found[mix] = found.get(mix, 0.0) + ground.nozzle_m3(spell)
    if not found:
        return []
    words = ", ".join(f"{mix} {volume:.1f} m³" for mix, volume in sorted(found.items()))
    return [parts(("Through the nozzle:", True), (f"{words}.", False)), gap(4)]


def _ready(ground: SheetGround, ready: Sequence[ReadyRow]) -> list[Flowable]:
    open_rows = [row for row in ready if row.state in {State.SHOWN, State.NOT}]
    if not open_rows:
        return []
    rows: list[list[Any]] = [
        [text(words, "head") for words in ("", "Must be ready", "by", "how it stands")]
    ]
    rows += [
        [
            text(BOX),
            text(row.item, "strong"),
            text(f"{day_name(ground.clock.day(row.needed_min))}"),
            text(f"{row.state.value}: {row.why}", "small"),
        ]
        for row in open_rows[:READY_MAX]
    ]
    more = len(open_rows) - READY_MAX
    found: list[Flowable] = [grid(rows, [14.0, 150.0, 50.0, WIDTH_PT - 214.0], pad=1.2)]
    if more > 0:
        found.append(text(f"{more} more: ebbwork lookahead --ready lists them.", "small"))
    return found
