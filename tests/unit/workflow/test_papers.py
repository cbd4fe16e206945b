"""Papers of a plan as files, with the issues before it."""

from datetime import date

import pytest

from planner.model.identifiers import Goal
from planner.plan.plan import Plan, Status
from planner.plan.store import write_plan
from planner.workflow.issuing import issue_plan
from planner.workflow.loading import load_scenario
from planner.workflow.papers import Order, Papers, plain, proof_of
from planner.workflow.site import Writer
from tests import builders as make
from tests.unit.commands.conftest import TABLES

DAY = 24 * 60


@pytest.fixture
def scenario(tmp_path):
    folder = tmp_path / "scenario"
    folder.mkdir()
    for name, text in TABLES.items():
        (folder / name).write_text(text.lstrip(), encoding="utf-8")
    return folder


def plan(*days):
    """Zones Near and Next, 1.1 m³ each at 1.8 m³/h in 37 min, on two days or on one."""
    common = {"rig": "R1", "crew": "Ash", "position": "Yard"}
    hoses = {"Near": 11.5, "Next": 13.8}
    runs, spells = [], []
    for number, (zone, day) in enumerate(zip(hoses, days, strict=True), start=1):
        start = day * DAY + 420
        runs.append(
            make.run(str(number), start_min=start, end_min=start + 90, mix="dry", **common)
        )
        spells.append(
            make.spell(
                str(number),
                zone=zone,
                start_min=start + 10,
                end_min=start + 10 + 37,
                volume_m3=1.1,
                hose_m=hoses[zone],
                hose_laid_m=hoses[zone],
                **common,
            )
        )
    return Plan(runs=tuple(runs), spells=tuple(spells))


def issued(scenario, made, number):
    """Write and issue a plan; times of spells are those of the built-in mixes."""
    loaded = load_scenario(scenario)
    folder = scenario / "plan"
    write_plan(folder, loaded.campaign, made, make.proof(), "0")
    writer = Writer(by="Ann", at=loaded.campaign.clock.local(number), token="")
    done = issue_plan(scenario, loaded, folder, writer, note="")
    assert done.issue.number == number
    return Papers.of_folder(scenario, loaded.campaign, folder)


def test_names_of_files_hold_only_what_every_disk_takes():
    assert plain("Crew Ä/1 (north)") == "Crew-A-1-north"
    assert plain("лес") == "x"


def test_what_a_summary_says_is_proven_is_read_and_new_goals_are_passed_over():
    proof = proof_of(
        {"status": "optimal", "planned_m3_bound": 2, "bound": {"finish": 8.5, "beauty": 1}}
    )
    assert proof.status is Status.OPTIMAL
    assert proof.bound == {Goal.FINISH: 8.5}
    assert proof_of({}).bound == {}


def test_orders_choose_crew_and_days(scenario, monkeypatch):
    monkeypatch.setattr("planner.workflow.issuing.check_folder", unchecked)
    papers = issued(scenario, plan(0, 1), 1)
    names = [name for name, _ in papers.files(Order(first_day=date(2026, 3, 3), weeks=False))]
    assert names == ["shift-2026-03-03-Ash-day.pdf", "cautions-Ash.pdf"]
    assert [name for name, _ in papers.files(Order(crew="Nobody"))] == []
    assert papers.crews == ("Ash",)


def test_a_shift_that_falls_away_with_the_next_issue_is_cancelled_in_the_calendar(
    scenario, monkeypatch
):
    monkeypatch.setattr("planner.workflow.issuing.check_folder", unchecked)
    first = issued(scenario, plan(0, 1), 1).calendar("Ash").decode()
    second = issued(scenario, plan(0, 2), 2).calendar("Ash").decode()
    assert first.count("STATUS:CONFIRMED") == 2
    assert second.count("STATUS:CONFIRMED") == 2
    assert second.count("STATUS:CANCELLED") == 1
    assert second.count("SEQUENCE:2") == 3
    cancelled = second.split("BEGIN:VEVENT")[3]
    assert "20260303T070000Z" in cancelled


def test_shifts_worked_before_the_plan_begins_are_not_cancelled(scenario, monkeypatch):
    monkeypatch.setattr("planner.workflow.issuing.check_folder", unchecked)
    issued(scenario, plan(0, 1), 1)
    (scenario / "progress.csv").write_text(
        "zone,layer,done_m3,at\nNear,1,1.1,2026-03-02T08:00\n", encoding="utf-8"
    )
    rest = Plan(runs=plan(0, 2).runs[1:], spells=plan(0, 2).spells[1:])
    text = issued(scenario, rest, 2).calendar("Ash").decode()
    # Monday was worked; Tuesday fell away; Wednesday is new
    assert (text.count("STATUS:CONFIRMED"), text.count("STATUS:CANCELLED")) == (1, 1)


def unchecked(loaded, folder):
    """These plans are about papers, not about rules."""
    from planner.plan.store import read_plan
    from planner.workflow.checking import Checked

    read, summary = read_plan(folder, loaded.campaign)
    return Checked(plan=read, summary=summary, violations=(), same_scenario=True)
