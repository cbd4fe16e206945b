"""Stagings side by side as a PDF: verdict, money, table, break-even."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from planner.estimate.staging import Staging
from planner.reports.comparison import BUNDLE_COLOURS, BUNDLES, verdict
from planner.reports.labels import PALETTE, money
from planner.reports.pdf_bars import Bar, Part, bars, key
from planner.reports.pdf_fonts import printable, register_fonts
from planner.reports.pdf_page import INK, QUIET_INK, RULE, document, paragraph, styles, table
from planner.reports.sentences import SAFETY

if TYPE_CHECKING:
    from reportlab.graphics.shapes import Drawing, String
    from reportlab.platypus import Flowable

Place = Callable[[Staging], tuple[float, float]]
NAME_PT = 150.0
WIDTH_PT = 745.0
CURVE_PT = (360.0, 150.0)
TABLE_WIDTHS = (150.0, 48.0, 78.0, 76.0, 62.0, 62.0, 62.0, 55.0, 55.0, 50.0, 46.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class CurvePicture:
    """A curve with its words: title, unit, both stagings' points, the sentence beneath."""

    title: str
    unit: str
    one: Sequence[Staging]
    other: Sequence[Staging]
    words: str


def comparison_pdf(
    name: str, found: Sequence[Staging], curves: Sequence[CurvePicture], *, version: str
) -> bytes:
    """Return the PDF's bytes; the same stagings give the same."""
    look = styles()
    story: list[Any] = [
        paragraph("Stagings side by side", look["small"]),
        paragraph(name, look["title"]),
        *(_side_by_side(found, look) if found else ()),
    ]
    for curve in curves:
        story += [
            paragraph(curve.title, look["heading"]),
            _curve(curve),
            paragraph(curve.words, look["body"]),
        ]
    if curves:
        ring = "A ring marks a plan that leaves zones out: its m³ are another job's."
        story.append(paragraph(ring, look["small"]))
    story.append(paragraph(SAFETY, look["small"]))
    return document(
        story, title=f"Stagings: {name}", footer=f"{name} · Ebbwork {version}", landscape=True
    )


def _side_by_side(found: Sequence[Staging], look: dict[str, Any]) -> list[Any]:
    return [
        *(paragraph(sentence, look["body"]) for sentence in verdict(found)),
        paragraph("Where the money goes", look["heading"]),
        _money(found),
        key(list(BUNDLE_COLOURS.items()), width_pt=WIDTH_PT, name_pt=NAME_PT),
        paragraph("Figures", look["heading"]),
        _table(found, look),
        paragraph(
            "Gap: how far the cost may be from the best possible plan of that volume, as far as "
            "is proven, with the goals before it kept. Close races need a longer search.",
            look["small"],
        ),
    ]


def _money(found: Sequence[Staging]) -> Drawing:
    rows = [
        Bar(
            name=staging.name,
            parts=tuple(
                Part(
                    size=sum(staging.money.get(group, 0.0) for group in groups),
                    colour=BUNDLE_COLOURS[bundle],
                    label=bundle,
                )
                for bundle, groups in BUNDLES.items()
            ),
            value=money(staging.total),
        )
        for staging in found
    ]
    return bars(rows, width_pt=WIDTH_PT - 20, name_pt=NAME_PT)


def _table(found: Sequence[Staging], look: dict[str, Any]) -> Flowable:
    head = ("Staging", "m³", "Finish", "Estimate", "per m³", "Cost gap", "Relocations")
    more = ("Windows", "Rebound m³", "Shifts", "Days")
    first, *others = (*head, *more)
    heads = [paragraph(text, look["strong right"]) for text in others]
    rows: list[list[Any]] = [[paragraph(first, look["strong"]), *heads]]
    for staging in found:
        gap = staging.gap.get("cost")
        cells = (
            f"{staging.planned_m3:.1f}",
            staging.finish[:10],
            money(staging.total),
            "" if staging.total_m3 is None else money(staging.total_m3),
            "" if gap is None else f"{100 * gap:.0f} %",
            str(staging.relocations),
            str(staging.windows_used),
            f"{staging.rebound_m3:.1f}",
            str(staging.crew_shifts),
            str(staging.site_days),
        )
        left = (
            f"{staging.name} ({staging.left_out} left out)" if staging.left_out else staging.name
        )
        right = (paragraph(text, look["right"]) for text in cells)
        rows.append([paragraph(left, look["body"]), *right])
    return table(rows, TABLE_WIDTHS)


