"""Where the problems of an input are gathered while it is read."""

from __future__ import annotations

from collections.abc import Sequence

from planner.core.problems import InputRefusedError, Problem, Severity, errors

PROBLEMS_MAX = 20_000
"""More problems than this are counted, not listed."""


_NAME_MAX = 200


def _one_line(text: str, most: int | None = None) -> str:
    flat = " ".join(text.split())
    return "".join(char if char.isprintable() else "?" for char in flat)[:most]


class Findings:
    """A growing list of problems.

    Parameters
    ----------
    order
        Names of files or sheets in the order in which they are reported.
    """

    def __init__(self, order: Sequence[str] = ()) -> None:
        self._order = {name: place for place, name in enumerate(order)}
        self._problems: dict[Problem, None] = {}
        self._unlisted = 0

    def error(
        self, code: str, message: str, *, file: str, row: int | None = None, column: str = ""
    ) -> None:
        """Note something for which the input is refused."""
        self._note(Severity.ERROR, code, message, file=file, row=row, column=column)

    def warn(
        self, code: str, message: str, *, file: str, row: int | None = None, column: str = ""
    ) -> None:
        """Note something odd but possible."""
        self._note(Severity.WARNING, code, message, file=file, row=row, column=column)

    def _note(
        self,
        severity: Severity,
        code: str,
        message: str,
        *,
        file: str,
        row: int | None,
        column: str,
    ) -> None:
        # Names and cells come from outside and may hold what no terminal should be sent.
        self._add(
            Problem(
                file=_one_line(file, _NAME_MAX),
                row=row,
                column=_one_line(column, _NAME_MAX),
                message=_one_line(message),
                code=code,
                severity=severity,
            )
        )

    def _add(self, problem: Problem) -> None:
        if len(self._problems) < PROBLEMS_MAX or problem.severity is Severity.ERROR:
            self._problems[problem] = None  # the same thing is said once
        else:
            self._unlisted += 1

    def has_errors(self) -> bool:
        """Return whether the input must be refused."""
        return any(problem.severity is Severity.ERROR for problem in self._problems)

    def refused_files(self) -> frozenset[str]:
        """Return the names of the files or sheets with errors so far."""
        return frozenset(
            problem.file for problem in self._problems if problem.severity is Severity.ERROR
        )

    def problems(self) -> list[Problem]:
        """Return every problem, in file and row order."""
        found = sorted(self._problems, key=self._place)
        if len(found) > PROBLEMS_MAX or self._unlisted:
            found = self._shortened(found)
        return found

    def _shortened(self, found: list[Problem]) -> list[Problem]:
        listed = [*errors(found), *(p for p in found if p.severity is Severity.WARNING)]
        listed = sorted(listed[:PROBLEMS_MAX], key=self._place)
        more = len(found) - len(listed) + self._unlisted
        last = Problem(
            file=listed[-1].file,
            message=f"{more} more problems are not listed; mend these first",
            code="more-problems",
            severity=listed[-1].severity,
        )
        return [*listed, last]

    def raise_errors(self) -> None:
        """Refuse the input when there is an error.

        Raises
        ------
        InputRefusedError
            With every problem found, warnings included.
        """
        if self.has_errors():
            raise InputRefusedError(self.problems())

    def _place(self, problem: Problem) -> tuple[int, str, int]:
        last = len(self._order)
        return self._order.get(problem.file, last), problem.file, problem.row or 0
