"""One number that tells whether two scenarios say the same.

Column and row order, blank rows, line ends, byte-order mark, trailing zeros of numbers, cells
that repeat a default, columns and keys that are not known, and whether the scenario is a folder
or a workbook, do not matter.
"""

from __future__ import annotations

import hashlib
import json
from datetime import date

from planner.scenario.dictionary import KEYS, TABLES, Table, key_column
from planner.scenario.draft import Cells, Draft, default_value
from planner.scenario.values import Value


def fingerprint(draft: Draft) -> str:
    """Return the SHA-256 of the parsed tables in canonical order, hexadecimal."""
    parts: list[object] = [_canonical_keys(draft.keys)]
    for table in TABLES:
        rows = sorted(_canonical_row(table, row) for row in draft.rows(table.name))
        # A mixes table without rows still replaces the built-in mixes.
        if rows or (table.name == "mixes" and draft.has("mixes")):
            parts.append([table.name, rows])
    text = json.dumps(parts, ensure_ascii=True, separators=(",", ":"))
    return hashlib.sha256(text.encode("ascii")).hexdigest()


def _canonical_keys(keys: Cells) -> list[list[str]]:
    found: list[list[str]] = []
    for key, value in sorted(keys.given.items()):
        column = key_column(key)
        if column in KEYS and value != default_value(column):
            found.append([key, _canonical(value)])
    return found


def _canonical_row(table: Table, row: Cells) -> list[list[str]]:
    return [
        [column.name, _canonical(row.given[column.name])]
        for column in table.columns
        if column.name in row.given and row.given[column.name] != default_value(column)
    ]


def _canonical(value: Value) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return repr(float(value))
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, frozenset):
        return ";".join(str(item) for item in sorted(value))
    if isinstance(value, tuple):
        return ";".join(_canonical(item) for item in value)
    return value
