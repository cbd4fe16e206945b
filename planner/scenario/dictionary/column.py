"""How the data dictionary describes a column, a key and a table."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Kind(StrEnum):
    """What the text of a cell stands for."""

    TEXT = "text"
    IDENTIFIER = "identifier"
    IDENTIFIERS = "list of identifiers"
    NEEDS = "list of needs"
    CHOICE = "one of"
    CHOICES = "list of"
    NUMBER = "number"
    NUMBERS = "list of numbers"
    WHOLE = "whole number"
    LEVEL = "number or never"
    FLAG = "yes or no"
    DATE = "date"
    DATES = "list of dates"
    MOMENT = "date or date-time"
    TIME_OF_DAY = "time of day"
    WEEKDAYS = "list of weekdays"
    CLOCK_HOUR = "hour on the clock face"


class Need(StrEnum):
    """Whether a cell must be filled."""

    ALWAYS = "required"
    SOMETIMES = "required in some cases"
    NEVER = "optional"


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column of a table, or one key of campaign.toml.

    Attributes
    ----------
    name
        Column name, or dotted key; ``prices.rig_day.*`` stands for one key for each rig.
    kind
        What the text stands for.
    meaning
        What it says, as a sentence for people.
    unit
        Unit of the number, empty where there is none.
    need, needed_when
        Whether it must be filled; the case in which, in words.
    default
        Text that stands for an empty cell; empty: no default, or a default told by
        ``default_meaning``.
    default_meaning
        What an empty cell means.
    choices
        Words allowed.
    also
        Words that people write instead, each with the word it means; used to suggest it.
    low, high
        Impossible below, or above.
    is_low_open, is_high_open
        The limit itself is impossible, too.
    odd_low, odd_high
        Possible but odd below, or above.
    hint
        What was probably meant by a number outside the limits.
    refers
        Tables whose identifiers may stand here.
    example
        A cell that is right.
    source
        Where default and limits come from.
    """

    name: str
    kind: Kind
    meaning: str
    unit: str = ""
    need: Need = Need.NEVER
    needed_when: str = ""
    default: str = ""
    default_meaning: str = ""
    choices: tuple[str, ...] = ()
    also: tuple[tuple[str, str], ...] = ()
    low: float | None = None
    high: float | None = None
    is_low_open: bool = False
    is_high_open: bool = False
    odd_low: float | None = None
    odd_high: float | None = None
    hint: str = ""
    refers: tuple[str, ...] = ()
    example: str = ""
    source: str = "the scenario contract; limits from common practice"

    @property
    def is_required(self) -> bool:
        """Return whether the cell must be filled in every case."""
        return self.need is Need.ALWAYS

    def advice(self) -> str:
        """Return what would be right, as the end of a sentence."""
        if self.choices:
            return f"write {'one of ' if len(self.choices) > 1 else ''}{', '.join(self.choices)}"
        shown = f", for example {self.example}" if self.example else ""
        if self.kind in _NUMERIC:
            of_what = f" in {self.unit}" if self.unit else ""
            return f"write a plain {_NUMERIC[self.kind]}{of_what}{shown}"
        return f"write {_WORDED.get(self.kind, 'a text')}{shown}"


_NUMERIC = {
    Kind.NUMBER: "number",
    Kind.WHOLE: "whole number",
    Kind.LEVEL: "number (or never)",
    Kind.NUMBERS: "number for each item",
}
_WORDED = {
    Kind.IDENTIFIER: "an identifier",
    Kind.IDENTIFIERS: "identifiers with ; between them",
    Kind.NEEDS: "resources with ; between them, name:2 for two of one",
    Kind.DATE: "a date as YYYY-MM-DD",
    Kind.DATES: "dates as YYYY-MM-DD with ; between them",
    Kind.MOMENT: "a date as YYYY-MM-DD or a date-time as YYYY-MM-DDTHH:MM",
    Kind.TIME_OF_DAY: "a time of day as HH:MM",
    Kind.WEEKDAYS: "weekdays with ; between them",
    Kind.FLAG: "yes or no",
    Kind.CLOCK_HOUR: "an hour on the clock face, 0 to 12, as a number or H:MM",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """One table of the scenario.

    Attributes
    ----------
    name
        Name of the sheet; the file is ``name + ".csv"``.
    title
        What it lists, in a few words.
    columns
        Its columns in the order in which they are written.
    key
        Columns that together tell its rows apart; empty: rows may repeat.
    need, needed_when
        Whether it must be there; the case in which, in words.
    """

    name: str
    title: str
    columns: tuple[Column, ...]
    key: tuple[str, ...] = ()
    need: Need = Need.NEVER
    needed_when: str = ""

    @property
    def column_names(self) -> tuple[str, ...]:
        """Return the names of the columns in order."""
        return tuple(column.name for column in self.columns)

    def column(self, name: str) -> Column:
        """Return a column by name; an unknown one is a mistake in the program."""
        for column in self.columns:
            if column.name == name:
                return column
        msg = f"table {self.name} has no column {name}"
        raise KeyError(msg)
