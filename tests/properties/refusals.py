"""An input is taken or refused with lines that a person can read, and nothing else."""

from __future__ import annotations

from collections.abc import Callable

from planner.core.problems import InputRefusedError, Problem, errors
from planner.model.campaign import Campaign


def outcome(read: Callable[[], tuple[Campaign, list[Problem]]]) -> bool:
    """Return whether an input was refused; look at what came of it either way."""
    try:
        campaign, found = read()
    except InputRefusedError as refused:
        found = list(refused.problems)
        check(found)
        if not errors(found):
            raise AssertionError("refused without an error") from refused
        return True
    check(found)
    assert errors(found) == []
    assert campaign.fingerprint
    return False


def check(found: list[Problem]) -> None:
    """Every problem is one readable line with file, code and advice."""
    for problem in found:
        line = problem.line()
        assert line.isprintable(), line
        assert problem.file
        assert problem.code
        assert problem.row is None or problem.row >= 1
        assert len(line) < 1000, line
