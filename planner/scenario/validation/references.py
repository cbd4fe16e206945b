"""Identifiers that must stand in another table."""

from __future__ import annotations

from collections.abc import Collection

from planner.scenario.builtin_mixes import BUILT_IN_MIXES
from planner.scenario.dictionary import PRICE_OWNERS, TABLES, Column, Kind
from planner.scenario.dictionary.shapes import PROCESSES
from planner.scenario.draft import Draft, Row
from planner.scenario.grid import shorten
from planner.scenario.needs import split_need
from planner.scenario.suggest import did_you_mean
from planner.scenario.validation.ledger import Ledger

_OWN_RULES = {("closures", "id"), ("routes", "from"), ("routes", "to")}
"""Columns whose identifiers are looked at by the check of their table."""


class _Anything(frozenset[str]):
    """What is known of a table that could not be read: every name may be in it."""

    def __contains__(self, _name: object) -> bool:
        return True


def known_ids(draft: Draft, table: str) -> Collection[str]:
    """Return the identifiers of a table, of the built-in mixes where there is no mixes table.

    A table that is missing, or could not be read whole, is a problem of its own; it then counts
    as holding every name, so that one fault does not draw a hundred lines.
    """
    if table == "process":
        return PROCESSES
    if table == "mixes" and not draft.has("mixes"):
        return dict.fromkeys(str(face.mix_id) for face in BUILT_IN_MIXES)
    return draft.ids(table) if draft.is_whole(table) else _Anything()


def check_references(ledger: Ledger) -> None:
    """Note identifiers that stand in no table where they should."""
    draft = ledger.draft
    for table in TABLES:
        for column in table.columns:
            if column.refers and (table.name, column.name) not in _OWN_RULES:
                known = known_ids(draft, column.refers[0])
                for row in draft.rows(table.name):
                    _check_cell(ledger, table.name, column, row, known)
    _check_relocation_shift(ledger)
    _check_prices(ledger)


def _check_cell(
    ledger: Ledger, table: str, column: Column, row: Row, known: Collection[str]
) -> None:
    text = row.text(column.name)
    names = (text,) if text else row.names(column.name)
    if column.kind is Kind.NEEDS:
        names = tuple(split_need(item)[0] for item in names)
    for name in names:
        if name not in known:
            note_unknown(ledger, name, known, table=table, row=row, column=column)


def note_unknown(
    ledger: Ledger, name: str, known: Collection[str], *, table: str, row: Row, column: Column
) -> None:
    """Note one identifier that stands in none of the tables it should."""
    places = " or ".join(owner_label(ledger.draft, owner) for owner in column.refers)
    ledger.error(
        "unknown-reference",
        f"{shorten(name)} is not in {places}{did_you_mean(name, known)}",
        table=table,
        row=row,
        column=column.name,
    )


def owner_label(draft: Draft, table: str) -> str:
    """Return how a problem names the table that an identifier should stand in."""
    if table == "mixes" and not draft.has("mixes"):
        return f"the built-in mixes (there is no {draft.label('mixes')})"
    return draft.label(table)


def _check_relocation_shift(ledger: Ledger) -> None:
    key = "rules.relocation_shift"
    name = ledger.draft.keys.text(key)
    known = known_ids(ledger.draft, "shifts")
    if name and name not in known:
        ledger.key_error(
            "unknown-reference",
            f"{shorten(name)} is not in {ledger.draft.label('shifts')}{did_you_mean(name, known)}",
            key=key,
        )


def _check_prices(ledger: Ledger) -> None:
    for key in (*ledger.draft.keys.given, *sorted(ledger.draft.keys.bad)):
        for group, owner in PRICE_OWNERS.items():
            name = key.removeprefix(f"{group}.")
            if name == key:
                continue
            known = known_ids(ledger.draft, owner)
            if name not in known:
                where = (
                    "not a process (dry or wet)"
                    if owner == "process"
                    else f"not in {owner_label(ledger.draft, owner)}"
                )
                ledger.key_error(
                    "unknown-reference",
                    f"{shorten(name)} is {where}{did_you_mean(name, known)}",
                    key=key,
                )
