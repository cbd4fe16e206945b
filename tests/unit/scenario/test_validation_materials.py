"""How mixes are bought, as text: what is read, and what is told."""

import pytest

from planner.model.material import Aggregate, Supply
from tests.unit.scenario.scenes import MIX, is_error, problems, read, scene

DRY = {"mix": "dry"}
WET_MIX = MIX | {"mix": "wet", "process": "wet"}


def told(row, **tables):
    return problems(scene(materials=[DRY | row], **tables))


def test_a_row_is_read_and_what_is_empty_has_no_value():
    row = {"supply": "bulk_bags", "unit_kg": "800", "aggregate": "angular", "stock_min": "6"}
    (made,) = read(scene(materials=[DRY | row])).materials
    assert (made.mix_id, made.supply, made.unit_kg) == ("dry", Supply.BULK_BAGS, 800.0)
    assert (made.aggregate, made.stock_min, made.order_units) == (Aggregate.ANGULAR, 6, 1)
    assert (made.density_kg_m3, made.hose_life_t, made.delivery_days) == (None, None, 7)


def test_without_the_table_there_are_none():
    assert read(scene()).materials == ()


@pytest.mark.parametrize(
    ("row", "column", "code", "error"),
    [
        ({"mix": "dyr"}, "mix", "unknown-reference", True),
        ({"supply": "loads"}, "supply", "supply-of-process", True),
        ({"supply": "sacks"}, "supply", "unknown-word", True),
        ({"unit_kg": "0"}, "unit_kg", "out-of-range", True),
        ({"hose_fill": "40"}, "hose_fill", "out-of-range", True),
        ({"density_kg_m3": "2.3"}, "density_kg_m3", "odd-number", False),
        ({"haul_min": "30"}, "haul_min", "column-not-used", False),
        ({"load_max_m3": "4"}, "load_max_m3", "column-not-used", False),
        ({"unit_m3": "0.012", "dry_kg_m3": "2000"}, "dry_kg_m3", "column-not-used", False),
    ],
)
def test_a_row_that_is_wrong_or_odd_is_told(row, column, code, error):
    (found,) = told(row)
    assert (found.file, found.row, found.column) == ("materials.csv", 2, column)
    assert found.code == code
    assert is_error(found) is error


def test_a_load_that_is_too_old_when_it_flows_is_refused():
    row = {"mix": "wet", "life_min": "45", "haul_min": "40", "wait_min": "10"}
    found = told(row, mixes=[MIX, WET_MIX])
    assert [(one.column, one.code) for one in found] == [("life_min", "too-old")]


def test_bags_columns_are_not_used_for_loads():
    row = {"mix": "wet", "unit_kg": "25", "stock_min": "10"}
    found = told(row, mixes=[MIX, WET_MIX])
    assert {one.column for one in found} == {"unit_kg", "stock_min"}
    assert not any(map(is_error, found))
