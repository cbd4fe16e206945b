"""Every column and key has a heading with its unit, and an explanation."""

import pytest

from planner.reports.column_words import explained, heading, short_rule
from planner.scenario.dictionary import KEY_BY_NAME, KEYS, TABLE_BY_NAME, TABLES

COLUMNS = [
    pytest.param(column, id=f"{table.name}.{column.name}")
    for table in TABLES
    for column in table.columns
]


@pytest.mark.parametrize("column", COLUMNS)
def test_a_number_shows_its_unit_once_and_no_underscore_is_left(column):
    shown = heading(column)
    assert "_" not in shown
    assert shown.count("(") <= 1 or column.unit.count("(")
    if column.unit not in {"", "1"}:
        assert f"({column.unit}" in shown


def test_headings_read_like_words():
    zones, crews = TABLE_BY_NAME["zones"], TABLE_BY_NAME["crews"]
    assert heading(zones.column("water_max_m")) == "Water, at most (m)"
    assert heading(crews.column("rest_min_h")) == "Rest, at least (h)"
    assert heading(zones.column("get_in_min")) == "Get in (min)"
    assert heading(TABLE_BY_NAME["mixes"].column("rebound")) == "Rebound (share)"
    assert heading(KEY_BY_NAME["reach.by"]) == "Hose lengths from"
    assert heading(KEY_BY_NAME["prices.rig_day.*"], "prices.rig_day.R1") == "R1 (money)"


def test_an_explanation_says_meaning_need_limits_and_example():
    told = explained(TABLE_BY_NAME["zones"].column("depth_mm"))
    for part in ("Mean depth", "Needed when volume_m3 is empty", "From 1 to 5000 mm", "`40`"):
        assert part in told


def test_what_an_empty_cell_means_is_said_for_every_key():
    assert all(short_rule(key) for key in KEYS)
    assert short_rule(KEY_BY_NAME["campaign.name"]) == "required"
    assert short_rule(KEY_BY_NAME["rules.get_in_min"]) == "empty: 10 min"
