"""The page of PDF reports that clients read: styles, footer, tables."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from html import escape
from io import BytesIO
from typing import TYPE_CHECKING, Any

from planner.reports.pdf_fonts import printable, register_fonts

if TYPE_CHECKING:
    from reportlab.lib.styles import ParagraphStyle
    from reportlab.pdfgen.canvas import Canvas
    from reportlab.platypus import Flowable
    from reportlab.platypus.doctemplate import BaseDocTemplate

INK = "#1F2933"
QUIET_INK = "#5A6672"
RULE = "#B8C2CC"
SHADE = "#E8EEF4"
MARGIN_PT = 48
BODY_PT, SMALL_PT = 9, 7


def styles() -> dict[str, ParagraphStyle]:
    """Return the paragraph styles: ``title``, ``heading``, ``body``, ``small``, ``right``."""
    from reportlab.lib.enums import TA_RIGHT  # noqa: PLC0415 - slow to import
    from reportlab.lib.styles import ParagraphStyle  # noqa: PLC0415 - slow to import

    regular, bold = register_fonts()
    body = ParagraphStyle("body", fontName=regular, fontSize=BODY_PT, leading=12, textColor=INK)
    return {
        "body": body,
        "title": ParagraphStyle("title", body, fontName=bold, fontSize=18, leading=23),
        "heading": ParagraphStyle(
            "heading", body, fontName=bold, fontSize=11.5, leading=15, spaceBefore=12, spaceAfter=4
        ),
        "small": ParagraphStyle(
            "small", body, fontSize=SMALL_PT, leading=8.6, textColor=QUIET_INK
        ),
        "right": ParagraphStyle("right", body, alignment=TA_RIGHT),
        "big": ParagraphStyle("big", body, fontName=bold, fontSize=15, leading=19),
        "strong": ParagraphStyle("strong", body, fontName=bold),
        "strong right": ParagraphStyle("strong right", body, fontName=bold, alignment=TA_RIGHT),
    }


def paragraph(text: str, style: ParagraphStyle) -> Flowable:
    """Return a text as a paragraph; nothing in it is read as mark-up."""
    from reportlab.platypus import Paragraph  # noqa: PLC0415 - slow to import

    return Paragraph(escape(printable(text)), style)


def with_source(text: str, source: str, look: dict[str, ParagraphStyle]) -> list[Flowable]:
    """Return a text with a small line beneath it that says where it comes from."""
    return [paragraph(text, look["body"]), paragraph(source, look["small"])]


def table(
    rows: Sequence[Sequence[Any]], widths: Sequence[float], *, strong: Sequence[int] = ()
) -> Flowable:
    """Return a table whose first row is its heading on every page; ``strong`` rows are shaded."""
    from reportlab.platypus import Table, TableStyle  # noqa: PLC0415 - slow to import

    made = Table(list(rows), colWidths=list(widths), repeatRows=1, hAlign="LEFT")
    commands: list[tuple[Any, ...]] = [
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LINEBELOW", (0, 0), (-1, 0), 0.8, INK),
        ("LINEBELOW", (0, 1), (-1, -1), 0.25, RULE),
        ("TOPPADDING", (0, 0), (-1, -1), 2.5),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 2.5),
        ("LEFTPADDING", (0, 0), (-1, -1), 3),
        ("RIGHTPADDING", (0, 0), (-1, -1), 3),
    ]
    commands += [("BACKGROUND", (0, at), (-1, at), SHADE) for at in strong]
    made.setStyle(TableStyle(commands))
    return made


def document(
    story: Sequence[Flowable], *, title: str, footer: str, landscape: bool = False
) -> bytes:
    """Return a PDF on A4 with a footer and page numbers; the same story gives the same bytes."""
    from reportlab.lib.pagesizes import A4  # noqa: PLC0415 - slow to import
    from reportlab.platypus import SimpleDocTemplate  # noqa: PLC0415 - slow to import

    buffer = BytesIO()
    size = (A4[1], A4[0]) if landscape else A4
    made = SimpleDocTemplate(
        buffer,
        pagesize=size,
        title=printable(title),
        author="Ebbwork",
        leftMargin=MARGIN_PT,
        rightMargin=MARGIN_PT,
        topMargin=MARGIN_PT,
        bottomMargin=MARGIN_PT + 6,
        invariant=1,
    )
    draw = _footer(footer)
    made.build(list(story), onFirstPage=draw, onLaterPages=draw)
    return buffer.getvalue()


def _footer(text: str) -> Callable[[Canvas, BaseDocTemplate], None]:
    regular, _ = register_fonts()

    def draw(canvas: Canvas, page: BaseDocTemplate) -> None:
        canvas.saveState()
        canvas.setFont(regular, SMALL_PT)
        canvas.setFillColor(QUIET_INK)
        canvas.setStrokeColor(RULE)
        width = page.pagesize[0]
        canvas.line(MARGIN_PT, MARGIN_PT - 6, width - MARGIN_PT, MARGIN_PT - 6)
        canvas.drawString(MARGIN_PT, MARGIN_PT - 17, printable(text))
        canvas.drawRightString(width - MARGIN_PT, MARGIN_PT - 17, f"page {canvas.getPageNumber()}")
        canvas.restoreState()

    return draw
