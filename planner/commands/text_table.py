"""Tables for reading on a terminal: columns side by side, long cells over several lines."""

from __future__ import annotations

import shutil
import sys
import textwrap
import unicodedata
from collections.abc import Iterable, Sequence

from planner.commands.console import number, write_lines, write_rows

GAP = "  "
WORD_MAX = 24
"""Longer words are broken where the table is too wide; shorter ones never are."""
DECIMALS = 2


def is_readable(*, asked: bool) -> bool:
    """Return whether a table is shown for people: where it was asked for, or on a terminal."""
    return asked or sys.stdout.isatty()


def show_rows(heading: Sequence[str], rows: Iterable[Sequence[object]], *, as_table: bool) -> None:
    """Write rows to standard output, as a table for reading or as CSV.

    Parameters
    ----------
    heading
        Names of the columns.
    rows
        Cells; None is written as nothing.
    as_table
        For reading; else CSV.
    """
    if as_table:
        write_lines(text_table(heading, rows, width=terminal_width()))
    else:
        write_rows(heading, (["" if cell is None else cell for cell in row] for row in rows))


def terminal_width() -> int:
    """Return how many characters a line of the terminal holds; 100 where there is none."""
    return shutil.get_terminal_size((100, 40)).columns


def text_table(
    heading: Sequence[str], rows: Iterable[Sequence[object]], *, width: int
) -> list[str]:
    """Return the lines of a table; the widest columns are folded until it fits.

    Parameters
    ----------
    width
        Characters of a line; a table of many columns may still be wider.

    Examples
    --------
    >>> rows = [["Z1", 2.25], ["Z10", None]]
    >>> for line in text_table(["zone", "volume_m3"], rows, width=40):
    ...     print(line)
    zone  volume_m3
    ----  ---------
    Z1         2.25
    Z10
    """
    body = [[_shown(cell) for cell in row] for row in rows]
    to_right = [_are_numbers(body, column) for column in range(len(heading))]
    widths = _fitted([*body, list(heading)], width)
    lines = _lines(heading, widths, to_right)
    lines.append(GAP.join("-" * each for each in widths))
    for row in body:
        lines += _lines(row, widths, to_right)
    return lines


def _shown(cell: object) -> str:
    if cell is None:
        return ""
    return number(cell, decimals=DECIMALS) if isinstance(cell, float) else str(cell)


def _are_numbers(body: Sequence[Sequence[str]], column: int) -> bool:
    cells = [row[column] for row in body if row[column]]
    return bool(cells) and all(_is_number(cell) for cell in cells)


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


def _fitted(rows: Sequence[Sequence[str]], width: int) -> list[int]:
    columns = list(zip(*rows, strict=True))
    widths = [max(map(_columns, column)) for column in columns]
    least = [max(_longest_word(cell) for cell in column) for column in columns]
    room = width - len(GAP) * (len(widths) - 1)
    while sum(widths) > room:
        spare = [now - low for now, low in zip(widths, least, strict=True)]
        if max(spare) <= 0:
            break
        widest = max(range(len(widths)), key=lambda at: (spare[at] > 0, widths[at]))
        widths[widest] -= 1
    return widths


def _longest_word(cell: str) -> int:
    return min(WORD_MAX, max((_columns(word) for word in cell.split()), default=1))


def _lines(row: Sequence[str], widths: Sequence[int], to_right: Sequence[bool]) -> list[str]:
    folded = [_folded(cell, width) for cell, width in zip(row, widths, strict=True)]
    height = max(len(cell) for cell in folded)
    lines = []
    for at in range(height):
        parts = [
            _padded(cell[at] if at < len(cell) else "", width, right=right)
            for cell, width, right in zip(folded, widths, to_right, strict=True)
        ]
        lines.append(GAP.join(parts).rstrip())
    return lines


def _folded(cell: str, width: int) -> list[str]:
    return textwrap.wrap(cell, width, break_on_hyphens=False) or [""]


def _padded(text: str, width: int, *, right: bool) -> str:
    blank = " " * max(0, width - _columns(text))
    return blank + text if right else text + blank


def _columns(text: str) -> int:
    """Return how many columns of a terminal a text takes: combining marks none, wide signs two."""
    wide = sum(unicodedata.east_asian_width(char) in "WF" for char in text)
    return len(text) + wide - sum(unicodedata.combining(char) > 0 for char in text)
