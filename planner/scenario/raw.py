"""A scenario as text: what the files say, without loss and without judgement."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from planner.scenario.dictionary import CAMPAIGN, TABLES
from planner.scenario.dictionary.price_book import PRICE_BOOK

ROWS_MAX = 200_000
"""Most rows of one table."""
CELL_MAX = 10_000
"""Most characters of one cell."""
COLUMNS_MAX = 500
"""Most columns of one table."""
BYTES_MAX = 100_000_000
"""Most bytes of one table file, or of a workbook unpacked."""


class Form(StrEnum):
    """In which form a scenario lies on the disk."""

    FOLDER = "folder"
    WORKBOOK = "workbook"


@dataclass(frozen=True, slots=True, kw_only=True)
class RawTable:
    """One table as text.

    Attributes
    ----------
    columns
        Column names, in file order, stripped of surrounding blanks.
    rows
        Rows of cells, as many as there are columns; blank rows inside are kept, those at the
        end are not.
    """

    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...] = ()

    def __post_init__(self) -> None:
        width = len(self.columns)
        for cells in self.rows:
            if len(cells) != width:
                msg = f"a row of {len(cells)} cells in a table of {width} columns"
                raise ValueError(msg)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tables:
    """A whole scenario as text.

    Attributes
    ----------
    campaign
        Dotted key and text of every entry of campaign.toml or the campaign sheet.
    tables
        Tables by name, without ``.csv``.
    form
        Where it came from; decides only how problems name files.
    lines
        Row of each key in its file or sheet, for problems only.
    book
        Dotted key and text of every entry of prices.toml or the sheet ``prices``.
    book_lines
        Row of each key of it, for problems only.
    """

    campaign: Mapping[str, str]
    tables: Mapping[str, RawTable]
    form: Form = field(default=Form.FOLDER, compare=False)
    lines: Mapping[str, int] = field(default_factory=dict, compare=False)
    book: Mapping[str, str] = field(default_factory=dict)
    book_lines: Mapping[str, int] = field(default_factory=dict, compare=False)

    def label(self, name: str) -> str:
        """Return how a problem names a table, or the campaign's keys."""
        return label(name, self.form)

    def labels(self) -> tuple[str, ...]:
        """Return the names of files or sheets in the order of reporting."""
        return labels(self.form)


def label(name: str, form: Form) -> str:
    """Return the file name of a table in a folder, or its sheet in a workbook."""
    if form is Form.WORKBOOK:
        return name
    return f"{name}.toml" if name in {CAMPAIGN, PRICE_BOOK} else f"{name}.csv"


def labels(form: Form) -> tuple[str, ...]:
    """Return the names of all files or sheets in the order of reporting."""
    return tuple(label(name, form) for name in _names())


def _names() -> tuple[str, ...]:
    return (CAMPAIGN, *(table.name for table in TABLES), PRICE_BOOK)


def without_blank_tail(rows: list[tuple[str, ...]]) -> tuple[tuple[str, ...], ...]:
    """Return rows without the blank ones at the end."""
    end = len(rows)
    while end and not any(cell.strip() for cell in rows[end - 1]):
        end -= 1
    return tuple(rows[:end])
