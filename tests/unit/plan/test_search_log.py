"""The course of a search, as it is kept in a plan folder."""

from pathlib import Path
from typing import Any

from planner.core.progress import Progress
from planner.plan.search_log import SEARCH, SearchLog, SearchStep, read_search, search_csv


def report(seconds: float, *, goal: str = "finish", best: float | None, bound: float | None = 0.0):
    return Progress(stage="improving", elapsed_s=seconds, goal=goal, best=best, bound=bound)


def test_only_a_change_of_value_or_bound_makes_a_row() -> None:
    log = SearchLog()
    for seconds, best, bound in ((1, 90.0, 0.0), (2, 90.0, 0.0), (3, 88.0, 0.0), (4, 88.0, 85.0)):
        log(report(seconds, best=best, bound=bound))
    assert [(s.seconds, s.value, s.bound) for s in log.steps] == [
        (1, 90.0, 0.0),
        (3, 88.0, 0.0),
        (4, 88.0, 85.0),
    ]


def test_the_same_figures_of_another_goal_make_a_row() -> None:
    log = SearchLog()
    log(report(1, goal="relocations", best=2.0))
    log(report(2, goal="joints", best=2.0))
    assert [step.goal for step in log.steps] == ["relocations", "joints"]


def test_reports_without_a_goal_or_a_value_make_no_row_but_are_handed_on() -> None:
    heard: list[Any] = []
    log = SearchLog(heard.append)
    log(report(1, goal="", best=3.0))
    log(report(2, best=None))
    assert log.steps == ()
    assert len(heard) == 2


def test_what_is_written_is_read_again(tmp_path: Path) -> None:
    steps = (
        SearchStep(seconds=0.25, goal="finish", value=812.516667, bound=0.0),
        SearchStep(seconds=3.0, goal="relocations", value=2.0, bound=2.0),
    )
    (tmp_path / SEARCH).write_text(search_csv(steps), encoding="utf-8")
    assert read_search(tmp_path) == steps


def test_a_missing_or_damaged_log_gives_what_can_be_read(tmp_path: Path) -> None:
    assert read_search(tmp_path) == ()
    text = "seconds,goal,value,bound\n1,finish,5,4\nsoon,finish,5,4\n2,finish\n"
    (tmp_path / SEARCH).write_text(text, encoding="utf-8")
    assert read_search(tmp_path) == (SearchStep(seconds=1, goal="finish", value=5, bound=4),)
