"""Effort, time and the voice of a search; every clock here is made up."""

from __future__ import annotations

from planner.core.progress import Progress
from planner.model.identifiers import Goal
from planner.optimise.watch import Budget, Settings, Watch


class Hands:
    """A clock that stands where it is put."""

    def __init__(self) -> None:
        self.at_s = 100.0

    def __call__(self) -> float:
        return self.at_s


def test_a_budget_is_spent_when_as_much_was_used_as_it_has():
    budget = Budget(2.0)
    seen = []
    for effort in (1.5, 0.5, 1.0):
        budget.spend(effort)
        seen.append((budget.left, budget.is_spent))
    assert seen == [(0.5, False), (0.0, True), (0.0, True)]


def test_time_runs_from_the_start_of_the_watch():
    hands = Hands()
    watch = Watch(Settings(seconds=10.0, clock=hands))
    hands.at_s = 104.0
    assert watch.elapsed_s() == 4.0
    assert watch.left_s() == 6.0
    assert not watch.must_stop()
    hands.at_s = 110.0
    assert watch.left_s() == 0.0
    assert watch.must_stop()
    hands.at_s = 115.0
    assert watch.left_s() == 0.0


def test_a_stop_is_remembered():
    answers = iter([False, True, False])
    watch = Watch(Settings(stop=lambda: next(answers), clock=Hands()))
    asked = [(watch.must_stop(), watch.stopped_early) for _ in range(3)]
    assert asked == [(False, False), (True, True), (True, True)]


def test_reports_come_no_more_often_than_twice_a_second():
    hands = Hands()
    heard: list[Progress] = []
    watch = Watch(Settings(clock=hands), heard.append)
    for at_s in (100.0, 100.2, 100.4, 100.6, 100.9, 101.2):
        hands.at_s = at_s
        watch.tell("improving")
    assert [round(report.elapsed_s, 1) for report in heard] == [0.0, 0.6, 1.2]


def test_what_is_new_is_told_at_once_with_goal_best_and_bound():
    hands = Hands()
    heard: list[Progress] = []
    watch = Watch(Settings(clock=hands), heard.append)
    watch.tell("improving")
    watch.tell("improving", goal=Goal.COST, best=12.0, bound=10.0, now=True)
    assert heard[-1] == Progress(
        stage="improving", elapsed_s=0.0, goal="cost", best=12.0, bound=10.0
    )


def test_without_a_listener_nobody_hears():
    Watch(Settings(clock=Hands())).tell("improving", now=True)
