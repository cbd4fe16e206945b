"""A broken rule: which, where, what and by how much."""

from __future__ import annotations

import math
from dataclasses import dataclass

SPELLS = "spells.csv"
RUNS = "runs.csv"
RELOCATIONS = "relocations.csv"
BREAK_OUTS = "break_outs.csv"
UNPLANNED = "unplanned.csv"
SUMMARY = "summary.json"


@dataclass(frozen=True, slots=True, kw_only=True)
class Violation:
    """One broken rule of contract section 4, or one figure that does not add up.

    Attributes
    ----------
    rule
        ``"1"`` to ``"16"``; ``"rows"`` for rows that cannot be read as a plan at all;
        ``"volume"`` for volumes that are no volumes; ``"summary"`` for summary.json.
    table
        File of the plan folder in which it shows.
    row
        Row as a spreadsheet counts it, the heading being row 1; None: the whole file.
    message
        A sentence: what is wrong, by how much, what would be right.
    amount
        By how much, in the unit of the message (minutes, m³, m, money); at least 1 where it
        can only be counted.
    """

    rule: str
    table: str
    row: int | None
    message: str
    amount: float


@dataclass(frozen=True, slots=True)
class Place:
    """Where a violation shows: a file of the plan folder and a spreadsheet row of it."""

    table: str
    row: int | None

    def breaks(self, rule: int | str, message: str, amount: float) -> Violation:
        """Return the violation of a rule at this place; what is no number counts as 1."""
        size = float(amount) if math.isfinite(amount) else 1.0
        return Violation(
            rule=str(rule), table=self.table, row=self.row, message=message, amount=size
        )


def place(table: str, index: int) -> Place:
    """Return the place of the plan's row with this index, counted from 0."""
    return Place(table, index + 2)
