"""Locks put into a scenario's text, and goals put in another order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from planner.model.identifiers import Goal
from planner.scenario.dictionary.locks import LOCKS
from planner.scenario.raw import RawTable, Tables
from planner.workflow.editing import with_row, with_table
from planner.workflow.loading import Loaded

SEPARATOR = ";"


@dataclass(frozen=True, slots=True, kw_only=True)
class LockOrder:
    """What somebody wants to tie down; empty: not tied in that way.

    Attributes
    ----------
    zone
        Zone that is tied.
    rigs, positions
        Names allowed.
    first, last
        First and last day on which it may be worked at.
    why
        Reason, for people.
    """

    zone: str
    rigs: tuple[str, ...] = ()
    positions: tuple[str, ...] = ()
    first: date | None = None
    last: date | None = None
    why: str = ""

    @property
    def ties(self) -> bool:
        """Return whether it ties anything."""
        return bool(self.rigs or self.positions or self.first or self.last)

    def cells(self) -> dict[str, str]:
        """Return it as a row of locks.csv."""
        return {
            "zone": self.zone,
            "rigs": SEPARATOR.join(self.rigs),
            "positions": SEPARATOR.join(self.positions),
            "from": "" if self.first is None else self.first.isoformat(),
            "to": "" if self.last is None else self.last.isoformat(),
            "why": self.why,
        }


def with_lock(tables: Tables, order: LockOrder) -> Tables:
    """Return a scenario in which a zone is locked, in place of what tied it before."""
    return with_row(without_lock(tables, order.zone), LOCKS.name, order.cells())


def without_lock(tables: Tables, zone: str) -> Tables:
    """Return a scenario in which a zone is free again; the table goes with its last row."""
    old = tables.tables.get(LOCKS.name)
    if old is None or "zone" not in old.columns:
        return tables
    place = old.columns.index("zone")
    rows = tuple(row for row in old.rows if row[place].strip() != zone)
    if len(rows) == len(old.rows):
        return tables
    table = RawTable(columns=old.columns, rows=rows) if rows else None
    return with_table(tables, LOCKS.name, table)


def in_order(loaded: Loaded, goals: Sequence[Goal], may_worsen: Sequence[float]) -> Loaded:
    """Return the scenario with its goals in another order; its fingerprint stays.

    Parameters
    ----------
    may_worsen
        How much of each goal but the last may be given up for those after it [fraction].

    Raises
    ------
    ValueError
        If the goals are none, or the numbers do not go with them.
    """
    if not goals or len(may_worsen) != len(goals) - 1:
        msg = f"{len(goals)} goals need {len(goals) - 1} numbers, got {len(may_worsen)}"
        raise ValueError(msg)
    campaign = replace(loaded.campaign, goals=tuple(goals), may_worsen=tuple(may_worsen))
    return replace(loaded, campaign=campaign)
