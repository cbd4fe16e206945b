"""From a grid of cells to a raw table: headings, widths, and text that does not belong."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

from planner.scenario.findings import Findings
from planner.scenario.raw import CELL_MAX, COLUMNS_MAX, ROWS_MAX, RawTable, without_blank_tail

BLANK_ROWS_MAX = 1_100_000
"""Blank rows below a table are passed over as far as this; a spreadsheet has no more."""
_LOWEST_PRINTABLE = 0x20
_DELETE = 0x7F
_LINE_BREAKS = frozenset("\t\n")


def tidy(cell: str) -> str:
    """Return a cell without surrounding blanks and with one kind of line break."""
    return cell.replace("\r\n", "\n").replace("\r", "\n").strip()


def first_control(cell: str) -> str | None:
    """Return the first control character or broken surrogate in a cell, or None."""
    for char in cell:
        code = ord(char)
        if char in _LINE_BREAKS:
            continue
        if code < _LOWEST_PRINTABLE or _DELETE <= code < 0xA0 or 0xD800 <= code < 0xE000:
            return char
        if code in {0xFEFF, 0xFFFE, 0xFFFF}:
            return char
    return None


def shorten(text: str, most: int = 40) -> str:
    """Return a cell for use in a message: on one line, quoted, not too long."""
    flat = " ".join(text.split())
    flat = "".join(char if char.isprintable() else "?" for char in flat)
    return f'"{flat}"' if len(flat) <= most else f'"{flat[: most - 1]}…"'


def table_from(grid: Iterable[Sequence[str]], *, file: str, findings: Findings) -> RawTable:
    """Return a raw table from rows of cells, the first being the heading.

    Parameters
    ----------
    grid
        Rows as text, ragged as they come; blank rows must be there, so that rows count right.
    file
        Name of the file or sheet in problems.
    findings
        Gets what is wrong with the form of the table.
    """
    lines = iter(grid)
    heading = [tidy(cell) for cell in next(lines, ())]
    while heading and not heading[-1]:
        heading.pop()
    if len(heading) > COLUMNS_MAX:
        findings.error(
            "too-many-columns",
            f"{len(heading)} columns; a table has at most {COLUMNS_MAX}",
            file=file,
            row=1,
        )
        return RawTable(columns=())
    _check_heading(heading, file=file, findings=findings)
    rows = _rows(lines, heading=heading, file=file, findings=findings)
    return RawTable(columns=tuple(heading), rows=without_blank_tail(rows))


def _check_heading(heading: list[str], *, file: str, findings: Findings) -> None:
    for place, name in enumerate(heading, start=1):
        if not name:
            findings.error(
                "column-without-name",
                f"column {place} has no name; write one, or remove the column",
                file=file,
                row=1,
            )
        _check_text(name, file=file, row=1, column=name, findings=findings)
    for name, count in Counter(filter(None, heading)).items():
        if count > 1:
            findings.error(
                "duplicate-column",
                f"the column stands {count} times; keep one",
                file=file,
                row=1,
                column=name,
            )


def _rows(
    lines: Iterable[Sequence[str]], *, heading: list[str], file: str, findings: Findings
) -> list[tuple[str, ...]]:
    width = len(heading)
    rows: list[tuple[str, ...]] = []
    for number, line in enumerate(lines, start=2):
        cells = [tidy(cell) for cell in line]
        if number > ROWS_MAX + 1:
            if any(cells):
                findings.error(
                    "too-many-rows",
                    f"more than {ROWS_MAX} rows; split the scenario",
                    file=file,
                    row=number,
                )
                break
            if number > BLANK_ROWS_MAX:
                break
            continue
        if len(cells) > width:
            _check_surplus(cells, width=width, file=file, row=number, findings=findings)
            cells = cells[:width]
        for name, cell in zip(heading, cells, strict=False):
            if not cell.isprintable() or len(cell) > CELL_MAX:
                _check_text(cell, file=file, row=number, column=name, findings=findings)
        rows.append((*cells, *("" for _ in range(width - len(cells)))))
    return rows


def _check_surplus(
    cells: list[str], *, width: int, file: str, row: int, findings: Findings
) -> None:
    surplus = [cell for cell in cells[width:] if cell]
    if surplus:
        findings.error(
            "too-many-cells",
            f"{len(cells)} cells where the heading has {width} (first surplus one:"
            f" {shorten(surplus[0])}); put a text that holds a comma in double quotes, and"
            " write decimals with a point",
            file=file,
            row=row,
        )


def _check_text(cell: str, *, file: str, row: int, column: str, findings: Findings) -> None:
    if len(cell) > CELL_MAX:
        findings.error(
            "cell-too-long",
            f"a cell of {len(cell)} characters; at most {CELL_MAX}",
            file=file,
            row=row,
            column=column,
        )
    control = first_control(cell)
    if control is not None:
        findings.error(
            "control-character",
            f"the cell holds the control character U+{ord(control):04X}; remove it",
            file=file,
            row=row,
            column=column,
        )
