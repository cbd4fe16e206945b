"""The data dictionary agrees with itself and with the contract."""

import re

import pytest

from planner.scenario.dictionary import (
    KEY_BY_NAME,
    KEYS,
    PRICE_OWNERS,
    TABLE_BY_NAME,
    TABLES,
    WATER_TABLES,
    Kind,
    Need,
    key_column,
)
from planner.scenario.draft import default_value
from planner.scenario.values import oddity, parse

COLUMNS = [(table.name, column) for table in TABLES for column in table.columns] + [
    ("campaign", column) for column in KEYS
]
IDS = [f"{table}.{column.name}" for table, column in COLUMNS]

CONTRACT = {
    "zones": "zone x_m y_m z_m area_m2 depth_mm volume_m3 orientation water_max_m water_min_m"
    " wets_at_m mixes joint_allowed after ready_from due priority get_in_min get_out_min section"
    " chainage_m clock_from clock_to broken_out",
    "positions": "position x_m y_m z_m processes rigs_max set_up_cost water_min_m water_max_m",
    "routes": "from to length_m rise_m bends",
    "waypoints": "waypoint x_m y_m z_m",
    "rigs": "rig process mixes hose_max_m rise_max_m rise_factor bend_m rate_m3_h nozzle_on"
    " rate_free_m rate_loss_per_100m start_up_min clean_up_min idle_max_min move_min"
    " move_min_per_100m at from to",
    "crews": "crew kind processes orientations shift rate_m3_h duty_max_h rest_min_h week_max_h"
    " from to",
    "shifts": "shift days start end",
    "closures": "scope id from to days start end why",
    "apart": "zone_a zone_b kind why",
    "open_limits": "group zones open_max why",
    "mixes": "mix process orientation rebound layer_max_mm layer_gap_min_h layer_gap_max_h"
    " protect_h rate_factor finish_min_m2",
    "constituents": "name amplitude_m phase_deg",
    "highlow": "time level_m kind",
    "levels": "time level_m section",
    "sewer": "section diameter_m slope manning_n mean_flow_m3_s velocity_max_m_s"
    " depth_velocity_max_m2_s",
    "sewer_pattern": "hour weekday weekend section month",
    "progress": "zone layer done_m3 left_m3 at rig crew position",
}
"""Tables and columns as the contract lists them."""

ADDED = {
    "sewer_flow": "section time flow_m3_s",
    "sewer_season": "month factor section",
    "flow_control": "section from to flow_factor price_day",
}
"""Tables that the contract does not list; all of them may be left out."""

DEFAULTS = {
    "campaign.goal": ("finish", "relocations", "cost"),
    "water.datum_m": 0.0,
    "water.mean_level_m": 0.0,
    "water.high_shift_min": 0.0,
    "water.low_shift_min": 0.0,
    "water.range_factor": 1.0,
    "water.allowance_m": 0.0,
    "water.allowance_low_m": None,
    "rules.window_min_min": 45.0,
    "rules.get_in_min": 10.0,
    "rules.get_out_min": 10.0,
    "rules.zone_change_min": 10.0,
    "rules.spell_min_min": 15.0,
    "rules.overbreak": 0.10,
    "rules.waste": 0.03,
    "rules.relocation_shift": None,
    "rules.prepare_min_h": 0.0,
    "rules.panel_days": 0.0,
    "rules.panel_min": 60.0,
    "rules.strength_hold_h": 0.0,
    "rules.max_open_days": None,
    "reach.by": "routes",
    "reach.slack": 1.15,
    "prices.day": 0.0,
}
"""Keys and defaults as the contract lists them."""


@pytest.mark.parametrize("name", CONTRACT)
def test_every_column_of_the_contract_is_described_in_its_order(name):
    # Tables and columns may be added to those of the contract, never renamed or taken away.
    listed = CONTRACT[name].split()
    described = TABLE_BY_NAME[name].column_names
    assert [column for column in described if column in listed] == listed


@pytest.mark.parametrize("key", DEFAULTS)
def test_a_key_has_the_default_of_the_contract(key):
    assert default_value(KEY_BY_NAME[key]) == DEFAULTS[key]


def test_no_name_is_described_twice():
    assert len(KEY_BY_NAME) == len(KEYS)
    assert len(TABLE_BY_NAME) == len(TABLES)
    for table in TABLES:
        assert len(set(table.column_names)) == len(table.columns)


@pytest.mark.parametrize(("table", "column"), COLUMNS, ids=IDS)
def test_the_example_of_a_column_is_right_and_not_odd(table, column):
    assert column.example or column.choices, f"{table}.{column.name} has no example"
    if column.example:
        assert oddity(column, parse(column, column.example)) is None


@pytest.mark.parametrize("column", [column for _, column in COLUMNS], ids=IDS)
def test_a_default_is_right_and_not_odd(column):
    value = default_value(column)
    assert value is None or oddity(column, value) is None


@pytest.mark.parametrize(("table", "column"), COLUMNS, ids=IDS)
def test_a_column_says_what_it_means_and_what_empty_means(table, column):
    assert column.meaning.endswith(".")
    assert column.source
    is_told = column.default or column.default_meaning or column.need is not Need.NEVER
    is_plain = column.kind in {Kind.TEXT, Kind.IDENTIFIER} or column.name.endswith("_m")
    assert is_told or is_plain, f"{table}.{column.name}: what does an empty cell mean?"


@pytest.mark.parametrize(("table", "column"), COLUMNS, ids=IDS)
def test_limits_are_nested_and_units_stand_in_the_name(table, column):
    limits = [column.low, column.odd_low, column.odd_high, column.high]
    given = [limit for limit in limits if limit is not None]
    assert given == sorted(given)
    suffixes: dict[str, str | tuple[str, ...]] = {
        "m²": "_m2",
        "mm": "_mm",
        "m³/h": "_m3_h",
        "min": "_min",
        "h": ("_h", "hour"),
    }
    ending = suffixes.get(column.unit)
    if ending is not None and column.kind in {Kind.NUMBER, Kind.WHOLE}:
        name = re.sub(r"_per_100m$", "", column.name)
        assert name.endswith(ending), f"{table}.{column.name} is in {column.unit}"


def test_references_and_keys_name_tables_and_columns_that_exist():
    for table in TABLES:
        assert set(table.key) <= set(table.column_names)
        for column in table.columns:
            assert set(column.refers) <= set(TABLE_BY_NAME)
    assert set(PRICE_OWNERS.values()) - {"process"} <= set(TABLE_BY_NAME)
    assert {name for names in WATER_TABLES.values() for name in names} <= set(TABLE_BY_NAME)
    assert set(WATER_TABLES) == set(KEY_BY_NAME["water.kind"].choices)


def test_an_unknown_column_is_a_mistake_in_the_program():
    with pytest.raises(KeyError, match="no column wood"):
        TABLE_BY_NAME["zones"].column("wood")


def test_a_price_of_any_rig_is_a_key_but_a_price_of_no_rig_is_not():
    assert key_column("prices.rig_day.R.1") is KEY_BY_NAME["prices.rig_day.*"]
    assert key_column("prices.day") is KEY_BY_NAME["prices.day"]
    assert key_column("prices.rig_day") is None
    assert key_column("prices.rig_day.") is None
    assert key_column("prices.wood.R1") is None
