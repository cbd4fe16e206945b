"""Shared resources and needs as text: what is read, and what is told."""

import pytest

from tests.unit.scenario.scenes import TABLES, ZONE, is_error, problems, read, scene

FLOAT = {"resource": "float", "number": "2", "price_day": "120", "why": "spray float"}
RIG = TABLES["rigs"][0]


def only(found, code):
    """Return the one problem of a code."""
    (one,) = [problem for problem in found if problem.code == code]
    return one


def with_needs(text: str, **tables):
    zones = [ZONE | {"needs": text}, ZONE | {"zone": "Z2"}]
    return scene(zones=zones, **({"resources": [FLOAT]} | tables))


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("float", [("float", 1)]),
        ("float:2", [("float", 2)]),
        ("float:1", [("float", 1)]),
        (" float ; boat ", [("float", 1), ("boat", 1)]),
    ],
)
def test_needs_are_names_with_or_without_a_count(text, found):
    boat = {"resource": "boat", "number": "1"}
    made = read(with_needs(text, resources=[FLOAT, boat]))
    assert [(n.resource_id, n.count) for n in made.zones[0].needs] == found
    assert made.zones[1].needs == ()
    assert (made.resources[0].number, made.resources[0].price_day) == (2, 120.0)
    assert made.resources[0].why == "spray float"


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("flaot", "unknown-reference"),
        ("float:3", "need-above-number"),
        ("float:0", "not-whole"),
        ("float:1.5", "not-whole"),
        ("float:two", "not-whole"),
        ("float;float:2", "duplicate-item"),
    ],
)
def test_a_need_that_cannot_be_is_told_with_its_cell(text, code):
    found = only(problems(with_needs(text)), code)
    assert (found.file, found.row, found.column) == ("zones.csv", 2, "needs")
    assert is_error(found)


def test_the_message_of_too_great_a_need_says_what_would_be_right():
    assert only(problems(with_needs("float:3")), "need-above-number").message == (
        'it takes 3 of "float", but there are only 2, so it could never be worked; '
        "lower the count, or raise number in resources.csv"
    )


def test_needs_without_a_table_of_resources_are_told_once():
    rigs = [RIG | {"needs": "float"}]
    found = problems(with_needs("float", resources=None, rigs=rigs))
    assert [(one.file, one.row, one.column) for one in found] == [
        ("zones.csv", 2, "needs"),
        ("rigs.csv", 2, "needs"),
    ]
    assert {one.code for one in found} == {"missing-table"}


@pytest.mark.parametrize(
    ("change", "column", "code"),
    [
        ({"number": "0"}, "number", "out-of-range"),
        ({"number": ""}, "number", "missing-value"),
        ({"number": "1.5"}, "number", "not-whole"),
        ({"price_day": "-1"}, "price_day", "out-of-range"),
        ({"resource": "flo:at"}, "resource", "bad-identifier"),
    ],
)
def test_a_resource_that_is_wrong_is_told(change, column, code):
    found = only(problems(with_needs("", resources=[FLOAT | change])), code)
    assert (found.file, found.row, found.column) == ("resources.csv", 2, column)
    assert is_error(found)


def test_a_resource_that_nothing_takes_draws_a_warning():
    found = only(problems(with_needs("")), "resource-not-used")
    assert not is_error(found)
    assert (found.file, found.row, found.column) == ("resources.csv", 2, "resource")


def test_needs_stand_in_all_four_tables():
    need = {"needs": "float"}
    made = read(
        scene(
            zones=[ZONE | need, ZONE | {"zone": "Z2"}],
            positions=[TABLES["positions"][0] | need],
            rigs=[RIG | need],
            crews=[TABLES["crews"][0] | need],
            resources=[FLOAT],
        )
    )
    owners = (
        made.zones[0],
        made.positions[0],
        made.rigs[0],
        made.crews[0],
    )
    assert [owner.needs[0].resource_id for owner in owners] == ["float"] * 4
