"""Changes written into a file of keys with as much of it as can be left as it is.

Comments, order and spacing are people's own; only the lines of changed keys are touched.  What
cannot be done line by line is not done at all, so that the caller writes the file anew.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from planner.scenario.campaign_file import read_campaign_toml, toml_lines
from planner.scenario.findings import Findings

_SECTION = re.compile(r"^\s*\[([^\[\]]+)\]\s*(?:#.*)?$")
_VALUE = re.compile(
    r"^(?P<key>[^=]+=\s*)(?P<value>\"(?:[^\"\\]|\\.)*\"|'[^']*'|\[[^\]#\"']*\]"
    r"|\[(?:\s*\"(?:[^\"\\]|\\.)*\"\s*,?)*\s*\]|[^#\s\"'\[][^#]*?)(?P<rest>\s*(?:#.*)?)$"
)


def patched(
    text: str, entries: Mapping[str, str], write: Callable[[Mapping[str, str]], str]
) -> str | None:
    """Return a file of keys with other values, its comments kept, or None where that fails.

    Parameters
    ----------
    text
        The file as it is.
    entries
        Every key and value that it is to have.
    write
        Writes entries as a file; gives the form of a single new line.
    """
    before = _read(text)
    if before is None:
        return None
    lines = _with_changes(text, before, entries, write)
    if lines is None:
        return None
    for key in entries:
        if key not in before:
            _insert(lines, key, entries[key], write)
    result = "\n".join(lines) + "\n"
    return result if _read(result) == dict(entries) else None


def _with_changes(
    text: str,
    before: Mapping[str, str],
    entries: Mapping[str, str],
    write: Callable[[Mapping[str, str]], str],
) -> list[str] | None:
    """Return the lines with changed values, those of keys taken out left out."""
    lines = text.splitlines()
    places = toml_lines(text)
    gone: set[int] = set()
    for key in [key for key, old in before.items() if entries.get(key, "") != old]:
        place = places.get(key)
        if place is None:
            return None
        if key not in entries:
            gone.add(place - 1)
        elif not _replace(lines, place - 1, key, entries[key], write):
            return None
    return [line for number, line in enumerate(lines) if number not in gone]


def _read(text: str) -> dict[str, str] | None:
    findings = Findings()
    entries = read_campaign_toml(text, file="", findings=findings)
    return None if findings.has_errors() else entries


def _literal(key: str, text: str, write: Callable[[Mapping[str, str]], str]) -> tuple[str, str]:
    """Return the section and the line that a key has in a file written anew."""
    section, line = "", ""
    for one in write({key: text}).splitlines():
        found = _SECTION.match(one)
        if found:
            section = found.group(1).strip()
        elif one.strip():
            line = one
    return section, line


def _replace(
    lines: list[str],
    place: int,
    key: str,
    text: str,
    write: Callable[[Mapping[str, str]], str],
) -> bool:
    old = _VALUE.match(lines[place])
    _, fresh = _literal(key, text, write)
    new = _VALUE.match(fresh)
    if old is None or new is None:
        return False
    lines[place] = old.group("key") + new.group("value") + old.group("rest")
    return True


def _insert(
    lines: list[str], key: str, text: str, write: Callable[[Mapping[str, str]], str]
) -> None:
    section, line = _literal(key, text, write)
    at = _end_of(lines, section)
    if at is None:
        lines += ["", f"[{section}]", line]
    else:
        lines.insert(at, line)


def _end_of(lines: list[str], section: str) -> int | None:
    """Return where a further line of a section belongs; None where there is no such section."""
    inside = section == ""
    last = 0 if inside else None
    for number, line in enumerate(lines):
        found = _SECTION.match(line)
        if found:
            inside = re.sub(r"\s", "", found.group(1)) == section
            last = number + 1 if inside else last
        elif inside and line.strip() and not line.lstrip().startswith("#"):
            last = number + 1
    return last
