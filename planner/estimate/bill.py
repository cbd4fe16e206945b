"""An estimate from a plan: lines of the planner, lines of the price book, and the bill."""

from __future__ import annotations

import math

from planner.access.windows import Access
from planner.estimate.amounts import Amounts, amounts
from planner.estimate.book_lines import FILE, book_lines
from planner.estimate.hours import paid_hours
from planner.estimate.line import Basis, Estimate, Item, Line
from planner.estimate.planner_lines import planner_lines
from planner.model.campaign import Campaign
from planner.model.price_book import PriceBook
from planner.plan.costs import cost
from planner.plan.plan import Plan

ON_TOP = {"overhead": "Overheads", "risk": "Risk", "profit": "Profit"}
_ORDER = list(Basis)


def estimate(
    campaign: Campaign, plan: Plan, book: PriceBook, access: Access | None = None
) -> Estimate:
    """Return what a plan would cost.

    Parameters
    ----------
    campaign, plan
        The plan and what it was made for; zones that it leaves out are not priced.
    book
        Rates beside those of ``prices.*``.
    access
        Windows of the campaign, where they are known already.
    """
    hours = paid_hours(campaign, plan, access or Access(campaign))
    quantities = amounts(campaign, plan, book)
    own = planner_lines(campaign, plan, hours)
    found = [line for line in (*own, *book_lines(book, quantities, hours)) if line.amount]
    net = math.fsum(line.amount for line in found)
    top = _on_top(book, net)
    lines = sorted((*found, *top), key=lambda line: _ORDER.index(line.basis))
    shares = math.fsum(line.rate for line in top)
    return Estimate(
        lines=tuple(lines),
        items=tuple(_item(basis, lines, quantities, shares) for basis in Basis),
        crew_time=hours.crew_time,
        net=net,
        total=net * (1.0 + shares),
        planner_cost=cost(campaign, plan),
        volume_m3=quantities.volume_m3,
        area_m2=quantities.area_m2,
    )


def _on_top(book: PriceBook, net: float) -> list[Line]:
    return [
        Line(
            key=f"on_top.{name}",
            name=title,
            basis=Basis.ON_TOP,
            quantity=net,
            unit="money",
            rate=book.rate(f"on_top.{name}"),
            quantity_from="all lines above",
            rate_from=f"{FILE}: on_top.{name}",
        )
        for name, title in ON_TOP.items()
        if book.rate(f"on_top.{name}") and net
    ]


def _item(basis: Basis, lines: list[Line], amounts: Amounts, shares: float) -> Item:
    quantity, unit = {
        Basis.FIXED: (1.0, "item"),
        Basis.DAY: (float(amounts.days), "day"),
        Basis.RELOCATION: (float(amounts.relocations), "relocation"),
        Basis.M2: (amounts.area_m2, "m2"),
        Basis.M3: (amounts.volume_m3, "m3"),
        Basis.ON_TOP: (1.0, "item"),
    }[basis]
    amount = math.fsum(line.amount for line in lines if line.basis is basis)
    rate = amount / quantity if quantity else None
    is_top = basis is Basis.ON_TOP
    all_in = None if rate is None or is_top else rate * (1.0 + shares)
    return Item(
        basis=basis,
        quantity=quantity,
        unit=unit,
        amount=amount,
        rate=rate,
        rate_all_in=all_in,
    )
