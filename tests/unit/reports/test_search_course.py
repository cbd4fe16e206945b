"""The chart of a search."""

import pytest

from planner.plan.search_log import SearchStep
from planner.reports.figures.search_course import search_course


def step(seconds: float, goal: str, value: float, bound: float) -> SearchStep:
    return SearchStep(seconds=seconds, goal=goal, value=value, bound=bound)


STEPS = (
    step(0.5, "finish", 90.0, 0.0),
    step(2.0, "finish", 85.0, 0.0),
    step(4.0, "finish", 85.0, 85.0),
    step(5.0, "relocations", 3.0, 2.0),
    step(8.0, "relocations", 3.0, 2.0),
)


def test_each_goal_has_a_band_whose_title_says_how_it_ended() -> None:
    titles = [note.text for note in search_course(STEPS).layout.annotations]
    assert titles == ["Finish: 85 h, proven", "Relocations: 3; no plan is below 2"]


def test_a_band_ends_where_the_next_goal_begins() -> None:
    lines = {(line.name, line.yaxis): line for line in search_course(STEPS).data}
    finish = lines["best plan", "y"]
    assert list(finish.x) == [0.5, 2.0, 4.0, 5.0]
    assert list(finish.y) == [90.0, 85.0, 85.0, 85.0]


def test_a_bound_that_says_nothing_yet_is_not_drawn() -> None:
    lines = {(line.name, line.yaxis): line for line in search_course(STEPS).data}
    assert list(lines["proven bound", "y"].y) == [None, None, 85.0, 85.0]
    assert list(lines["proven bound", "y2"].y) == [2.0, 2.0, 2.0]


def test_without_a_search_there_is_nothing_to_draw() -> None:
    with pytest.raises(ValueError, match=r"search\.csv"):
        search_course(())