def _curve(curve: CurvePicture) -> Drawing:
    """Return both estimates per m³ over the scale; a ring where not everything is planned."""
    from reportlab.graphics.shapes import Drawing, Line, PolyLine  # noqa: PLC0415
    from reportlab.lib.colors import HexColor  # noqa: PLC0415 - slow to import

    width, height = CURVE_PT
    drawing = Drawing(WIDTH_PT, height + 34)
    points = [staging for staging in (*curve.one, *curve.other) if staging.total_m3]
    if not points:
        return drawing
    left, low = 60.0, 26.0
    most_x = max(staging.at for staging in points) or 1.0
    most_y = _round_up(max(staging.total_m3 or 0.0 for staging in points))

    def place(staging: Staging) -> tuple[float, float]:
        share = (staging.total_m3 or 0.0) / most_y
        return left + width * staging.at / most_x, low + height * share

    drawing.add(Line(left, low, left + width, low, strokeColor=HexColor(INK)))
    for share in (0.5, 1.0):
        y = low + height * share
        drawing.add(Line(left, y, left + width, y, strokeColor=HexColor(RULE), strokeWidth=0.4))
        drawing.add(_label(money(most_y * share), (left - 4, y - 3), anchor="end"))
    for staging in curve.one:
        x, _ = place(staging)
        drawing.add(_label(f"{staging.at:g}", (x, low - 11), anchor="middle"))
    drawing.add(_label(curve.unit, (left + width + 8, low - 11), anchor="start"))
    looks = ((curve.one, PALETTE["vermilion"], None), (curve.other, PALETTE["blue"], [5, 3]))
    for stagings, colour, dash in looks:
        whole = [staging for staging in stagings if staging.total_m3]
        flat = [number for staging in whole for number in place(staging)]
        drawing.add(
            PolyLine(flat, strokeColor=HexColor(colour), strokeWidth=1.6, strokeDashArray=dash)
        )
        _marks(drawing, whole, place, colour)
        x, y = place(whole[-1])
        drawing.add(_label(whole[-1].name, (x + 8, y - 3), anchor="start", colour=colour))
    return drawing


def _round_up(value: float) -> float:
    """Return the next number of two digits and zeros, for the top of an axis."""
    step = 10.0 ** (math.floor(math.log10(value)) - 1) * 2.0
    return math.ceil(value / step) * step


def _marks(drawing: Drawing, found: Sequence[Staging], place: Place, colour: str) -> None:
    from reportlab.graphics.shapes import Circle  # noqa: PLC0415 - slow to import
    from reportlab.lib.colors import HexColor, white  # noqa: PLC0415 - slow to import

    for staging in found:
        x, y = place(staging)
        fill = white if staging.left_out else HexColor(colour)
        drawing.add(Circle(x, y, 2.6, fillColor=fill, strokeColor=HexColor(colour)))


def _label(text: str, at: tuple[float, float], *, anchor: str, colour: str = QUIET_INK) -> String:
    from reportlab.graphics.shapes import String  # noqa: PLC0415 - slow to import
    from reportlab.lib.colors import HexColor  # noqa: PLC0415 - slow to import

    regular, _ = register_fonts()
    look = {"fontName": regular, "fontSize": 7.5, "fillColor": HexColor(colour)}
    return String(*at, printable(text), textAnchor=anchor, **look)
