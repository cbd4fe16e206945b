"""An estimate as a PDF that a client can read: sums first, then every line with its sources."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from planner.estimate.line import CrewTime, Estimate
from planner.model.campaign import Campaign
from planner.plan import measures
from planner.plan.plan import Plan
from planner.reports.estimate_rows import ITEM_COLOURS, ITEM_NAMES, BillRow, bill_rows, notes
from planner.reports.labels import count, money
from planner.reports.pdf_bars import Bar, Part, bars, key
from planner.reports.pdf_page import document, paragraph, styles, table, with_source
from planner.reports.sentences import SAFETY
from planner.reports.wording import moment

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

WIDTH_PT = 499.0
WORK, SHUT, OPEN = "#009E73", "#56B4E9", "#E69F00"
LINE_WIDTHS = (28.0, 166.0, 62.0, 54.0, 54.0, 56.0, 79.0)
BILL_WIDTHS = (26.0, 145.0, 64.0, 60.0, 72.0, 72.0, 60.0)


def estimate_pdf(campaign: Campaign, plan: Plan, priced: Estimate, *, version: str) -> bytes:
    """Return the PDF's bytes; the same estimate gives the same."""
    from reportlab.platypus import PageBreak, Spacer  # noqa: PLC0415 - slow to import

    look = styles()
    rows = list(bill_rows(priced))
    story: list[Any] = [
        paragraph("Estimate", look["small"]),
        paragraph(campaign.name, look["title"]),
        paragraph(_scope(campaign, plan, priced), look["body"]),
        Spacer(0, 8),
        _figures(priced, look),
        paragraph("Where the money goes", look["heading"]),
        _money_bars(priced),
        paragraph("The bill", look["heading"]),
        _bill(priced, rows, look),
        paragraph("What paid crew-hours go into", look["heading"]),
        *_hours(priced.crew_time),
        paragraph("To be read with it", look["heading"]),
        *(paragraph(f"•  {text}", look["body"]) for text in notes(campaign, plan, priced)),
        paragraph(f"•  {SAFETY}", look["body"]),
        PageBreak(),
        paragraph("Every line, and where it comes from", look["heading"]),
        _lines(rows, look),
    ]
    footer = f"{campaign.name} · scenario {campaign.fingerprint[:12]} · Ebbwork {version}"
    return document(story, title=f"Estimate: {campaign.name}", footer=footer)


def _scope(campaign: Campaign, plan: Plan, priced: Estimate) -> str:
    zones = len({spell.zone for spell in plan.spells})
    finish = measures.finish_min(plan)
    if finish is None:
        return "Nothing is planned, so there is nothing to price but what is fixed."
    start = min(run.start_min for run in plan.runs)
    return (
        f"{count(zones, 'zone')}, {priced.volume_m3:.1f} m³ in place, {priced.area_m2:.0f} m² of "
        f"face, {count(len(plan.relocations), 'relocation')}; from "
        f"{moment(campaign.clock, start)} to {moment(campaign.clock, finish)}."
    )


def _figures(priced: Estimate, look: dict[str, Any]) -> Flowable:
    from reportlab.platypus import Table, TableStyle  # noqa: PLC0415 - slow to import

    shown = [("Total", money(priced.total)), ("Net, without what goes on top", money(priced.net))]
    if priced.volume_m3:
        shown.append(("For each m³ in place", money(priced.total / priced.volume_m3)))
    if priced.area_m2:
        shown.append(("For each m² of face", money(priced.total / priced.area_m2)))
    cells = [
        [paragraph(name, look["small"]), paragraph(text, look["big"])] for name, text in shown
    ]
    made = Table([cells], colWidths=[WIDTH_PT / len(cells)] * len(cells), hAlign="LEFT")
    made.setStyle(
        TableStyle(
            [
                ("LINEABOVE", (0, 0), (-1, 0), 1.2, WORK),
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("LEFTPADDING", (0, 0), (-1, -1), 3),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 6),
            ]
        )
    )
    return made


