"""A result that is typed is read as strictly as one in a file."""

import pytest

from planner.scenario.raw import RawTable
from planner.workflow.editing import look_at
from planner.workflow.result_entry import entered
from tests.unit.scenario.scenes import scene

GOOD = {"test": "PRE/A/dry/overhead", "date": "2027-04-08", "values": " 38.2; 41 ", "met": ""}


def test_a_good_row_is_added_at_the_end():
    once = entered(scene(), GOOD).tables
    assert once is not None
    twice = entered(once, GOOD | {"date": "2027-04-09", "note": "again"}).tables
    assert twice is not None
    loaded = look_at(twice).loaded
    assert loaded is not None
    assert [one.values_mpa for one in loaded.campaign.results] == [(38.2, 41.0), (38.2, 41.0)]
    assert loaded.campaign.results[1].note == "again"


@pytest.mark.parametrize(
    ("change", "column"),
    [
        ({"date": "8 April"}, "date"),
        ({"date": ""}, "date"),
        ({"values": "38,2"}, "values"),
        ({"values": "38 MPa"}, "values"),
        ({"values": ""}, "values"),
        ({"values": "-3"}, "values"),
    ],
)
def test_a_wrong_row_is_refused_and_its_column_named(change, column):
    entry = entered(scene(), GOOD | change)
    assert entry.tables is None
    assert column in {problem.column for problem in entry.problems}


def test_faults_elsewhere_do_not_keep_a_good_row_out():
    wrong = scene(results=[{"test": "X", "date": "never", "values": "3"}])
    entry = entered(wrong, GOOD)
    assert entry.tables is not None
    assert isinstance(entry.tables.tables["results"], RawTable)
    assert len(entry.tables.tables["results"].rows) == 2


def test_an_odd_value_is_told_and_kept():
    entry = entered(scene(), GOOD | {"values": "380"})
    assert entry.tables is not None
    assert [problem.column for problem in entry.problems] == ["values"]
