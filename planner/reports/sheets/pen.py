"""Lines, boxes and words of drawings on paper, in black and grey."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from planner.reports.pdf_fonts import printable, register_fonts

if TYPE_CHECKING:
    from reportlab.graphics.shapes import Drawing

Point = tuple[float, float]


class Pen:
    """Draws on one drawing of a size in points.

    Parameters
    ----------
    width, height
        Size [pt].
    """

    def __init__(self, width: float, height: float) -> None:
        from reportlab.graphics.shapes import Drawing  # noqa: PLC0415 - slow to import

        self.drawing: Drawing = Drawing(width, height)
        self.width, self.height = width, height

    def line(
        self,
        start: Point,
        end: Point,
        *,
        width: float = 0.6,
        colour: str = "#000000",
        dash: Sequence[float] | None = None,
    ) -> None:
        """Draw a line."""
        from reportlab.graphics.shapes import Line  # noqa: PLC0415 - slow to import
        from reportlab.lib.colors import HexColor  # noqa: PLC0415 - slow to import

        made = Line(*start, *end, strokeColor=HexColor(colour), strokeWidth=width)
        if dash:
            made.strokeDashArray = list(dash)
        self.drawing.add(made)

    def path(
        self,
        points: Sequence[Point],
        *,
        width: float = 1.0,
        colour: str = "#000000",
        dash: Sequence[float] | None = None,
    ) -> None:
        """Draw a line through points."""
        for start, end in pairwise(points):
            self.line(start, end, width=width, colour=colour, dash=dash)

    def box(
        self,
        corner: Point,
        size: tuple[float, float],
        *,
        fill: str | None = None,
        stroke: str | None = "#000000",
        width: float = 0.5,
    ) -> None:
        """Draw a rectangle by its lower left corner and its size."""
        from reportlab.graphics.shapes import Rect  # noqa: PLC0415 - slow to import
        from reportlab.lib.colors import HexColor  # noqa: PLC0415 - slow to import

        self.drawing.add(
            Rect(
                *corner,
                *size,
                fillColor=None if fill is None else HexColor(fill),
                strokeColor=None if stroke is None else HexColor(stroke),
                strokeWidth=width if stroke else 0,
            )
        )

    def dot(self, at: Point, radius: float, *, fill: str = "#000000") -> None:
        """Draw a filled circle with a black edge."""
        from reportlab.graphics.shapes import Circle  # noqa: PLC0415 - slow to import
        from reportlab.lib.colors import HexColor  # noqa: PLC0415 - slow to import

        self.drawing.add(
            Circle(
                *at,
                radius,
                fillColor=HexColor(fill),
                strokeColor=HexColor("#000000"),
                strokeWidth=0.8,
            )
        )

    def words(
        self,
        text: str,
        at: Point,
        *,
        size: float = 6.5,
        bold: bool = False,
        anchor: str = "start",
        ground: bool = False,
    ) -> None:
        """Write words; with ``ground`` on a white patch, so that lines do not cross them."""
        from reportlab.graphics.shapes import String  # noqa: PLC0415 - slow to import
        from reportlab.lib.colors import HexColor  # noqa: PLC0415 - slow to import

        regular, strong = register_fonts()
        font = strong if bold else regular
        shown = printable(text)
        x, y = at
        if ground:
            width = text_width(shown, size=size, bold=bold)
            left = {"start": x, "middle": x - width / 2, "end": x - width}[anchor]
            self.box(
                (left - 1, y - 0.25 * size), (width + 2, 1.15 * size), fill="#FFFFFF", stroke=None
            )
        made = String(x, y, shown, fontName=font, fontSize=size, fillColor=HexColor("#000000"))
        made.textAnchor = anchor
        self.drawing.add(made)


def text_width(words: str, *, size: float, bold: bool = False) -> float:
    """Return how wide words are [pt]."""
    from reportlab.pdfbase.pdfmetrics import stringWidth  # noqa: PLC0415 - slow to import

    regular, strong = register_fonts()
    return float(stringWidth(printable(words), strong if bold else regular, size))
