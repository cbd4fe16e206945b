"""Rows that cannot be read as a plan."""

import pytest

from planner.plan.plan import Plan, RunKind
from tests.builders import campaign, done, zone
from tests.unit.checks.plans import (
    broken,
    left_out,
    move,
    only,
    piece,
    plan,
    rules,
    run,
    spell,
)


@pytest.mark.parametrize(
    ("made", "table", "row", "word"),
    [
        (plan(spell(), runs=[run(), run(run="2", rig="R9")]), "runs.csv", 3, "'R9'"),
        (plan(spell(), runs=[run(), run(run="2", crew="C9")]), "runs.csv", 3, "'C9'"),
        (plan(spell(), runs=[run(), run(run="2", position="P9")]), "runs.csv", 3, "'P9'"),
        (plan(spell(), runs=[run(), run(run="2", mix="fine")]), "runs.csv", 3, "'fine'"),
        (plan(spell(), relocations=(move(471, 531),)), "relocations.csv", 2, "'P2'"),
        (plan(spell(), break_outs=(piece(400, 460),)), "break_outs.csv", 2, "'B1'"),
        (plan(spell(), unplanned=(left_out("Z9"),)), "unplanned.csv", 2, "'Z9'"),
    ],
)
def test_a_row_names_what_the_scenario_has(made, table, row, word):
    found = [one for one in broken(campaign(), made) if word in one.message]
    assert [(one.rule, one.table, one.row) for one in found] == [("rows", table, row)]
    assert rules(campaign(), made) == {"rows"}


def test_every_column_with_an_id_is_looked_at():
    stray = move(471, 531, rig="R9", crew="C9", from_position="P9", to_position="P8")
    words = " ".join(
        one.message for one in broken(campaign(), plan(spell(), relocations=(stray,)))
    )
    assert all(name in words for name in ("R9", "C9", "P9", "P8"))
    lost = spell(run="7", rig="R9", crew="C9", position="P9", zone="Z9")
    words = " ".join(one.message for one in broken(campaign(), plan(lost, runs=[])))
    assert all(name in words for name in ("'7'", "R9", "C9", "P9", "Z9"))


def test_a_run_id_is_used_once():
    again = plan(spell(), runs=[run(), run(600, 711)])
    found = broken(campaign(), again)
    assert [(one.rule, one.row) for one in found] == [("rows", 3)]
    assert rules(campaign(), plan(spell(run=""), runs=[run(run="")])) == {"rows"}


def test_a_spray_run_has_spells():
    idle = run(600, 700, run="2")
    wrong = only(campaign(), plan(spell(), runs=[run(), idle]))
    assert (wrong.rule, wrong.table, wrong.row) == ("rows", "runs.csv", 3)


def test_a_spell_is_in_a_run_of_its_kind():
    lost = only(campaign(), plan(spell(run="7"), runs=[]))
    assert (lost.rule, lost.table) == ("rows", "spells.csv")
    made = plan(spell(), runs=[run(kind=RunKind.PANEL, orientation="overhead")])
    assert "test panel" in only(campaign(), made).message


@pytest.mark.parametrize("minutes", [0, -5])
def test_a_row_ends_after_it_starts(minutes):
    found = broken(campaign(), plan(spell(minutes=minutes), runs=[run()]))
    assert [(one.rule, one.amount) for one in found] == [("rows", max(1, -minutes))]
    found = broken(campaign(), plan(spell(), runs=[run(), run(400, 400 + minutes, run="2")]))
    assert {one.rule for one in found} == {"rows"}


@pytest.mark.parametrize("volume", [0.0, -1.0, float("nan"), float("inf")])
def test_a_row_has_a_volume(volume):
    assert "volume" in rules(campaign(), plan(spell(volume_m3=volume)))


def test_every_zone_is_planned_or_listed():
    scene = campaign(zones=(zone("Z1"), zone("Z2")))
    wrong = only(scene, plan(spell()))
    assert (wrong.rule, wrong.table, wrong.row) == ("rows", "unplanned.csv", None)
    assert "Z2" in wrong.message
    assert broken(scene, plan(spell(), unplanned=(left_out("Z2"),))) == []


def test_a_zone_is_listed_once_with_a_reason():
    scene = campaign(zones=(zone("Z1"), zone("Z2")))
    twice = plan(spell(), unplanned=(left_out("Z2"), left_out("Z2")))
    assert [(one.rule, one.row) for one in broken(scene, twice)] == [("rows", 3)]
    silent = plan(spell(), unplanned=(left_out("Z2", "  "),))
    assert only(scene, silent).rule == "rows"


def test_a_zone_that_is_complete_is_neither():
    scene = campaign(done=(done(done_m3=2.2),))
    assert broken(scene, Plan()) == []
    wrong = only(scene, plan(unplanned=(left_out("Z1"),)))
    assert (wrong.rule, wrong.table, wrong.row) == ("rows", "unplanned.csv", 2)


def test_an_empty_plan_forgets_every_zone():
    assert [one.rule for one in broken(campaign(), Plan())] == ["rows"]
