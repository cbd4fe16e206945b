"""The equipment table and the machine catalogue as frames for pages."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd

from planner.model.machines import MACHINES
from planner.workflow.equipment import Equipment
from planner.workflow.equipment_rows import advice_rows, short_table, why_rows

HEADINGS = {
    "row": "Row",
    "rig": "Rig",
    "at": "Position",
    "zones": "Zones",
    "hardest": "Hardest zone",
    "laid m": "Laid (m)",
    "rise m": "Rise (m)",
    "equiv. m": "Equivalent (m)",
    "of max m": "Rated reach (m)",
    "bore mm": "Bore (mm)",
    "gun/pump kPa": "Gun or pump (kPa)",
    "air m³/min": "Air (m³/min)",
    "water kPa": "Water (kPa)",
    "fresh air m³/min": "Fresh air (m³/min)",
    "people": "People",
}


def equipment_frame(rows: Sequence[Equipment]) -> pd.DataFrame:
    """Return what rigs want at positions, one row each, rounded for reading."""
    heading, cells = short_table(rows)
    return pd.DataFrame(cells, columns=[HEADINGS[name] for name in heading])


def advice_frame(rows: Sequence[Equipment]) -> pd.DataFrame:
    """Return each piece of advice once, with the rows that it is for."""
    return pd.DataFrame(advice_rows(rows), columns=["Rows", "Advice"])


def why_frame(row: Equipment) -> pd.DataFrame:
    """Return where every number of one row comes from, for reading."""
    rows = [
        (
            each.figure,
            "not known" if each.value is None else f"{each.value:g} {each.unit}".strip(),
            _sentences(each.formula, each.inputs and f"from {each.inputs}"),
            _sentences(f"{each.source} ({each.trust})", each.note),
        )
        for each in why_rows([row])
    ]
    return pd.DataFrame(rows, columns=["Number", "Value", "How", "Source"])


def _sentences(*parts: str) -> str:
    return "; ".join(part for part in parts if part)


def kinds() -> dict[str, str]:
    """Return the kinds of the catalogue, each with its title."""
    return {kind.type_id: f"{kind.title[0].upper()}{kind.title[1:]}" for kind in MACHINES}


def kind_words(type_id: str) -> str:
    """Return how a kind of machine works, and whether it feeds without a break."""
    kind = next(kind for kind in MACHINES if kind.type_id == type_id)
    feed = "batch by batch" if kind.intermittent else "without a break"
    return f"{kind.how} It feeds {feed}."


def kind_frame(type_id: str) -> pd.DataFrame:
    """Return every value of one kind of machine with its range, source and trust, for reading."""
    kind = next(kind for kind in MACHINES if kind.type_id == type_id)
    rows = [
        (
            span.trait.value,
            f"{span.usual:g} {span.unit}",
            span.words() if span.has_range else "",
            f"{span.source} ({span.trust})",
        )
        for span in kind.spans
    ]
    return pd.DataFrame(rows, columns=["Value", "Usual", "Range", "Source"])
