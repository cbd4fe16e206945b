"""campaign.toml as dotted keys and text, and back."""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Iterator, Mapping
from datetime import date, datetime, time

from planner.scenario.dictionary import KEY_BY_NAME, KEYS, PRICE_OWNERS, Kind, key_column
from planner.scenario.findings import Findings

TOML_BYTES_MAX = 1_000_000
"""Most bytes of campaign.toml."""

_ERROR_PLACE = re.compile(r"\s*\(at (?:line (\d+), column (\d+)|end of document)\)$")
_HEADER = re.compile(r"^\s*\[([^\[\]]+)\]\s*(?:#.*)?$")
_ASSIGNMENT = re.compile(r"^\s*((?:[A-Za-z0-9_\-.\s]|\"[^\"]*\"|'[^']*')+?)\s*=")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_TOML_WHOLE = re.compile(r"-?[1-9][0-9]{0,17}|0")
_TOML_FLOAT = re.compile(r"[+-]?(?:0|[1-9][0-9]*)(?:\.[0-9]+(?:[eE][+-]?[0-9]+)?|[eE][+-]?[0-9]+)")
_TOML_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_BITS_MAX = 4000


def read_campaign_toml(text: str, *, file: str, findings: Findings) -> dict[str, str]:
    """Return the dotted keys of campaign.toml and the text of their values.

    Lists become items with ``;`` between them, as in the campaign sheet of a workbook.
    """
    try:
        # Floats stay as they were written, so that nothing is lost on writing.
        document = tomllib.loads(text, parse_float=lambda number: number.replace("_", ""))
    except RecursionError:
        findings.error("toml-broken", "nested too deeply; write plain keys", file=file)
        return {}
    except ValueError as error:  # also whole numbers of more than 4300 digits
        _note_syntax(str(error), text, file=file, findings=findings)
        return {}
    entries: dict[str, str] = {}
    lines = toml_lines(text)
    for key, value in _flat(document):
        row = lines.get(key)
        if key in entries:
            findings.error(
                "duplicate-key", "the key is given twice; keep one", file=file, row=row, column=key
            )
            continue
        written = _value_text(value)
        if written is None:
            findings.error(
                "nested-list",
                "the list holds lists or tables; write plain items",
                file=file,
                row=row,
                column=key,
            )
            continue
        entries[key] = written
    return entries


def _note_syntax(message: str, text: str, *, file: str, findings: Findings) -> None:
    place = _ERROR_PLACE.search(message)
    row = None
    if place:
        row = int(place.group(1)) if place.group(1) else max(1, len(text.splitlines()))
    said = _ERROR_PLACE.sub("", message)
    where = f" (character {place.group(2)} of the line)" if place and place.group(2) else ""
    findings.error(
        "toml-broken",
        f"not a TOML file: {said}{where}; texts stand in double quotes, lists in [ ], and a key"
        " is given once",
        file=file,
        row=row,
    )


def _flat(document: Mapping[str, object], prefix: str = "") -> Iterator[tuple[str, object]]:
    for key, value in document.items():
        dotted = f"{prefix}{key}"
        if isinstance(value, dict):
            yield from _flat(value, f"{dotted}.")
        else:
            yield dotted, value


def _value_text(value: object) -> str | None:
    if isinstance(value, list):
        items = [_scalar_text(item) for item in value]
        return None if None in items else ";".join(item for item in items if item is not None)
    return _scalar_text(value)


def _scalar_text(value: object) -> str | None:
    if isinstance(value, str):
        return value.replace("\r\n", "\n").strip()
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int):
        return str(value) if value.bit_length() < _BITS_MAX else "a number of over 1000 digits"
    if isinstance(value, datetime | date | time):
        return value.isoformat()
    return None


def toml_lines(text: str) -> dict[str, int]:
    """Return the line of each dotted key, as far as a plain look at the lines can tell."""
    lines: dict[str, int] = {}
    section = ""
    for number, line in enumerate(text.splitlines(), start=1):
        header = _HEADER.match(line)
        if header:
            section = f"{_plain_key(header.group(1))}."
            continue
        assignment = _ASSIGNMENT.match(line)
        if assignment:
            lines.setdefault(section + _plain_key(assignment.group(1)), number)
    return lines


def _plain_key(key: str) -> str:
    parts = re.findall(r"\"([^\"]*)\"|'([^']*)'|([A-Za-z0-9_-]+)", key)
    return ".".join(next((text for text in part if text), "") for part in parts)


def campaign_toml(entries: Mapping[str, str]) -> str:
    """Return campaign.toml for dotted keys and text; reading it gives the same entries."""
    sections = {key.rpartition(".")[0] for key in KEY_BY_NAME} | set(PRICE_OWNERS)
    sections |= {section.partition(".")[0] for section in sections}
    # A key that bears the name of a section cannot stand beside it; dotted names in quotes can.
    is_nested = not sections & set(entries)
    grouped: dict[str, list[str]] = {"": []}
    for section in _section_order():
        grouped[section] = []
    for key in sorted(entries, key=_key_order):
        section = _section(key) if is_nested else ""
        leaf = key[len(section) + 1 :] if section else key
        name = leaf if _BARE_KEY.fullmatch(leaf) else _quoted(leaf)
        grouped[section].append(f"{name} = {_literal(key, entries[key])}")
    blocks = [
        "\n".join([f"[{section}]", *lines] if section else lines)
        for section, lines in grouped.items()
        if lines
    ]
    return "\n\n".join(blocks) + ("\n" if blocks else "")


def _section_order() -> list[str]:
    return list(dict.fromkeys(_section(key.name) for key in KEYS))


def _key_order(key: str) -> tuple[int, str]:
    column = key_column(key)
    return (KEYS.index(column), key) if column else (len(KEYS), key)


def _section(key: str) -> str:
    for group in PRICE_OWNERS:
        if key.startswith(f"{group}."):
            return group
    return key.partition(".")[0] if key in KEY_BY_NAME else ""


def _literal(key: str, text: str) -> str:
    column = key_column(key)
    if column is None:
        return _quoted(text)
    if column.kind in {Kind.CHOICES, Kind.NUMBERS, Kind.IDENTIFIERS, Kind.DATES}:
        items = text.split(";")
        if text and all(item and item == item.strip() for item in items):
            return f"[{', '.join(_scalar(column.kind, item) for item in items)}]"
        return _quoted(text)
    return _scalar(column.kind, text)


def _scalar(kind: Kind, text: str) -> str:
    is_number = _TOML_WHOLE.fullmatch(text) or _TOML_FLOAT.fullmatch(text)
    if kind in {Kind.NUMBER, Kind.NUMBERS, Kind.WHOLE} and is_number:
        return text
    if kind in {Kind.DATE, Kind.DATES} and _TOML_DATE.fullmatch(text) and _is_date(text):
        return text
    return _quoted(text)


def _is_date(text: str) -> bool:
    try:
        date.fromisoformat(text)
    except ValueError:
        return False
    return True


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
