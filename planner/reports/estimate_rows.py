"""An estimate as rows: the bill's items, each followed by its lines."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from planner.core.rounding import DECIMALS
from planner.estimate.line import Basis, Estimate, Item, Line
from planner.model.campaign import Campaign
from planner.plan.plan import Plan
from planner.reports.labels import count, money

ITEM_NAMES = {
    Basis.FIXED: "Fixed",
    Basis.DAY: "Per site day",
    Basis.RELOCATION: "Per relocation",
    Basis.M2: "Per m² of face",
    Basis.M3: "Per m³ in place",
    Basis.ON_TOP: "On top",
}
ITEM_COLOURS = {
    Basis.FIXED: "#56B4E9",
    Basis.DAY: "#0072B2",
    Basis.RELOCATION: "#E69F00",
    Basis.M2: "#CC79A7",
    Basis.M3: "#009E73",
    Basis.ON_TOP: "#888888",
}
"""Hues of the house's palette (``labels.PALETTE``); names always stand beside them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BillRow:
    """One row of the bill.

    Attributes
    ----------
    item
        Number, as ``2`` for an item and ``2.3`` for its third line.
    level
        ``item``, ``line`` or ``total``.
    line, of
        What it is; of which rig, crew, mix, position or process.
    quantity, unit, rate, amount
        Quantity x rate = amount; empty where an item has no quantity.
    rate_all_in
        Items: the rate with what goes on top, as a tender's item wants it.
    quantity_from, rate_from
        Where both come from: table, key, formula.
    """

    item: str
    level: str
    line: str
    of: str
    quantity: float | str
    unit: str
    rate: float | str
    amount: float
    rate_all_in: float | str
    quantity_from: str
    rate_from: str


def bill_rows(priced: Estimate) -> Iterator[BillRow]:
    """Yield each item with its lines, and the total last; items without lines are left out."""
    for number, item in enumerate(priced.items, start=1):
        lines = [line for line in priced.lines if line.basis is item.basis]
        if not lines:
            continue
        yield _item_row(str(number), item)
        for place, line in enumerate(lines, start=1):
            yield _line_row(f"{number}.{place}", line)
    yield BillRow(
        item="",
        level="total",
        line="Total",
        of="",
        quantity="",
        unit="",
        rate="",
        amount=round(priced.total, 2),
        rate_all_in="",
        quantity_from="",
        rate_from="",
    )


def _item_row(number: str, item: Item) -> BillRow:
    return BillRow(
        item=number,
        level="item",
        line=ITEM_NAMES[item.basis],
        of="",
        quantity=round(item.quantity, DECIMALS),
        unit=item.unit,
        rate="" if item.rate is None else round(item.rate, 4),
        amount=round(item.amount, 2),
        rate_all_in="" if item.rate_all_in is None else round(item.rate_all_in, 4),
        quantity_from="",
        rate_from="its lines, divided by the quantity",
    )


def _line_row(number: str, line: Line) -> BillRow:
    return BillRow(
        item=number,
        level="line",
        line=line.name,
        of=line.of,
        quantity=round(line.quantity, DECIMALS),
        unit=line.unit,
        rate=round(line.rate, DECIMALS),
        amount=round(line.amount, 2),
        rate_all_in="",
        quantity_from=line.quantity_from,
        rate_from=line.rate_from,
    )


def headline(priced: Estimate) -> str:
    """Return the total with what one m³ and one m² come to, in one sentence."""
    parts = [f"Total {money(priced.total)}"]
    if priced.volume_m3:
        parts.append(f"{money(priced.total / priced.volume_m3)} for each m³ in place")
    if priced.area_m2:
        parts.append(f"{money(priced.total / priced.area_m2)} for each m² of face")
    return ", ".join(parts) + "."


def notes(campaign: Campaign, plan: Plan, priced: Estimate) -> list[str]:
    """Return what a reader of the estimate must know, one sentence each."""
    paid_h = sum(time.paid_h for time in priced.crew_time)
    shut_h = sum(time.shut_h for time in priced.crew_time)
    found = [
        (
            f"Prices are in the campaign's own currency; {money(priced.planner_cost)} of the "
            f"{money(priced.net)} net are the costs that the planner counts and can lower."
        ),
        (
            "Crews are paid whole shifts: two runs in one shift are one crew-shift; least "
            "loads and whole load steps are paid as bought."
        ),
    ]
    if paid_h and shut_h:
        found.append(
            f"Of {paid_h:.0f} paid crew-hours {shut_h:.0f} ({100 * shut_h / paid_h:.0f} %) are "
            "waiting while every face of the crew's plan is shut: water, berths, closures."
        )
    if plan.unplanned:
        found.append(
            f"{count(len(plan.unplanned), 'zone')} of {len(campaign.zones)} not planned and not "
            "priced."
        )
    return found
