"""One number that tells whether two scenarios say the same.

Column and row order, blank rows, line ends, byte-order mark, trailing zeros of numbers, cells
that repeat a default, columns and keys that are not known, and whether the scenario is a folder
or a workbook, do not matter.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Sequence
from datetime import date

from planner.scenario.dictionary import TABLES, key_column
from planner.scenario.draft import Cells, Draft
from planner.scenario.values import Value

NOT_OF_THE_PLAN = frozenset({"results"})
"""Tables that no plan depends on: what tests gave is entered while the plan is carried out."""


def fingerprint(draft: Draft, *, holidays: Sequence[tuple[date, str]] = ()) -> str:
    """Return the SHA-256 of the parsed tables in canonical order, hexadecimal.

    Parameters
    ----------
    draft
        The parsed tables.
    holidays
        Days that the library of public holidays gave for the keys: another list of days is
        another scenario.
    """
    parts: list[object] = [_canonical_keys(draft.keys)]
    for table in TABLES:
        if table.name in NOT_OF_THE_PLAN:
            continue
        names = table.column_names
        rows = sorted(_canonical_row(names, row) for row in draft.rows(table.name))
        # A mixes table without rows still replaces the built-in mixes.
        if rows or (table.name == "mixes" and draft.has("mixes")):
            parts.append([table.name, rows])
    if holidays:
        parts.append(["public holidays", [day.isoformat() for day, _ in holidays]])
    text = json.dumps(parts, ensure_ascii=True, separators=(",", ":"))
    return hashlib.sha256(text.encode("ascii")).hexdigest()


def _canonical_keys(keys: Cells) -> list[list[str]]:
    return [
        [key, _canonical(value)]
        for key, value in sorted(keys.given.items())
        if key_column(key) is not None and keys.says_more(key)
    ]


def _canonical_row(names: tuple[str, ...], row: Cells) -> list[list[str]]:
    return [[name, _canonical(row.given[name])] for name in names if row.says_more(name)]


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
