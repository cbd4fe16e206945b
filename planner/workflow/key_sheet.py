"""Keys with their values as a form: the campaign's settings, and the price book."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace

from planner.scenario.dictionary import (
    CAMPAIGN,
    KEYS,
    PRICE_OWNERS,
    Column,
    Kind,
    key_column,
)
from planner.scenario.dictionary.price_book import (
    BOOK_KEYS,
    BOOK_OWNERS,
    PRICE_BOOK,
    book_column,
)
from planner.scenario.dictionary.shapes import PROCESSES
from planner.scenario.raw import RawTable, Tables
from planner.workflow.editing import with_keys
from planner.workflow.sheet import choices_for

ONLY_FOR = {
    "water.mean_level_m": "tide",
    "water.high_shift_min": "highlow",
    "water.low_shift_min": "highlow",
    "water.range_factor": "highlow",
}
"""Keys that mean something for one kind of water only."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeySheet:
    """One file of keys.

    Attributes
    ----------
    name
        Stem of the file, name of the sheet.
    columns
        Every key it may have; one that ends in ``.*`` stands for a key for each owner.
    describe
        Gives the description of a key, or None.
    owners
        Whose names end the keys of a group: a table, ``process``, or empty for any name.
    """

    name: str
    columns: tuple[Column, ...]
    describe: Callable[[str], Column | None]
    owners: Mapping[str, str]

    def entries(self, tables: Tables) -> Mapping[str, str]:
        """Return the keys and values that a scenario has."""
        return tables.book if self.name == PRICE_BOOK else tables.campaign

    def changed(self, tables: Tables, values: Mapping[str, str]) -> Tables:
        """Return a scenario with some keys changed; an empty one is taken out."""
        if self.name == CAMPAIGN:
            return with_keys(tables, values)
        book = {key: text for key, text in (dict(tables.book) | dict(values)).items() if text}
        return replace(tables, book=book, book_lines={})

    def content(self, tables: Tables) -> RawTable:
        """Return the keys as a table, to tell two states apart."""
        rows = tuple(self.entries(tables).items())
        return RawTable(columns=("key", "value"), rows=rows)

    def grouped(self, tables: Tables) -> dict[str, list[str]]:
        """Return the keys of the form by the first word of each, in order."""
        kind = tables.campaign.get("water.kind", "")
        groups: dict[str, list[str]] = {}
        for column in self.columns:
            for key in self._names(column, tables):
                only = ONLY_FOR.get(key, kind)
                if only == kind or self.entries(tables).get(key):
                    groups.setdefault(key.partition(".")[0], []).append(key)
        return groups

    def strangers(self, tables: Tables) -> list[str]:
        """Return the keys that are not known."""
        return [key for key in self.entries(tables) if self.describe(key) is None]

    def owner_group(self, key: str) -> str:
        """Return the group whose keys end in names, or an empty text."""
        return next((group for group in self.owners if key.startswith(f"{group}.")), "")

    def _names(self, column: Column, tables: Tables) -> Iterable[str]:
        stem = column.name.removesuffix(".*")
        if stem == column.name:
            return (column.name,)
        start = f"{stem}."
        given = [key.removeprefix(start) for key in self.entries(tables) if key.startswith(start)]
        names = dict.fromkeys((*_owners(self.owners[stem], tables), *given))
        return [f"{stem}.{name}" for name in names]


def _owners(owner: str, tables: Tables) -> tuple[str, ...]:
    if owner == "process":
        return PROCESSES
    if not owner:
        return ()
    reference = Column(name=owner, kind=Kind.IDENTIFIER, meaning="", refers=(owner,))
    return choices_for(reference, tables, ())


SETTINGS = KeySheet(name=CAMPAIGN, columns=KEYS, describe=key_column, owners=PRICE_OWNERS)
PRICES = KeySheet(name=PRICE_BOOK, columns=BOOK_KEYS, describe=book_column, owners=BOOK_OWNERS)
KEY_SHEETS = {sheet.name: sheet for sheet in (SETTINGS, PRICES)}
