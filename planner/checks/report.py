"""Violations as lines for people."""

from __future__ import annotations

from collections.abc import Iterable

from planner.checks.violation import Violation


def line(violation: Violation) -> str:
    """Return one violation as ``FILE:ROW:: rule N: sentence``.

    Examples
    --------
    >>> line(Violation(rule="4", table="runs.csv", row=2, message="Too short.", amount=3.0))
    'runs.csv:2:: rule 4: Too short.'
    """
    row = "" if violation.row is None else str(violation.row)
    name = f"rule {violation.rule}" if violation.rule.isdigit() else violation.rule
    text = " ".join(violation.message.split())
    return f"{violation.table}:{row}:: {name}: {text}"


def lines(violations: Iterable[Violation]) -> list[str]:
    """Return every violation as one line, in the order given."""
    return [line(violation) for violation in violations]
