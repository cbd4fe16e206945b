"""How a problem of an input reads, and what a refusal carries."""

import pytest

from planner.core.problems import InputRefusedError, Problem, Severity, errors

WRONG = Problem(file="zones.csv", row=3, column="depth_mm", message="is -5; above 0", code="low")
ODD = Problem(
    file="campaign.toml", message="starts in winter", code="odd", severity=Severity.WARNING
)


def test_a_problem_is_one_line_with_file_row_and_column():
    assert WRONG.line() == "zones.csv:3:depth_mm: is -5; above 0"


def test_where_no_row_applies_its_place_is_left_empty_and_a_warning_says_so():
    assert ODD.line() == "campaign.toml::: warning: starts in winter"


def test_a_message_of_several_lines_becomes_one():
    broken = Problem(file="a.csv", row=2, message="is\n  not   a\tnumber", code="number")
    assert broken.line() == "a.csv:2:: is not a number"


def test_a_refusal_carries_every_problem_warnings_included():
    with pytest.raises(InputRefusedError) as refused:
        raise InputRefusedError([WRONG, ODD])
    assert refused.value.problems == (WRONG, ODD)
    assert str(refused.value).splitlines() == [WRONG.line(), ODD.line()]


def test_only_errors_refuse():
    assert errors([ODD, WRONG]) == [WRONG]
