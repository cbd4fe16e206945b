"""Settings and price book as forms: one field for each key, and for each rig, crew or mix."""

from planner.scenario.raw import RawTable, Tables
from planner.workflow.key_sheet import PRICES, SETTINGS

TABLES = Tables(
    campaign={"water.kind": "tide", "prices.rig_day.R9": "5", "colour": "red"},
    tables={"rigs": RawTable(columns=("rig",), rows=(("R1",), ("R2",)))},
    book={"extra.day.Toilets": "40", "mobilise.rig.R1": "900"},
)


def test_a_price_has_a_field_for_each_rig_and_for_names_that_are_written():
    keys = SETTINGS.grouped(TABLES)["prices"]
    assert [key for key in keys if key.startswith("prices.rig_day.")] == [
        "prices.rig_day.R1",
        "prices.rig_day.R2",
        "prices.rig_day.R9",
    ]
    assert "prices.load_min_m3.wet" in keys


def test_keys_of_another_kind_of_water_are_left_out_unless_they_are_written():
    assert "water.mean_level_m" in SETTINGS.grouped(TABLES)["water"]
    assert "water.range_factor" not in SETTINGS.grouped(TABLES)["water"]
    written = SETTINGS.changed(TABLES, {"water.range_factor": "1.1"})
    assert "water.range_factor" in SETTINGS.grouped(written)["water"]


def test_keys_that_are_not_known_are_named():
    assert SETTINGS.strangers(TABLES) == ["colour"]
    assert PRICES.strangers(TABLES) == []


def test_the_price_book_is_changed_apart_from_the_settings():
    changed = PRICES.changed(TABLES, {"mobilise.site": "14000", "mobilise.rig.R1": ""})
    assert dict(changed.book) == {"extra.day.Toilets": "40", "mobilise.site": "14000"}
    assert changed.campaign == TABLES.campaign
    assert PRICES.grouped(changed)["extra"] == ["extra.day.Toilets"]
    assert PRICES.content(changed) != PRICES.content(TABLES)
