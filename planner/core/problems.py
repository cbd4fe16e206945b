"""What is wrong with an input, where, and what would be right."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum


class Severity(StrEnum):
    """Whether a problem stops the work or only asks for a look."""

    ERROR = "error"
    WARNING = "warning"


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """One thing that is wrong or odd in an input.

    Attributes
    ----------
    file
        Name of the file (or sheet) as the user knows it.
    row
        Row as a spreadsheet counts it, the heading being row 1; None where it does not apply.
    column
        Name of the column or dotted key; empty where it does not apply.
    message
        What is wrong, with value and limit, and what would be right.
    code
        Stable kebab-case identifier that tests and pages key on.
    severity
        Error: the input is refused.  Warning: odd but possible, work goes on.
    """

    file: str
    row: int | None = None
    column: str = ""
    message: str
    code: str
    severity: Severity = Severity.ERROR

    def line(self) -> str:
        """Return the problem as one line, ``FILE:ROW:COLUMN: message``."""
        row = "" if self.row is None else str(self.row)
        text = " ".join(self.message.split())
        mark = "warning: " if self.severity is Severity.WARNING else ""
        return f"{self.file}:{row}:{self.column}: {mark}{text}"


class InputRefusedError(Exception):
    """An input that cannot be worked with; carries every problem found.

    Parameters
    ----------
    problems
        All problems of the input, warnings included, in file and row order.
    """

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(problem.line() for problem in self.problems))


def errors(problems: Iterable[Problem]) -> list[Problem]:
    """Return the problems that refuse an input."""
    return [problem for problem in problems if problem.severity is Severity.ERROR]
