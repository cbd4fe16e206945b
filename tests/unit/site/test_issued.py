"""Plans as they were issued are kept whole, once, with their scenario."""

import threading
from dataclasses import replace
from datetime import UTC, date, datetime
from typing import Any

import pytest

from planner.core.problems import InputRefusedError
from planner.plan.plan import Plan
from planner.plan.store import write_plan
from planner.scenario.reader import read_scenario
from planner.scenario.tables import read_tables
from planner.site.issued import Told, issue, issue_numbered, issues, read_issue
from planner.site.later import at_clock, between
from tests import builders as make
from tests.unit.commands.conftest import TABLES

AT = datetime(2026, 3, 2, 6, 0, tzinfo=UTC)


@pytest.fixture
def scenario(tmp_path):
    folder = tmp_path / "scenario"
    folder.mkdir()
    for name, text in TABLES.items():
        (folder / name).write_text(text.lstrip(), encoding="utf-8")
    return folder


def planned(scenario, folder, *, start_min=420):
    campaign, _ = read_scenario(scenario)
    fields = {"rig": "R1", "crew": "Ash", "position": "Yard"}
    plan = Plan(
        runs=(make.run(start_min=start_min, end_min=start_min + 90, **fields),),
        spells=(
            make.spell(zone="Near", start_min=start_min + 20, end_min=start_min + 60, **fields),
        ),
    )
    write_plan(folder, campaign, plan, make.proof(), "0")
    return plan


def told(**more):
    fields: dict[str, Any] = {"by": "Ann", "issued_at": AT, "scenario_sha256": "abc"}
    return Told(**(fields | more))


def kept(scenario, tmp_path, **more):
    plan = planned(scenario, tmp_path / "plan", **more)
    row = issue(tmp_path / "issued", tmp_path / "plan", read_tables(scenario), told())
    return plan, row


def test_an_issue_holds_plan_scenario_who_and_when(scenario, tmp_path):
    plan, row = kept(scenario, tmp_path)
    assert (row.number, row.by, row.issued_at, row.scenario_sha256) == (1, "Ann", AT, "abc")
    campaign, again = read_issue(row)
    assert again == plan
    assert campaign.fingerprint == read_scenario(scenario)[0].fingerprint


def test_the_same_plan_twice_in_a_row_is_one_issue(scenario, tmp_path):
    _, first = kept(scenario, tmp_path)
    _, again = kept(scenario, tmp_path)
    assert again == first
    assert len(issues(tmp_path / "issued")) == 1


def test_an_old_issue_stays_readable_when_the_scenario_loses_its_zones(scenario, tmp_path):
    plan, row = kept(scenario, tmp_path)
    (scenario / "zones.csv").write_text(
        "zone,x_m,y_m,z_m,area_m2,depth_mm,orientation\nOther,10,0,0,20,50,vertical\n",
        encoding="utf-8",
    )
    assert read_issue(issue_numbered(tmp_path / "issued", row.number))[1] == plan


def test_the_forecast_of_the_day_is_kept_with_its_offset(scenario, tmp_path):
    planned(scenario, tmp_path / "plan")
    when = make.clock().local(700)
    tables = read_tables(scenario)
    row = issue(tmp_path / "issued", tmp_path / "plan", tables, told(forecast=when))
    assert (row.forecast, row.forecast_high) == (when, None)


def test_two_who_issue_at_once_get_two_numbers(scenario, tmp_path):
    tables = read_tables(scenario)
    for name, start in (("a", 420), ("b", 430)):
        planned(scenario, tmp_path / name, start_min=start)
    faults = []

    def go(name):
        try:
            issue(tmp_path / "issued", tmp_path / name, tables, told())
        except OSError as fault:
            faults.append(fault)

    threads = [threading.Thread(target=go, args=(name,)) for name in "ab"]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert faults == []
    assert [row.number for row in issues(tmp_path / "issued")] == [1, 2]
    assert [path.name for path in sorted((tmp_path / "issued").iterdir())] == ["0001", "0002"]


def test_no_plan_nobody_and_no_such_number_are_refused(scenario, tmp_path):
    tables = read_tables(scenario)
    with pytest.raises(InputRefusedError, match="no plan in this folder"):
        issue(tmp_path / "issued", tmp_path / "none", tables, told())
    planned(scenario, tmp_path / "plan")
    with pytest.raises(InputRefusedError, match="who issues"):
        issue(tmp_path / "issued", tmp_path / "plan", tables, told(by=" "))
    with pytest.raises(InputRefusedError, match="none was issued"):
        issue_numbered(tmp_path / "issued", 1)


def test_a_folder_left_by_a_crash_is_not_an_issue(scenario, tmp_path):
    kept(scenario, tmp_path)
    (tmp_path / "issued" / ".new-x").mkdir()
    (tmp_path / "issued" / "0007").mkdir()
    assert [row.number for row in issues(tmp_path / "issued")] == [1]


def test_a_plan_of_an_earlier_first_day_is_read_by_the_later_clock():
    early, late = make.clock(first_day=date(2026, 2, 28)), make.clock()
    assert between(early, late) == -2 * 24 * 60
    plan = Plan(spells=(make.spell(start_min=2 * 1440 + 390, end_min=2 * 1440 + 456),))
    assert at_clock(plan, early, late).spells == (replace(make.spell(), start_min=390),)
    assert at_clock(plan, late, late) is plan
