"""Rows of a list as rows of a table: converted where that is sure, kept where it is not."""

import pytest

from planner.scenario.dictionary import TABLE_BY_NAME
from planner.scenario.raw import RawTable
from planner.scenario.survey.headings import Match
from planner.scenario.survey.takeover import Way, cell_problems, merged, taken_over

ZONES = TABLE_BY_NAME["zones"]


def match(place, target, unit=""):
    return Match(place=place, target=target, unit=unit)


def column(target, *cells, unit="", has_comma=False):
    rows = [[cell] for cell in cells]
    fresh = taken_over(rows, [match(0, target, unit)], ZONES, has_comma=has_comma)
    return [row[0] for row in fresh.rows]


def test_columns_go_where_they_are_sent_and_others_are_left_out():
    fresh = taken_over(
        [["A", "note", "4,5"], ["", "", ""], ["B", "", "7"]],
        [match(2, "depth_mm", "cm"), match(0, "zone"), match(1, "")],
        ZONES,
        has_comma=True,
    )
    assert fresh == RawTable(columns=("depth_mm", "zone"), rows=(("45", "A"), ("70", "B")))


def test_words_people_use_become_ours():
    assert column("orientation", "Soffit", "WALL", "slab", "hull") == [
        "overhead",
        "vertical",
        "floor",
        "hull",
    ]
    assert column("joint_allowed", "Y", "No", "true", "perhaps") == ["yes", "no", "yes", "perhaps"]


def test_lists_get_our_separator():
    assert column("after", "A, B", "C") == ["A;B", "C"]


def test_dates_are_turned_when_the_column_tells_their_order():
    assert column("due", "13/04/2027", "05/04/2027") == ["2027-04-13", "2027-04-05"]
    assert column("due", "04/13/2027", "04/05/2027") == ["2027-04-13", "2027-04-05"]
    assert column("due", "05/04/2027") == ["05/04/2027"]  # April or May: nobody knows
    assert column("due", "31/02/2027") == ["31/02/2027"]


def test_wrong_cells_are_kept_and_told():
    fresh = RawTable(columns=("zone", "depth_mm"), rows=(("A", "ca. 5"), ("B", "40")))
    told = [p for p in cell_problems(fresh, ZONES) if p.column == "depth_mm" and p.row == 2]
    assert [problem.code for problem in told] == ["not-a-number"]


OLD = RawTable(columns=("zone", "area_m2", "due"), rows=(("A", "1", "2027-05-01"), ("B", "2", "")))
FRESH = RawTable(columns=("zone", "depth_mm", "area_m2"), rows=(("B", "40", ""), ("C", "50", "3")))


@pytest.mark.parametrize(
    ("way", "rows"),
    [
        (
            Way.ADD,
            (
                ("A", "1", "2027-05-01", ""),
                ("B", "2", "", ""),
                ("B", "", "", "40"),
                ("C", "3", "", "50"),
            ),
        ),
        (Way.REPLACE, (("B", "", "", "40"), ("C", "3", "", "50"))),
        (
            Way.UPDATE,
            (("A", "1", "2027-05-01", ""), ("B", "2", "", "40"), ("C", "3", "", "50")),
        ),
    ],
)
def test_rows_that_are_there_stay_or_go_as_asked(way, rows):
    result = merged(OLD, FRESH, ZONES, way)
    assert result == RawTable(columns=("zone", "area_m2", "due", "depth_mm"), rows=rows)
