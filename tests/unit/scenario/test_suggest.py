"""What a misspelt name probably meant."""

import pytest

from planner.scenario.suggest import did_you_mean, is_slip, nearest

COLUMNS = ("zone", "area_m2", "depth_mm", "wets_at_m", "water_max_m", "water_min_m", "mixes")


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("zoen", "zone"),  # two letters swapped
        ("zon", "zone"),  # one too few
        ("zonne", "zone"),  # one too many
        ("zone ", "zone"),
        ("Area m2", "area_m2"),  # another way of writing
        ("water_max", "water_max_m"),
        ("mix", "mixes"),
    ],
)
def test_a_misspelt_column_finds_the_one_it_meant(typed, meant):
    assert nearest(typed, COLUMNS) == meant


def test_a_name_that_is_like_none_finds_none():
    assert nearest("supervisor", COLUMNS) is None
    assert did_you_mean("supervisor", COLUMNS) == ""


def test_a_suggestion_reads_as_the_end_of_a_sentence():
    assert did_you_mean("zoen", COLUMNS) == '; did you mean "zone"?'


@pytest.mark.parametrize(
    ("typed", "known", "expected"),
    [
        ("depth_cm", "depth_mm", True),
        ("mxies", "mixes", True),
        ("water_min_m", "water_max_m", False),  # two letters
        ("area", "area_m2", False),
        ("abcd", "badc", False),  # two swaps
    ],
)
def test_a_slip_is_one_wrong_letter_or_two_swapped_neighbours(typed, known, expected):
    assert is_slip(typed, known) is expected
