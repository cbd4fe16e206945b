"""Changes to a scenario's text, and what the reader says of it."""

from planner.scenario.raw import RawTable, Tables
from planner.scenario.tables import read_tables
from planner.workflow.demos import demos
from planner.workflow.editing import look_at, with_keys, with_row, with_table

SMALL = Tables(
    campaign={"campaign.name": "Trial"},
    tables={"positions": RawTable(columns=("position", "x_m"), rows=(("P1", "0"),))},
)


def test_a_key_is_written_changed_and_taken_out():
    changed = with_keys(SMALL, {"campaign.start": "2027-03-01", "campaign.name": ""})
    assert dict(changed.campaign) == {"campaign.start": "2027-03-01"}


def test_a_row_brings_the_columns_that_it_fills():
    changed = with_row(SMALL, "positions", {"position": "P2", "y_m": "4"}).tables["positions"]
    assert changed.columns == ("position", "x_m", "y_m")
    assert changed.rows == (("P1", "0", ""), ("P2", "", "4"))


def test_a_table_is_put_in_at_its_place_and_taken_out():
    zones = RawTable(columns=("zone",))
    assert list(with_table(SMALL, "zones", zones).tables) == ["zones", "positions"]
    assert not with_table(SMALL, "positions", None).tables


def test_a_whole_scenario_becomes_a_campaign():
    look = look_at(read_tables(demos()["silo-rings"]))
    assert look.loaded is not None
    assert look.wrong == 0
    assert len(look.loaded.campaign.zones) == 56


def test_what_is_wrong_is_counted_and_kept():
    look = look_at(SMALL)
    assert look.loaded is None
    assert look.wrong == sum(problem.severity == "error" for problem in look.problems) > 5
