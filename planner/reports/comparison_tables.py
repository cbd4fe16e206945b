"""Frames of estimates and stagings for the page: headings in words, numbers as numbers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict

import pandas as pd

from planner.estimate.line import CrewTime, Estimate
from planner.estimate.staging import Staging
from planner.reports.comparison import compare_rows
from planner.reports.estimate_rows import ITEM_COLOURS, ITEM_NAMES, bill_rows

STAGINGS = {
    "name": "Staging",
    "planned_m3": "In place (m³)",
    "left_out": "Zones left out",
    "finish": "Finish",
    "total": "Estimate",
    "total_m3": "Estimate per m³",
    "cost": "Planner's cost",
    "cost_gap": "Cost gap (%)",
    "relocations": "Relocations",
    "windows_used": "Windows used",
    "rebound_m3": "Rebound to remove (m³)",
    "crew_shifts": "Crew-shifts",
    "site_days": "Site days",
    "shut_h": "Paid hours, faces shut",
}
BILL = {
    "item": "Item",
    "line": "Line",
    "of": "Of",
    "quantity": "Quantity",
    "unit": "Unit",
    "rate": "Rate",
    "amount": "Amount",
    "rate_all_in": "Rate, all in",
    "quantity_from": "Quantity from",
    "rate_from": "Rate from",
}
HOURS = (
    "Crew",
    "Shifts paid",
    "Hours paid",
    "At work",
    "Waiting, faces shut",
    "Waiting otherwise",
)
PER_CENT = 100.0


def stagings_frame(found: Sequence[Staging]) -> pd.DataFrame:
    """Return a row for each staging."""
    rows = [asdict(row) for row in compare_rows(found)]
    for row in rows:
        gap = row["cost_gap"]
        row["cost_gap"] = round(PER_CENT * gap, 1) if isinstance(gap, float) else None
        row["finish"] = str(row["finish"]).replace("T", " ")[:16]
        row["total_m3"] = round(row["total_m3"]) if row["total_m3"] else None
        row["total"], row["cost"] = round(row["total"]), round(row["cost"])
    return pd.DataFrame(rows, columns=list(STAGINGS)).rename(columns=STAGINGS)


def bill_frame(priced: Estimate) -> pd.DataFrame:
    """Return the bill: each item with its lines."""
    rows = [asdict(row) for row in bill_rows(priced)]
    for row in rows:
        for name in ("quantity", "rate", "rate_all_in"):
            row[name] = row[name] if isinstance(row[name], float | int) else None
        row["unit"] = str(row["unit"]).replace("m2", "m²").replace("m3", "m³")
    return pd.DataFrame(rows, columns=list(BILL)).rename(columns=BILL)


def items_frame(priced: Estimate) -> pd.DataFrame:
    """Return the items of the bill alone, to lay beside those of a tender."""
    frame = bill_frame(priced)
    names = {ITEM_NAMES[item.basis] for item in priced.items if item.amount}
    is_item = frame["Line"].isin(names) & ~frame["Item"].str.contains(".", regex=False)
    return frame[is_item][["Item", "Line", "Quantity", "Unit", "Rate", "Amount", "Rate, all in"]]


def lines_frame(priced: Estimate) -> pd.DataFrame:
    """Return the lines alone, each with where it comes from."""
    frame = bill_frame(priced)
    is_line = frame["Item"].str.contains(".", regex=False)
    return frame[is_line].drop(columns=["Rate, all in"])


def bill_sums(priced: Estimate) -> list[tuple[str, str, float]]:
    """Return name, colour and amount of each item that is something."""
    return [
        (ITEM_NAMES[item.basis], ITEM_COLOURS[item.basis], item.amount)
        for item in priced.items
        if item.amount
    ]


def hours_frame(times: Sequence[CrewTime]) -> pd.DataFrame:
    """Return what the paid hours of each crew go into."""
    rows = [
        (
            time.crew,
            time.shifts,
            *(round(h, 1) for h in (time.paid_h, time.work_h, time.shut_h, time.open_h)),
        )
        for time in times
    ]
    return pd.DataFrame(rows, columns=list(HOURS))
