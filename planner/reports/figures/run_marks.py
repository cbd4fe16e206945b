"""The marks of a run, the same on every chart: start-up, change, spell, clean-up, waiting."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from html import escape

import plotly.graph_objects as go

from planner.core.wording import time_range
from planner.explain.cause import CauseKind, Piece
from planner.plan.plan import Run, Spell
from planner.reports.figures import marks
from planner.reports.figures.marks import Block
from planner.reports.labels import OUTLINE, Look
from planner.reports.scene import Scene
from planner.reports.wording import spell_hover

LETTER_PX = 6.6
"""Room that a letter takes, to leave out words that do not fit."""
MOVE_INK = "#6F6F6F"
SPELL_OF = "spell of "
"""Begins the meta of a trace of spells; the run follows, so that a click finds the spell."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PartLook:
    """How one part of a run is drawn: pattern, strength of the hue, short name."""

    pattern: str
    opacity: float
    word: str


PARTS = {
    CauseKind.START_UP: PartLook(pattern="/", opacity=0.30, word="start"),
    CauseKind.CHANGE: PartLook(pattern=".", opacity=0.12, word=""),
    CauseKind.CLEAN_UP: PartLook(pattern="\\", opacity=0.30, word="clean"),
    CauseKind.SPARE: PartLook(pattern="", opacity=0.0, word="wait"),
    CauseKind.PANEL_RUN: PartLook(pattern="x", opacity=0.45, word="panel"),
}


def part_traces(
    scene: Scene, run: Run, parts: Iterable[Piece], *, zero: float, y0: float, y1: float, px: float
) -> list[marks.Trace]:
    """Return a run as blocks between two heights.

    Parameters
    ----------
    zero
        Minute that stands at 0 of the axis [min].
    px
        Room that a minute has, to choose words that fit [px].
    """
    look = scene.looks[run.position]
    spells = scene.spells_of[run.run]
    traces: list[marks.Trace] = []
    pieces = list(parts)
    words: list[tuple[float, float, str]] = []
    for kind, part in PARTS.items():
        found = [
            Block(
                x0=piece.start_min - zero,
                x1=piece.end_min - zero,
                y0=y0,
                y1=y1,
                hover=_hover(scene, run, piece),
            )
            for piece in pieces
            if piece.kind is kind
        ]
        if found:
            bar = marks.blocks(
                found, colour=look.tint(part.opacity), pattern=part.pattern, meta=str(kind)
            )
            traces.append(_grey_pattern(bar))
            words += [
                (block.x0, (y0 + y1) / 2, f" {part.word}")
                for block in found
                if _fits(part.word, (block.x1 - block.x0) * px)
            ]
    blocks = [spell_block(scene, spell, zero=zero, y0=y0, y1=y1, px=px) for spell in spells]
    traces.append(
        marks.blocks(
            blocks,
            colour=look.colour,
            pattern=look.pattern,
            ink=look.ink,
            meta=f"{SPELL_OF}{run.run}",
        )
    )
    if words:
        traces.append(marks.words(words, anchor="middle right"))
    return traces


def _grey_pattern(bar: go.Bar) -> go.Bar:
    """Give a pale block a pattern that is seen on a white page and on a dark one."""
    bar.marker.pattern.fgcolor = OUTLINE
    bar.marker.pattern.fgopacity = 0.95
    bar.marker.pattern.solidity = 0.28
    return bar


def _fits(word: str, room_px: float) -> bool:
    return bool(word) and len(word) * LETTER_PX + 4 <= room_px


def _hover(scene: Scene, run: Run, piece: Piece) -> str:
    when = time_range(scene.campaign.clock, piece.start_min, piece.end_min)
    return (
        f"{escape(piece.text)}<br>{when} · {piece.minutes} min"
        f"<br>run {run.run} · {escape(run.crew)} at {escape(run.position)}"
    )


def spell_block(
    scene: Scene, spell: Spell, *, zero: float, y0: float, y1: float, px: float
) -> Block:
    """Return a spell as a block with as much of its name as fits."""
    minutes = spell.end_min - spell.start_min
    name = escape(scene.short(spell.zone))
    full = f"{name} · {spell.layer}"
    room = minutes * px - 6
    text = full if len(full) * LETTER_PX <= room else name if len(name) * LETTER_PX <= room else ""
    return Block(
        x0=spell.start_min - zero,
        x1=spell.end_min - zero,
        y0=y0,
        y1=y1,
        text=text,
        hover=spell_hover(scene.campaign.clock, spell),
    )


def part_keys() -> list[marks.Trace]:
    """Return entries for the legend that tell the parts of a run apart, in grey."""
    grey = Look(colour="#888888", pattern="", ink="#000000")
    keys: list[marks.Trace] = []
    for kind, part in PARTS.items():
        if kind is CauseKind.PANEL_RUN:
            continue
        name = "waiting in a run" if kind is CauseKind.SPARE else str(kind)
        colour = grey.tint(max(part.opacity, 0.05))
        keys.append(_grey_pattern(marks.band_key(colour, name, pattern=part.pattern)))
    return keys


def lost_traces(
    scene: Scene, lost: Iterable[Piece], *, zero: float, y0: float, y1: float, px: float
) -> list[marks.Trace]:
    """Return lost time as blocks, named by their causes where there is room."""
    blocks: list[Block] = []
    names: list[tuple[float, float, str]] = []
    for piece in lost:
        x0, x1 = piece.start_min - zero, piece.end_min - zero
        when = time_range(scene.campaign.clock, piece.start_min, piece.end_min)
        hover = f"{escape(piece.text)}<br>{when} · {piece.minutes} min lost"
        blocks.append(Block(x0=x0, x1=x1, y0=y0, y1=y1, hover=hover))
        word = f" {piece.kind} {piece.minutes}"
        if len(word) * LETTER_PX <= piece.minutes * px:
            names.append((x0, (y0 + y1) / 2, word))
    grey = "rgba(136,136,136,0.10)"
    return [
        marks.blocks(blocks, colour=grey, outline=OUTLINE, meta="lost"),
        marks.words(names, anchor="middle right", size=10),
    ]


__all__ = ["LETTER_PX", "MOVE_INK", "lost_traces", "part_keys", "part_traces", "spell_block"]
