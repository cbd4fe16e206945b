"""Arguments: what is taken, and the one line that refuses the rest."""

from pathlib import Path

import pytest

from planner.commands.arguments import parsed, parser
from planner.commands.console import RefusedError
from planner.model.identifiers import Goal


def _parsed(*words: str):
    return parsed(parser(program="ebbwork", version="0"), words)


def _refusal(*words: str) -> str:
    with pytest.raises(RefusedError) as refused:
        _parsed(*words)
    return str(refused.value)


def test_plan_takes_a_minute_two_workers_and_seed_1_unless_told_otherwise() -> None:
    found = _parsed("plan", "site")
    assert (found.scenario, found.out) == (Path("site"), None)
    assert (found.seconds, found.workers, found.seed, found.goal) == (60.0, 2, 1, None)


def test_plan_takes_all_its_options() -> None:
    found = _parsed(
        *("plan", "a b", "--out", "p", "--seconds", "1.5"),
        *("--workers", "2", "--seed", "7", "--goal", "cost, late"),
    )
    assert (found.out, found.seconds, found.workers, found.seed) == (Path("p"), 1.5, 2, 7)
    assert found.goal == (Goal.COST, Goal.LATE)


@pytest.mark.parametrize("text", ["0", "-1", "nan", "inf", "a", "", "1e999"])
def test_seconds_that_are_no_time_are_refused(text: str) -> None:
    assert "write seconds above 0, for example 60" in _refusal("plan", "s", f"--seconds={text}")


@pytest.mark.parametrize("option", ["--workers=0", "--workers=x", "--workers=1.5", "--seed=-1"])
def test_counts_that_are_no_whole_numbers_are_refused(option: str) -> None:
    assert "is no whole number from" in _refusal("plan", "s", option)


def test_a_seed_that_the_solver_cannot_hold_is_refused() -> None:
    assert _parsed("plan", "s", "--seed=2147483647").seed == 2**31 - 1
    assert "2147483648" in _refusal("plan", "s", "--seed=2147483648")


def test_an_unknown_goal_is_refused_with_the_nearest_one() -> None:
    refusal = _refusal("plan", "s", "--goal=finish,costs")
    assert "there is no goal 'costs'" in refusal
    assert 'did you mean "cost"?' in refusal


def test_a_goal_named_twice_or_none_at_all_is_refused() -> None:
    assert "stands twice" in _refusal("plan", "s", "--goal=cost,cost")
    assert "names no goal" in _refusal("plan", "s", "--goal=,")


def test_a_misspelt_option_is_refused_with_the_nearest_one() -> None:
    assert 'did you mean "--seconds"?' in _refusal("plan", "s", "--secnds", "3")


def test_a_missing_scenario_is_refused_by_name() -> None:
    assert "SCENARIO" in _refusal("reach")


def test_every_refusal_is_one_line() -> None:
    for words in (["plan"], ["plan", "s", "--seed", "x"], ["--nothing"], ["windows", "s", "t"]):
        assert "\n" not in _refusal(*words)
