"""Identifiers that stand twice, or for two things."""

from __future__ import annotations

from planner.scenario.dictionary import TABLES, Table
from planner.scenario.draft import Row
from planner.scenario.grid import shorten
from planner.scenario.validation.ledger import Ledger

_TIMED = ("highlow", "levels", "sewer_flow", "wet_weather", "waves", "temperature")
"""Tables whose twins are told by the minute, not by the text of the time."""


def check_identifiers(ledger: Ledger) -> None:
    """Note rows that say the same thing twice, and names that stand for two things."""
    for table in TABLES:
        if table.key and table.name not in _TIMED:
            _check_twins(ledger, table)
    _check_pairs(ledger)
    if ledger.draft.keys.value("reach.by") == "routes":
        _check_clashes(ledger)


def _check_twins(ledger: Ledger, table: Table) -> None:
    first: dict[tuple[object, ...], Row] = {}
    for row in ledger.draft.rows(table.name):
        if row.bad & set(table.key):
            continue
        key = tuple(row.value(name) for name in table.key)
        if key in first:
            shown = ", ".join(shorten(str(part)) for part in key if part is not None)
            ledger.error(
                "duplicate",
                f"{shown} stands in row {first[key].place} already; each may stand once",
                table=table.name,
                row=row,
                column=table.key[0],
            )
        first.setdefault(key, row)


def _check_pairs(ledger: Ledger) -> None:
    first: dict[tuple[frozenset[str], str], Row] = {}
    for row in ledger.draft.rows("apart"):
        if row.bad:
            continue
        pair = (frozenset((row.text("zone_a"), row.text("zone_b"))), row.text("kind"))
        twin = first.setdefault(pair, row)
        if twin is not row and twin.text("zone_a") != row.text("zone_a"):
            ledger.warn(
                "duplicate",
                f"the same pair stands in row {twin.place} the other way round",
                table="apart",
                row=row,
                column="zone_a",
            )


def _check_clashes(ledger: Ledger) -> None:
    owners: dict[str, str] = {}
    for table in ("positions", "zones", "waypoints"):
        for name, row in ledger.draft.ids(table).items():
            if name in owners:
                ledger.error(
                    "identifier-clash",
                    f"{shorten(name)} is also the name of a row of"
                    f" {ledger.draft.label(owners[name])}; routes could not tell them apart,"
                    " so rename one",
                    table=table,
                    row=row,
                    column=table.removesuffix("s"),
                )
            owners.setdefault(name, table)
