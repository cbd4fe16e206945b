"""A4 paper: styles, tables, and the document with its running head and foot.

Everything is black and grey, so that it survives a copier; text wraps and tables go on over the
page's end, so that nothing is cut off.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache
from html import escape
from io import BytesIO
from typing import TYPE_CHECKING, Any

from planner.reports.pdf_fonts import printable, register_fonts

if TYPE_CHECKING:
    from reportlab.lib.styles import ParagraphStyle
    from reportlab.pdfgen.canvas import Canvas
    from reportlab.platypus import Flowable, Table
    from reportlab.platypus.doctemplate import BaseDocTemplate

A4_PT = (595.28, 841.89)
MARGIN_PT, FOOT_PT = 30.0, 34.0
WIDTH_PT = A4_PT[0] - 2 * MARGIN_PT
INK, GREY, RULE, SHADE = "#000000", "#444444", "#777777", "#E6E6E6"
_ELLIPSIS = "…"
TO = "\u2013"
"""Stands between the ends of a range."""
BOX = "☐"

Command = tuple[Any, ...]


@cache
def styles() -> dict[str, ParagraphStyle]:
    """Return the styles of paragraphs by name."""
    from reportlab.lib.enums import TA_CENTER, TA_RIGHT  # noqa: PLC0415 - slow to import
    from reportlab.lib.styles import ParagraphStyle  # noqa: PLC0415 - slow to import

    regular, bold = register_fonts()

    def style(name: str, size: float, *, font: str = regular, align: int = 0) -> ParagraphStyle:
        return ParagraphStyle(
            name,
            fontName=font,
            fontSize=size,
            leading=size * 1.2,
            textColor=INK,
            alignment=align,
            splitLongWords=1,
        )

    return {
        "body": style("body", 8.0),
        "right": style("right", 8.0, align=TA_RIGHT),
        "small": style("small", 6.8),
        "tiny": style("tiny", 6.2),
        "strong": style("strong", 8.0, font=bold),
        "strong right": style("strong right", 8.0, font=bold, align=TA_RIGHT),
        "head": style("head", 7.0, font=bold),
        "section": style("section", 9.0, font=bold),
        "title": style("title", 17.0, font=bold),
        "title right": style("title right", 13.0, font=bold, align=TA_RIGHT),
        "stop": style("stop", 17.0, font=bold, align=TA_CENTER),
        "stop tight": style("stop tight", 13.5, font=bold, align=TA_CENTER),
        "stop name": style("stop name", 7.0, font=bold, align=TA_CENTER),
        "centre": style("centre", 7.0, align=TA_CENTER),
        "big": style("big", 12.0, font=bold),
    }


def text(words: str, style: str = "body") -> Flowable:
    """Return words as a paragraph; nothing in them is read as mark-up."""
    from reportlab.platypus import Paragraph  # noqa: PLC0415 - slow to import

    return Paragraph(escape(printable(words)), styles()[style])


def parts(*pieces: tuple[str, bool], style: str = "body") -> Flowable:
    """Return a paragraph of plain and bold pieces."""
    from reportlab.platypus import Paragraph  # noqa: PLC0415 - slow to import

    _, bold = register_fonts()
    marked = [
        f'<font name="{bold}">{escape(printable(words))}</font>'
        if strong
        else escape(printable(words))
        for words, strong in pieces
        if printable(words)
    ]
    return Paragraph(" ".join(marked), styles()[style])


def gap(points: float) -> Flowable:
    """Return empty room."""
    from reportlab.platypus import Spacer  # noqa: PLC0415 - slow to import

    return Spacer(1, points)


def new_page() -> Flowable:
    """Return the end of a page."""
    from reportlab.platypus import PageBreak  # noqa: PLC0415 - slow to import

    return PageBreak()


def together(*pieces: Flowable) -> Flowable:
    """Return pieces that stay on one page where they can."""
    from reportlab.platypus import KeepTogether  # noqa: PLC0415 - slow to import

    return KeepTogether(list(pieces))


def grid(
    rows: Sequence[Sequence[Any]],
    widths: Sequence[float],
    *,
    head: int = 1,
    commands: Sequence[Command] = (),
    least_pt: float = 0.0,
    pad: float = 2.0,
    lines: bool = True,
) -> Table:
    """Return a table whose first ``head`` rows stand on every page.

    Parameters
    ----------
    least_pt
        Least height of the rows below the head, as blanks to write in need [pt].
    """
    from reportlab.platypus import Spacer, Table, TableStyle  # noqa: PLC0415 - slow to import

    cells = [list(row) for row in rows]
    if least_pt:
        for row in cells[head:]:
            row[0] = [row[0], Spacer(0, 0)] if isinstance(row[0], list) else row[0]
    made = Table(
        cells, colWidths=list(widths), repeatRows=head, hAlign="LEFT", splitByRow=1, splitInRow=1
    )
    style: list[Command] = [
        ("VALIGN", (0, 0), (-1, -1), "MIDDLE"),
        ("TOPPADDING", (0, 0), (-1, -1), pad),
        ("BOTTOMPADDING", (0, 0), (-1, -1), pad),
        ("LEFTPADDING", (0, 0), (-1, -1), 3),
        ("RIGHTPADDING", (0, 0), (-1, -1), 3),
    ]
    if lines:
        style.append(("GRID", (0, 0), (-1, -1), 0.4, RULE))
    if head:
        style.append(("BACKGROUND", (0, 0), (-1, head - 1), SHADE))
    if least_pt:
        extra = max(0.0, (least_pt - 9.6) / 2.0)
        style += [
            ("TOPPADDING", (0, head), (-1, -1), max(pad, extra)),
            ("BOTTOMPADDING", (0, head), (-1, -1), max(pad, extra)),
        ]
    made.setStyle(TableStyle([*style, *commands]))
    return made


def side_by_side(
    left: Flowable | list[Flowable],
    right: Flowable | list[Flowable],
    widths: tuple[float, float],
) -> Table:
    """Return two pieces beside each other, their tops level."""
    from reportlab.platypus import Table, TableStyle  # noqa: PLC0415 - slow to import

    made = Table([[left, right]], colWidths=list(widths), hAlign="LEFT")
    made.setStyle(
        TableStyle(
            [
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("LEFTPADDING", (0, 0), (-1, -1), 0),
                ("RIGHTPADDING", (0, 0), (-1, -1), 0),
                ("TOPPADDING", (0, 0), (-1, -1), 0),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 0),
            ]
        )
    )
    return made


def document(story: Sequence[Flowable], *, title: str, head: str, foot: str) -> bytes:
    """Return a PDF on A4; the same story gives the same bytes (:func:`printed`)."""
    return printed(story, title=title, head=head, foot=foot)[0]


def printed(story: Sequence[Flowable], *, title: str, head: str, foot: str) -> tuple[bytes, int]:
    """Return a PDF on A4 and its number of pages; the same story gives the same bytes.

    Parameters
    ----------
    head
        Words at the top of every page after the first.
    foot
        Words at the foot of every page, beside its number.
    """
    from reportlab.platypus import SimpleDocTemplate  # noqa: PLC0415 - slow to import

    buffer = BytesIO()
    made = SimpleDocTemplate(
        buffer,
        pagesize=A4_PT,
        title=printable(title),
        author="Ebbwork",
        leftMargin=MARGIN_PT - 6,  # the frame has 6 pt of its own
        rightMargin=MARGIN_PT - 6,
        topMargin=MARGIN_PT - 6,
        bottomMargin=FOOT_PT,
        invariant=1,
    )
    made.build(
        list(story),
        onFirstPage=_furniture("", foot),
        onLaterPages=_furniture(head, foot),
    )
    return buffer.getvalue(), made.page


def _furniture(head: str, foot: str) -> Callable[[Canvas, BaseDocTemplate], None]:
    regular, bold = register_fonts()

    def draw(canvas: Canvas, page: BaseDocTemplate) -> None:
        width, height = page.pagesize
        room = width - 2 * MARGIN_PT
        canvas.saveState()
        canvas.setFillColor(INK)
        canvas.setStrokeColor(RULE)
        if head:
            canvas.setFont(bold, 8)
            canvas.drawString(MARGIN_PT, height - 20, fitted(f"{head} (continued)", bold, 8, room))
        canvas.line(MARGIN_PT, FOOT_PT - 6, width - MARGIN_PT, FOOT_PT - 6)
        canvas.setFont(regular, 6.5)
        canvas.drawString(MARGIN_PT, FOOT_PT - 15, fitted(foot, regular, 6.5, room - 50))
        canvas.drawRightString(width - MARGIN_PT, FOOT_PT - 15, f"page {canvas.getPageNumber()}")
        canvas.restoreState()

    return draw


def fitted(words: str, font: str, size: float, room_pt: float) -> str:
    """Return words cut with an ellipsis where they are wider than the room."""
    from reportlab.pdfbase.pdfmetrics import stringWidth  # noqa: PLC0415 - slow to import

    shown = printable(words)
    if stringWidth(shown, font, size) <= room_pt:
        return shown
    while shown and stringWidth(shown + _ELLIPSIS, font, size) > room_pt:
        shown = shown[:-1]
    return shown + _ELLIPSIS