def _money_bars(priced: Estimate) -> Flowable:
    found = [
        Bar(
            name=ITEM_NAMES[item.basis],
            parts=(Part(size=item.amount, colour=ITEM_COLOURS[item.basis], label=""),),
            value=f"{money(item.amount)}  ({100 * item.amount / priced.total:.0f} %)",
        )
        for item in priced.items
        if item.amount
    ]
    return bars(found, width_pt=WIDTH_PT - 40)


def _bill(priced: Estimate, rows: Sequence[BillRow], look: dict[str, Any]) -> Flowable:
    head = ("", "Item", "Quantity", "Unit", "Rate", "Amount", "Rate, all in")
    right, body = look["right"], look["body"]
    shown: list[list[Any]] = [_heads(head, look)]
    for row in rows:
        if row.level == "item":
            cells = (
                row.item,
                row.line,
                _quantity(row.quantity),
                _unit(row.unit),
                _amount(row.rate),
            )
            shown.append(
                [
                    *(
                        paragraph(text, right if n in {2, 4} else body)
                        for n, text in enumerate(cells)
                    ),
                    paragraph(_amount(row.amount), right),
                    paragraph(_amount(row.rate_all_in), right),
                ]
            )
    total = [paragraph("", body)] * 5 + [paragraph(_amount(priced.total), look["strong right"])]
    total[1] = paragraph("Total", look["strong"])
    shown.append([*total, paragraph("", body)])
    return table(shown, BILL_WIDTHS, strong=[len(shown) - 1])


def _lines(rows: Sequence[BillRow], look: dict[str, Any]) -> Flowable:
    head = ("", "Line", "Of", "Quantity", "Unit", "Rate", "Amount")
    shown: list[list[Any]] = [_heads(head, look)]
    strong = []
    for row in rows:
        if row.level == "total":
            continue
        is_item = row.level == "item"
        if is_item:
            strong.append(len(shown))
        name = look["strong"] if is_item else look["body"]
        sources = f"{row.quantity_from}; rate: {row.rate_from}"
        right = look["strong right"] if is_item else look["right"]
        shown.append(
            [
                paragraph(row.item, look["small"]),
                paragraph(row.line, name) if is_item else with_source(row.line, sources, look),
                paragraph(row.of, look["small"]),
                paragraph("" if is_item else _quantity(row.quantity), right),
                paragraph("" if is_item else _unit(row.unit), look["small"]),
                paragraph("" if is_item else _amount(row.rate), right),
                paragraph(_amount(row.amount), right),
            ]
        )
    return table(shown, LINE_WIDTHS, strong=strong)


def _hours(times: Sequence[CrewTime]) -> list[Any]:
    found = [
        Bar(
            name=f"{time.crew} ({time.shifts} shifts)",
            parts=(
                Part(size=time.work_h, colour=WORK, label=f"{time.work_h:.0f} h"),
                Part(size=time.shut_h, colour=SHUT, label=f"{time.shut_h:.0f} h"),
                Part(size=time.open_h, colour=OPEN, label=f"{time.open_h:.0f} h"),
            ),
            value=f"{time.paid_h:.0f} h",
        )
        for time in times
    ]
    names = (("at work", WORK), ("waiting, every face shut", SHUT), ("waiting otherwise", OPEN))
    return [bars(found, width_pt=WIDTH_PT - 40), key(names, width_pt=WIDTH_PT - 40)]


def _heads(names: Sequence[str], look: dict[str, Any]) -> list[Any]:
    numbers = {"Quantity", "Rate", "Amount", "Rate, all in"}
    return [paragraph(n, look["strong right" if n in numbers else "strong"]) for n in names]


def _amount(value: float | str) -> str:
    """Return money to the second decimal, thousands apart by spaces that do not break."""
    return value if isinstance(value, str) else f"{value:,.2f}".replace(",", "\u00a0")


def _quantity(value: float | str) -> str:
    text = _amount(value)
    return text.removesuffix(".00")


def _unit(text: str) -> str:
    return text.replace("m2", "m²").replace("m3", "m³")
