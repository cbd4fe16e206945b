"""The machine catalogue is whole, consistent, and agrees with common practice."""

from itertools import pairwise
from typing import Any

import pytest

from planner.model.identifiers import Process
from planner.model.machine import UNITS, Span, Trait
from planner.model.machines import MACHINE_BY_ID, MACHINES, RIG_COLUMNS, type_defaults
from planner.model.sourced import Trust
from planner.scenario.dictionary.people import RIGS

ASKED_FOR = {
    "dry-single-chamber",
    "dry-double-chamber",
    "dry-rotary-barrel",
    "dry-rotary-bowl",
    "wet-piston",
    "wet-squeeze",
    "wet-worm",
    "wet-pneumatic",
    "wet-boom",
}
OF_EVERY_KIND = set(Trait) - {Trait.RISE_FACTOR, Trait.BEND}
machine_cases = pytest.mark.parametrize("machine", MACHINES, ids=lambda each: each.type_id)


def span(**changes):
    fields: dict[str, Any] = {
        "trait": Trait.RATE,
        "usual": 3.0,
        "trust": Trust.PRACTICE,
        "source": "said",
    }
    return Span(**(fields | changes))


def test_the_nine_generic_kinds_of_the_trade_are_there():
    assert set(MACHINE_BY_ID) == ASKED_FOR
    assert len(MACHINES) == len(ASKED_FOR)


@machine_cases
def test_every_kind_tells_every_trait_once_each_with_a_source(machine):
    traits = [each.trait for each in machine.spans]
    assert len(traits) == len(set(traits))
    wanted = OF_EVERY_KIND | (
        {Trait.RISE_FACTOR, Trait.BEND} if machine.process is Process.WET else set()
    )
    assert set(traits) == wanted
    assert all(each.source and each.trust is not Trust.GIVEN for each in machine.spans)
    assert machine.type_id.startswith(f"{machine.process}-")
    assert machine.how.endswith(".")
    assert machine.intermittent_source


@machine_cases
def test_a_value_from_memory_says_so_in_its_source(machine):
    for each in machine.spans:
        assert each.trust is not Trust.MEMORY or "from memory" in each.source, each.trait


@machine_cases
def test_what_a_kind_gives_lies_within_the_limits_of_the_columns_and_is_not_odd(machine):
    for name, usual in type_defaults(machine.type_id).items():
        column = RIGS.column(name)
        assert column.low is None or usual >= column.low
        assert column.high is None or usual <= column.high
        assert column.odd_low is None or usual >= column.odd_low
        assert column.odd_high is None or usual <= column.odd_high


def test_every_trait_ends_in_its_unit_and_every_column_that_it_fills_exists():
    assert set(UNITS) == set(Trait)
    assert set(RIG_COLUMNS) <= set(RIGS.column_names)


def test_a_kind_gives_no_value_that_sets_the_length_of_a_spell():
    contract = {"nozzle_on", "rate_free_m", "rate_loss_per_100m", "move_min_per_100m"}
    assert not contract & set(RIG_COLUMNS)


@pytest.mark.parametrize(
    ("low", "high", "words", "misses"),
    [
        (1.0, 5.0, "1 to 5 m³/h", {0.9, 5.1}),
        (None, 5.0, "at most 5 m³/h", {5.1}),
        (1.0, None, "at least 1 m³/h", {0.9}),
        (None, None, "about 3 m³/h", set()),
    ],
)
def test_a_range_says_its_ends_and_what_misses_them(low, high, words, misses):
    one = span(low=low, high=high)
    assert one.words() == words
    assert {value for value in (0.9, 1.0, 5.0, 5.1) if one.misses(value)} == misses


@pytest.mark.parametrize("changes", [{"low": 4.0}, {"high": 2.0}, {"usual": -1.0}])
def test_a_range_that_does_not_hold_its_usual_value_is_refused(changes):
    with pytest.raises(ValueError, match="does not hold"):
        span(**changes)


def test_a_trait_that_is_not_told_has_no_usual_value():
    assert MACHINE_BY_ID["dry-rotary-bowl"].usual(Trait.BEND) is None
    assert MACHINE_BY_ID["dry-rotary-bowl"].span(Trait.BEND) is None


def test_longer_lines_go_with_better_guns():
    order = ("dry-rotary-bowl", "dry-single-chamber", "dry-rotary-barrel", "dry-double-chamber")
    spans: list[Any] = [MACHINE_BY_ID[name].span(Trait.LEVEL) for name in order]
    reach = [each.high for each in spans]
    assert all(one < other for one, other in pairwise(reach))
