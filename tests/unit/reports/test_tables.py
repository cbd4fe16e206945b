"""Frames hold every row of the plan once, under headings in words."""

from datetime import datetime

import pytest

from planner.checks.violation import RUNS, Violation
from planner.core.problems import Problem
from planner.plan.plan import Plan
from planner.reports import tables
from tests import builders as make
from tests.unit.reports.plans import two_rigs, two_rigs_plan


def test_spells_stand_in_time_order_with_local_times():
    frame = tables.spells_frame(two_rigs(), two_rigs_plan())
    assert list(frame["Zone"]) == ["Z1", "Z2", "Z2", "Z3"]
    assert frame["Start"][0] == datetime(2026, 3, 2, 6, 30)  # noqa: DTZ001 - the site's wall clock
    assert list(frame["Minutes"]) == [66, 33, 33, 66]


def test_runs_count_their_spells_and_panels_have_none():
    frame = tables.runs_frame(two_rigs(), two_rigs_plan())
    assert dict(zip(frame["Run"], frame["Spells"], strict=True)) == {
        "1": 2,
        "4": 0,
        "2": 1,
        "3": 1,
    }
    assert list(frame["Kind"]) == ["spray", "panel", "spray", "spray"]


def test_a_relocation_without_a_crew_is_the_lifting_gang_s():
    frame = tables.relocations_frame(two_rigs(), Plan(relocations=(make.relocation(crew=None),)))
    assert list(frame["Crew"]) == ["lifting gang"]


def test_every_zone_has_a_row_planned_or_not():
    frame = tables.zones_frame(two_rigs(), two_rigs_plan())
    assert list(frame["Zone"]) == ["Z1", "Z2", "Z3", "north-Z4"]
    assert list(frame["Spells"]) == [1, 2, 1, 0]
    assert frame["Position"][1] == "P1, P2"


def test_rigs_are_summed_up():
    frame = tables.rigs_frame(two_rigs(), two_rigs_plan())
    assert list(frame["Set-ups"]) == [2, 1]
    assert list(frame["In place (m³)"]) == [4.4, 2.2]
    assert list(frame["Spraying (h)"]) == [2.2, 1.1]


def test_cost_lines_are_shares_of_the_whole():
    frame = tables.costs_frame(two_rigs(), two_rigs_plan())
    assert list(frame["Line"]) == ["Site days", "Material"]
    assert frame["Money"][0] == pytest.approx(300.0)  # three civil days at 100
    assert frame["Share (%)"].sum() == pytest.approx(100.0, abs=0.1)


def test_without_prices_there_is_no_cost_line():
    plan = Plan(runs=(make.run(),), spells=(make.spell(),))
    assert len(tables.costs_frame(make.campaign(), plan)) == 0


def test_reasons_problems_and_broken_rules_keep_their_words():
    left_out = tables.unplanned_frame(two_rigs_plan())
    assert list(left_out["What stands in the way"]) == ["No time is left."]
    problem = Problem(file="zones.csv", row=3, column="area_m2", message="wrong", code="x")
    shown = tables.problems_frame([problem])
    assert list(shown.iloc[0]) == ["error", "zones.csv", "3", "area_m2", "wrong"]
    broken = Violation(rule="4", table=RUNS, row=2, message="too short", amount=5.0)
    assert list(tables.violations_frame([broken]).iloc[0]) == ["4", RUNS, "2", "too short", 5.0]
