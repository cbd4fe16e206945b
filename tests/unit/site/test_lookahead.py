"""The weeks ahead and the months beyond."""

from datetime import date, timedelta

import pytest

from planner.access.windows import Access
from planner.plan import measures
from planner.site.lookahead import Ahead, first_day_of, month_rows, work_rows
from tests import builders as make
from tests.unit.reports.plans import two_rigs, two_rigs_plan

FIRST = date(2026, 3, 2)


def test_two_weeks_are_fourteen_days():
    ahead = Ahead.weeks(FIRST, 2)
    assert ahead.last_day == date(2026, 3, 15)
    assert ahead.holds(FIRST)
    assert not ahead.holds(date(2026, 3, 16))


def test_each_shift_is_told_with_its_work():
    campaign = two_rigs()
    rows = list(work_rows(campaign, two_rigs_plan(), Ahead.weeks(FIRST, 1), Access(campaign)))
    assert [(row.day, row.crew, row.rig) for row in rows] == [
        ("2026-03-02", "C1", "R1"),
        ("2026-03-03", "C1", "R1"),
        ("2026-03-04", "C2", "R2"),
    ]
    first = rows[0]
    assert first.what == (
        "move R1 P1 to P2 13:00; test panel dry overhead; Z1 layer 1 2.20 m³; Z2 layer 1 1.10 m³"
    )
    assert (first.in_place_m3, first.spraying_min) == (3.3, 99)
    assert first.nozzle_m3 == pytest.approx(3.3 * 1.03 / 0.5)


def test_days_outside_the_stretch_are_left_out():
    campaign = two_rigs()
    ahead = Ahead(first_day=FIRST + timedelta(days=1), last_day=FIRST + timedelta(days=1))
    rows = list(work_rows(campaign, two_rigs_plan(), ahead, Access(campaign)))
    assert [row.day for row in rows] == ["2026-03-03"]


def test_the_months_add_up_to_volume_and_cost_of_the_plan():
    campaign, plan = two_rigs(), two_rigs_plan()
    rows = month_rows(campaign, plan, Access(campaign))
    assert sum(row.in_place_m3 for row in rows) == pytest.approx(measures.planned_m3(plan))
    assert sum(row.cost for row in rows) == pytest.approx(measures.cost(campaign, plan), abs=0.05)
    assert {(row.section, row.rig) for row in rows} == {
        ("north", "R1"),
        ("", "R1"),
        ("", "R2"),
        ("panels", "R1"),
    }


def test_beyond_a_day_only_later_runs_count():
    campaign, plan = two_rigs(), two_rigs_plan()
    rows = month_rows(campaign, plan, Access(campaign), after=FIRST)
    assert sum(row.in_place_m3 for row in rows) == pytest.approx(1.1 + 2.2)
    assert month_rows(campaign, plan, Access(campaign), after=date(2026, 3, 10)) == []


def test_nights_count_the_days_on_which_a_run_touches_the_night():
    plan = two_rigs_plan()
    campaign = two_rigs()
    assert all(row.nights == 0 for row in month_rows(campaign, plan, Access(campaign)))


def test_the_first_day_lies_within_the_campaign():
    campaign = make.campaign()
    assert first_day_of(campaign, -500) == FIRST
    assert first_day_of(campaign, 10**9) == date(2026, 3, 15)
