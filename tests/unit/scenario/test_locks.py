"""locks.csv: read, refused, kept by the planner and asked for by the auditor."""

from dataclasses import replace

import pytest

from planner.checks.check import check_plan
from planner.core.problems import InputRefusedError
from planner.model.identifiers import PositionId, RigId, ZoneId
from planner.model.limits import ClosureScope
from planner.model.lock import Lock
from planner.optimise.engine import Settings, optimise
from planner.plan.plan import Plan
from planner.scenario.reader import read_scenario
from planner.workflow.demos import copy_demo
from tests import builders as make

QUICK = Settings(seed=1, workers=1, seconds=30.0, effort=0.002)


@pytest.fixture
def folder(tmp_path):
    target = tmp_path / "scenario"
    copy_demo("silo-rings", target)
    return target


def locked(folder, *rows):
    lines = ["zone,rigs,positions,from,to,why", *rows]
    (folder / "locks.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    return read_scenario(folder)


def problems(folder, *rows):
    with pytest.raises(InputRefusedError) as refused:
        locked(folder, *rows)
    return [problem.line() for problem in refused.value.problems]


def test_a_lock_is_read_and_its_days_become_closures_of_the_zone(folder):
    campaign, odd = locked(folder, "R01N,WET,Yard,2027-09-10,2027-09-12,scaffold")
    assert not odd
    day = 24 * 60
    assert campaign.locks == (
        Lock(
            zone_id=ZoneId("R01N"),
            rigs=(RigId("WET"),),
            positions=(PositionId("Yard"),),
            from_min=4 * day,
            to_min=7 * day,
            why="scaffold",
        ),
    )
    shut = [row for row in campaign.closures if row.scope is ClosureScope.ZONE]
    assert [(row.from_min, row.to_min) for row in shut] == [
        (0, 4 * day),
        (7 * day, campaign.clock.horizon_min),
    ]
    assert shut[0].why == "locked, not before Fri 10 Sep 00:00: scaffold"


def test_a_scenario_without_locks_has_none(folder):
    campaign, _ = read_scenario(folder)
    assert campaign.locks == ()
    assert not [row for row in campaign.closures if row.why.startswith("locked")]


def test_unknown_names_and_days_without_time_are_refused(folder):
    found = problems(
        folder,
        "R01X,WET,,,,",
        "R01N,WTE,Yrad,,,",
        "R01S,,,2027-10-10,,",
        "R01S,,,2027-09-12,2027-09-10,",
    )
    text = "\n".join(found)
    assert 'locks.csv:2:zone: "R01X" is not in zones.csv' in text
    assert 'locks.csv:3:rigs: "WTE" is not in rigs.csv' in text
    assert 'locks.csv:3:positions: "Yrad" is not in positions.csv' in text
    assert "locks.csv:4:from: no time of the campaign lies between from and to" in text
    assert 'locks.csv:5:zone: "R01S" stands in row 4 already' in text


def test_a_lock_that_ties_nothing_is_odd(folder):
    _, odd = locked(folder, "R01N,,,,,")
    assert [problem.code for problem in odd] == ["lock-without-effect"]


def test_the_auditor_asks_for_the_rig_and_the_position():
    lock = Lock(zone_id=ZoneId("Z1"), rigs=(RigId("R2"),), positions=(PositionId("P2"),))
    campaign = make.campaign(
        rigs=(make.rig(), make.rig("R2")),
        positions=(make.position(), make.position("P2")),
        locks=(lock,),
    )
    plan = Plan(runs=(make.run(),), spells=(make.spell(),))
    found = check_plan(campaign, plan, None)
    assert [row.rule for row in found] == ["17", "17"]
    assert found[0].message == "Zone Z1 is locked to rig R2 and is sprayed with rig R1."
    assert not check_plan(replace(campaign, locks=()), plan, None)


@pytest.mark.solver
@pytest.mark.parametrize(
    ("rig", "position"), [("R1", "P1"), ("R1", "P2"), ("R2", "P1"), ("R2", "P2")]
)
def test_the_planner_keeps_a_lock(rig, position):
    lock = Lock(zone_id=ZoneId("Z1"), rigs=(RigId(rig),), positions=(PositionId(position),))
    campaign = make.campaign(
        rigs=(make.rig(rate_m3_h=10.0), make.rig("R2")),
        positions=(make.position(rigs_max=2), make.position("P2", x_m=5.0)),
        locks=(lock,),
    )
    plan, _ = optimise(campaign, settings=QUICK, listener=lambda _: None)
    assert {(spell.rig, spell.position) for spell in plan.spells} == {(rig, position)}
    assert not check_plan(campaign, plan, None)


@pytest.mark.solver
def test_a_lock_that_nothing_reaches_leaves_the_zone_out_and_says_why():
    far = make.position("P2", x_m=500.0)
    lock = Lock(zone_id=ZoneId("Z1"), positions=(PositionId("P2"),))
    campaign = make.campaign(positions=(make.position(), far), locks=(lock,))
    plan, _ = optimise(campaign, settings=QUICK, listener=lambda _: None)
    assert not plan.spells
    assert plan.unplanned[0].reason == (
        "It is locked to position P2 (locks.csv), and that does not reach or spray it."
    )
