"""Bars of PDF reports: one row a name, parts in colour with their names, value at the end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.reports.labels import ink_on
from planner.reports.pdf_fonts import printable, register_fonts
from planner.reports.pdf_page import INK, QUIET_INK, SMALL_PT

if TYPE_CHECKING:
    from reportlab.graphics.shapes import Drawing, String
    from reportlab.lib.colors import Color

ROW_PT, BAR_PT = 20.0, 13.0
NAME_PT, VALUE_PT = 92.0, 62.0
LEAST_LABEL_PT = 26.0
"""A part narrower than this bears no words of its own."""
LETTER_PT = 4.3
"""Width of a letter of small print, roughly; a part too narrow for its words bears none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One part of a bar: its size, its colour, and the words upon it."""

    size: float
    colour: str
    label: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """One row: a name, its parts in order, and the words at the end."""

    name: str
    parts: tuple[Part, ...]
    value: str


def bars(rows: Sequence[Bar], *, width_pt: float, name_pt: float = NAME_PT) -> Drawing:
    """Return a drawing of bars on one scale; names take ``name_pt`` at the left [pt]."""
    drawing = _drawing(width_pt, ROW_PT * len(rows))
    most = max((sum(part.size for part in row.parts) for row in rows), default=0.0)
    scale = (width_pt - name_pt - VALUE_PT) / most if most > 0.0 else 0.0
    for number, row in enumerate(rows):
        y = ROW_PT * (len(rows) - 1 - number) + 3.0
        _row(drawing, row, y=y, scale=scale, x=name_pt)
    return drawing


def _row(drawing: Drawing, row: Bar, *, x: float, y: float, scale: float) -> None:
    regular, bold = register_fonts()
    middle = y + BAR_PT / 2 - SMALL_PT / 3
    drawing.add(_text(row.name, 0, middle, regular, INK, size=8))
    for part in row.parts:
        width = part.size * scale
        _block(drawing, x, y, (width, BAR_PT), part.colour)
        if part.label and width >= max(LEAST_LABEL_PT, LETTER_PT * len(part.label) + 6.0):
            ink = ink_on(part.colour)
            drawing.add(_text(part.label, x + 3, middle, regular, ink, size=SMALL_PT))
        x += width
    drawing.add(_text(row.value, x + 4, middle, bold, INK, size=8))


def _drawing(width_pt: float, height_pt: float) -> Drawing:
    from reportlab.graphics.shapes import Drawing  # noqa: PLC0415 - slow to import

    return Drawing(width_pt, height_pt)


def _text(text: str, x: float, y: float, font: str, colour: str, *, size: float) -> String:
    from reportlab.graphics.shapes import String  # noqa: PLC0415 - slow to import

    return String(x, y, printable(text), fontName=font, fontSize=size, fillColor=_hex(colour))


def _block(drawing: Drawing, x: float, y: float, size: tuple[float, float], colour: str) -> None:
    from reportlab.graphics.shapes import Rect  # noqa: PLC0415 - slow to import

    drawing.add(Rect(x, y, *size, fillColor=_hex(colour), strokeColor=None, strokeWidth=0))


def _hex(colour: str) -> Color:
    from reportlab.lib.colors import HexColor  # noqa: PLC0415 - slow to import

    return HexColor(colour)


def key(parts: Sequence[tuple[str, str]], *, width_pt: float, name_pt: float = NAME_PT) -> Drawing:
    """Return a line of colours with their names."""
    regular, _ = register_fonts()
    drawing = _drawing(width_pt, 12)
    x = name_pt
    for name, colour in parts:
        _block(drawing, x, 2, (8, 8), colour)
        drawing.add(_text(name, x + 11, 3, regular, QUIET_INK, size=SMALL_PT))
        x += 22 + 4.2 * len(name)
    return drawing
