"""Locks written into a scenario's text, and goals put in another order."""

from datetime import date

import pytest

from planner.model.identifiers import Goal
from planner.scenario.tables import read_tables
from planner.workflow.demos import demos
from planner.workflow.editing import look_at
from planner.workflow.loading import load_scenario
from planner.workflow.locks import LockOrder, in_order, with_lock, without_lock


@pytest.fixture(scope="module")
def tables():
    return read_tables(demos()["silo-rings"])


def test_a_lock_is_written_as_a_row_and_taken_out_with_the_table(tables):
    order = LockOrder(
        zone="R01N",
        rigs=("DRY", "WET"),
        first=date(2027, 9, 13),
        last=date(2027, 9, 19),
        why="scaffold",
    )
    made = with_lock(tables, order)
    assert made.tables["locks"].rows == (
        ("R01N", "DRY;WET", "2027-09-13", "2027-09-19", "scaffold"),
    )
    loaded = look_at(made).loaded
    assert loaded is not None
    assert loaded.campaign.locks[0].rigs == ("DRY", "WET")
    assert "locks" not in without_lock(made, "R01N").tables


def test_a_second_lock_of_a_zone_replaces_the_first(tables):
    first = with_lock(tables, LockOrder(zone="R01N", rigs=("DRY",)))
    second = with_lock(first, LockOrder(zone="R01N", positions=("Yard",)))
    assert len(second.tables["locks"].rows) == 1
    loaded = look_at(second).loaded
    assert loaded is not None
    assert (loaded.campaign.locks[0].rigs, loaded.campaign.locks[0].positions) == ((), ("Yard",))


def test_another_lock_leaves_the_first_alone(tables):
    both = with_lock(
        with_lock(tables, LockOrder(zone="R01N", rigs=("DRY",))),
        LockOrder(zone="R01S", rigs=("WET",)),
    )
    left = without_lock(both, "R01N")
    assert [row[0] for row in left.tables["locks"].rows] == ["R01S"]
    assert without_lock(left, "R02N") is left


def test_only_a_tie_is_a_lock():
    assert not LockOrder(zone="Z1", why="because").ties
    assert LockOrder(zone="Z1", last=date(2027, 9, 19)).ties


def test_goals_are_put_in_another_order_and_the_scenario_stays_the_same():
    loaded = load_scenario(demos()["silo-rings"])
    other = in_order(loaded, (Goal.COST, Goal.FINISH), (0.1,))
    assert other.campaign.goals == (Goal.COST, Goal.FINISH)
    assert other.campaign.may_worsen == (0.1,)
    assert other.campaign.fingerprint == loaded.campaign.fingerprint
    with pytest.raises(ValueError, match="need 1 numbers, got 0"):
        in_order(loaded, (Goal.COST, Goal.FINISH), ())
