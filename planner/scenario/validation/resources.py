"""Shared resources, and what zones, positions, rigs and crews take of them (rule 16)."""

from __future__ import annotations

from planner.scenario.draft import Row
from planner.scenario.grid import shorten
from planner.scenario.needs import COUNT_MARK, needs_of
from planner.scenario.validation.ledger import Ledger

OWNERS = ("zones", "positions", "rigs", "crews")


def check_resources(ledger: Ledger) -> None:
    """Note needs that can never be met, and resources that nothing takes."""
    _check_tables(ledger)
    _check_names(ledger)
    for table in OWNERS:
        for row in ledger.draft.rows(table):
            _check_needs(ledger, table, row)
    _warn_of_idle(ledger)


def _check_tables(ledger: Ledger) -> None:
    """Note needs in a scenario without a table of resources."""
    if ledger.draft.has("resources") or "resources" in ledger.draft.damaged:
        return
    for table in OWNERS:
        row = next((row for row in ledger.draft.rows(table) if row.has("needs")), None)
        if row is not None:
            ledger.error(
                "missing-table",
                f"{ledger.draft.label('resources')} is missing; list there what is needed here,"
                " and how many there are",
                table=table,
                row=row,
                column="needs",
            )


def _check_names(ledger: Ledger) -> None:
    for row in ledger.draft.rows("resources"):
        if COUNT_MARK in row.text("resource"):
            ledger.error(
                "bad-identifier",
                f"{shorten(row.text('resource'))} holds a colon, which stands before the count"
                " in a list of needs; write the name without it",
                table="resources",
                row=row,
                column="resource",
            )


def _check_needs(ledger: Ledger, table: str, row: Row) -> None:
    """Note a need of more than there are: the row could never be worked."""
    known = ledger.draft.ids("resources")
    for need in needs_of(row.names("needs")):
        owner = known.get(need.resource_id)
        number = None if owner is None else owner.whole("number")
        if number is not None and need.count > number:
            ledger.error(
                "need-above-number",
                f"it takes {need.count} of {shorten(need.resource_id)}, but there"
                f" {'is' if number == 1 else 'are'} only {number}, so it could never be worked;"
                f" lower the count, or raise number in {ledger.draft.label('resources')}",
                table=table,
                row=row,
                column="needs",
            )


def _warn_of_idle(ledger: Ledger) -> None:
    """Note a resource that nothing takes."""
    taken = {
        need.resource_id
        for table in OWNERS
        for row in ledger.draft.rows(table)
        for need in needs_of(row.names("needs"))
    }
    unread = any("needs" in row.bad for table in OWNERS for row in ledger.draft.rows(table))
    for name, row in ledger.draft.ids("resources").items():
        if name not in taken and not unread:
            ledger.warn(
                "resource-not-used",
                f"nothing takes {shorten(name)}; name it in the column needs of"
                f" {', '.join(ledger.draft.label(table) for table in OWNERS[:-1])} or"
                f" {ledger.draft.label(OWNERS[-1])}",
                table="resources",
                row=row,
                column="resource",
            )
