"""prices.toml: from its text to rates, with a problem for each key that is not right; and back."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping

from planner.model.price_book import PriceBook
from planner.scenario.cell_error import CellError
from planner.scenario.dictionary.column import Column
from planner.scenario.dictionary.price_book import (
    BOOK_KEYS,
    BOOK_OWNERS,
    PRICE_BOOK,
    book_column,
)
from planner.scenario.draft import Draft
from planner.scenario.findings import Findings
from planner.scenario.raw import Tables
from planner.scenario.suggest import did_you_mean
from planner.scenario.values import number_of, oddity, parse

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_LITERAL = re.compile(r"(?:0|[1-9][0-9]{0,17})(?:\.[0-9]+)?")
_PROCESSES = ("dry", "wet")


def price_book_of(tables: Tables) -> PriceBook:
    """Return the rates of a scenario whose price book holds no errors."""
    rates = {
        column.name: number
        for column in BOOK_KEYS
        if column.default and (number := number_of(column.default))
    }
    written = [key for key, text in tables.book.items() if text and book_column(key) is not None]
    rates.update({key: number_of(tables.book[key]) or 0.0 for key in written})
    return PriceBook(rates=rates, written=tuple(written))


def check_price_book(draft: Draft, findings: Findings) -> None:
    """Note every key of the price book that is unknown, names nobody, or is no rate."""
    tables = draft.raw
    file = tables.label(PRICE_BOOK)
    for key, text in tables.book.items():
        row = tables.book_lines.get(key)
        column = book_column(key)
        if column is None:
            known = [_shown(name) for name in (column.name for column in BOOK_KEYS)]
            findings.error(
                "unknown-key",
                f"there is no such rate{did_you_mean(key, known)}; further items are written"
                " under extra.fixed, extra.day, extra.relocation, extra.m2 or extra.m3",
                file=file,
                row=row,
                column=key,
            )
            continue
        if text:
            _check_rate(column, text, findings=findings, file=file, row=row, key=key)
        _check_name(key, draft, findings=findings, file=file, row=row)


def _check_rate(
    column: Column, text: str, *, findings: Findings, file: str, row: int | None, key: str
) -> None:
    try:
        value = parse(column, text)
    except CellError as error:
        findings.error(error.code, str(error), file=file, row=row, column=key)
        return
    odd = oddity(column, value)
    if odd:
        findings.warn("odd-value", odd, file=file, row=row, column=key)


def _check_name(key: str, draft: Draft, *, findings: Findings, file: str, row: int | None) -> None:
    group = _group(key)
    owner = BOOK_OWNERS.get(group, "")
    if not owner or (owner != "process" and not draft.is_whole(owner)):
        return
    known: Iterable[str] = _PROCESSES if owner == "process" else draft.ids(owner)
    name = key[len(group) + 1 :]
    if name not in known:
        what = "a process" if owner == "process" else f"in {draft.label(owner)}"
        findings.error(
            "unknown-name",
            f"{name} is not {what}{did_you_mean(name, known)}",
            file=file,
            row=row,
            column=key,
        )


def _group(key: str) -> str:
    """Return the group of names that a key belongs to, or its first part."""
    for group in BOOK_OWNERS:
        if key.startswith(f"{group}."):
            return group
    return key.partition(".")[0]


def _shown(name: str) -> str:
    return name.replace(".*", ".NAME")


def price_book_toml(entries: Mapping[str, str]) -> str:
    """Return prices.toml for dotted keys and text; reading it gives the same entries."""
    groups: dict[str, list[tuple[str, str]]] = {}
    for key, text in entries.items():
        groups.setdefault(_group(key) if book_column(key) else "", []).append((key, text))
    # A key that bears the name of a section cannot stand beside it; dotted names in quotes can.
    parts = {group[:at] for group in groups for at in _ends(group)}
    if parts & set(entries):
        return "".join(f"{_quoted(key)} = {_literal(text)}\n" for key, text in entries.items())
    order = sorted(groups, key=lambda group: (group != "", _place(group)))
    return "\n".join(_section(group, groups[group]) for group in order)


def _ends(group: str) -> list[int]:
    return [at for at, char in enumerate(group) if char == "."] + [len(group)]


def _place(group: str) -> tuple[int, str]:
    names = [column.name for column in BOOK_KEYS]
    at = next((n for n, name in enumerate(names) if name.startswith(f"{group}.")), len(names))
    return at, group


def _section(group: str, entries: list[tuple[str, str]]) -> str:
    lines = [f"[{group}]"] if group else []
    for key, text in entries:
        leaf = key[len(group) + 1 :] if group else key
        name = leaf if _BARE.fullmatch(leaf) else _quoted(leaf)
        lines.append(f"{name} = {_literal(text)}")
    return "\n".join(lines) + "\n"


def _literal(text: str) -> str:
    return text if _LITERAL.fullmatch(text) else _quoted(text)


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
