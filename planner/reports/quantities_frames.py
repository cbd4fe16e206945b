"""Quantities and shared resources as frames for pages."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd

from planner.reports.quantities_tables import QuantityTable
from planner.trade.figure import Figure

HEADINGS = {
    "zone": "Zone",
    "orientation": "Face",
    "mix": "Mix",
    "rebound": "Rebound (share)",
    "week": "Week from",
    "run": "Run",
    "start": "Start",
    "rig": "Rig",
    "zones": "Zones",
    "runs": "Runs",
    "placed_m3": "In place (m³)",
    "shot_m3": "Shot (m³)",
    "rebound_m3": "Rebound (m³)",
    "waste_m3": "Waste (m³)",
    "collected_kg": "To remove (kg)",
    "material_kg": "Material (kg)",
    "supply": "Comes in",
    "units": "Bags or loads",
    "delivered": "Delivered",
    "left": "Left",
    "hose_fill_m3": "In the hose (m³)",
    "opened_kg": "Opened, lost (kg)",
    "bought_m3": "Bought (m³)",
    "surplus_m3": "Left over (m³)",
    "water_l": "Water (L)",
    "truck_min": "Trucks stand (min)",
    "conveyed_t": "Conveyed (t)",
    "hose_changes": "Hoses worn out",
    "note": "Look at",
    "resource": "Resource",
    "number": "There are",
    "most": "Most at once",
    "days": "Days in use",
    "used_h": "Hours used",
    "all_taken_h": "Hours all taken",
    "money": "Money",
    "why": "What it is",
}
SUPPLIES = {"bags": "bags", "bulk_bags": "bulk bags", "loads": "loads"}
WHY = ("Number", "Value", "Unit", "How", "From", "Source", "Trust", "Note")


def quantity_frame(table: QuantityTable) -> pd.DataFrame:
    """Return the columns of a table that say something, under headings in words."""
    heading, rows = table.for_reading()
    frame = pd.DataFrame(rows, columns=list(heading))
    if "supply" in frame:
        frame["supply"] = frame["supply"].map(lambda word: SUPPLIES.get(str(word), str(word)))
    return frame.rename(columns=HEADINGS)


def why_frame(figures: Sequence[Figure]) -> pd.DataFrame:
    """Return where every number of a zone comes from."""
    rows = [
        (
            each.name,
            "" if each.value is None else f"{each.value:.6g}",
            each.unit,
            each.formula,
            each.inputs_words(),
            each.source,
            str(each.trust),
            each.note,
        )
        for each in figures
    ]
    return pd.DataFrame(rows, columns=list(WHY))
