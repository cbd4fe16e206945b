"""The finish as it was told, plan by plan."""

from pathlib import Path

from planner.reports.figures.told_finish import told_finish
from planner.site.issued import Issue
from tests import builders as make

DAY = 24 * 60


def issue(number, finish=None, forecast=None, low=None, high=None):
    def when(minute):
        return None if minute is None else make.clock().local(minute)

    return Issue(
        number=number,
        issued_at=make.clock().local(number * DAY),
        by="Ann",
        note="",
        scenario_sha256="",
        plan_sha256="",
        finish=when(finish),
        planned_m3=1.0,
        status="feasible",
        forecast=when(forecast),
        forecast_low=when(low),
        forecast_high=when(high),
        folder=Path("none"),
    )


def test_each_issue_is_a_row_with_finish_forecast_and_interval():
    figure = told_finish(
        [issue(1, 8 * DAY), issue(2, 9 * DAY, 10 * DAY, 9 * DAY, 12 * DAY), issue(3, 9 * DAY)]
    )
    bar, forecasts, finishes = figure.data
    assert list(finishes.y) == [
        "1 · issued Tue 3 Mar 2026",
        "2 · issued Wed 4 Mar 2026",
        "3 · issued Thu 5 Mar 2026",
    ]
    assert [moment.day for moment in finishes.x] == [10, 11, 11]
    assert [moment and moment.day for moment in forecasts.x] == [None, 12, None]
    assert [moment.day for moment in bar.x] == [11, 14]


def test_an_interval_that_leaves_the_campaign_is_cut_at_the_forecast():
    (bar, _, _) = told_finish([issue(1, 8 * DAY, 10 * DAY, 9 * DAY)]).data
    assert [moment.day for moment in bar.x] == [11, 12]


def test_a_plan_without_a_spell_has_no_row():
    assert list(told_finish([issue(1)]).data[-1].y) == []
