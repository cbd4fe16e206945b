"""What is shot stays, falls or is trimmed off; bags, loads and hoses follow from it."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.model.identifiers import MixId, Process
from planner.model.material import Aggregate, Material, Supply
from planner.model.sourced import Trust
from planner.trade import material
from planner.trade.material_factors import factors_of
from planner.trade.material_stock import deliveries
from tests import builders as make

MIX = MixId("dry")


def factors(process: Process = Process.DRY, **changes: Any):
    scene = make.campaign(
        mixes=(make.mix(process=process),), materials=(Material(mix_id=MIX, **changes),)
    )
    return factors_of(scene, MIX)


@given(
    placed=st.floats(0.001, 100.0),
    rebound=st.floats(0.0, 0.9),
    waste=st.floats(0.0, 0.5),
)
def test_what_is_shot_stays_falls_or_is_trimmed_off(placed, rebound, waste):
    shot = material.shot_of(placed_m3=placed, rebound=rebound, waste=waste)
    parts = shot.placed_m3 + shot.rebound_m3 + shot.waste_m3
    assert parts == pytest.approx(shot.shot_m3)
    assert shot.rebound_m3 == pytest.approx(rebound * shot.shot_m3)


def test_rebound_and_trimmings_are_collected_by_mass():
    shot = material.shot_of(placed_m3=1.0, rebound=0.5, waste=0.1)
    # 2.2 m³ shot: 1.1 fall and 0.1 are trimmed off, of 2300 kg/m³
    assert material.collected_kg(shot, factors()) == pytest.approx(1.2 * 2300)


@pytest.mark.parametrize(
    ("process", "supply", "kg"),
    [
        (Process.DRY, None, 2050.0),
        (Process.DRY, Supply.BULK_BAGS, 2050.0),
        (Process.WET, Supply.BAGS, 2050.0),
        (Process.WET, None, 2300.0),
    ],
)
def test_bags_count_dry_mass_and_loads_what_is_delivered(process, supply, kg):
    assert material.material_kg(1.0, factors(process, supply=supply)) == pytest.approx(kg)


def test_a_stop_as_long_as_the_life_keeps_what_is_opened_and_a_longer_one_loses_it():
    spells = [(0, 10), (70, 80), (141, 150)]
    assert material.stretches(spells, 60.0) == [(0, 2), (2, 3)]
    assert material.stretches(spells, 61.0) == [(0, 3)]
    assert material.stretches(spells[:1], 0.0) == [(0, 1)]


@pytest.mark.parametrize(
    ("rate", "life", "most"),
    [(5.0, 90.0, 5.0), (12.0, 90.0, 6.0), (5.0, 30.0, 0.0), (5.0, 20.0, 0.0)],
)
def test_a_load_is_no_larger_than_its_life_or_the_truck(rate, life, most):
    loads = factors(Process.WET, life_min=life, haul_min=20.0, wait_min=10.0, load_max_m3=6.0)
    assert material.batch_m3(rate, loads) == pytest.approx(most)


@pytest.mark.parametrize(
    ("bought", "most", "step", "loads"),
    [(6.0, 3.0, 0.0, 2), (6.0, 2.9, 0.5, 3), (6.0, 0.4, 0.5, None), (6.0, 0.0, 0.0, None)],
)
def test_loads_come_in_whole_steps(bought, most, step, loads):
    assert material.loads_of(bought, most, step) == loads


@pytest.mark.parametrize(("shape", "tonnes"), [(Aggregate.ROUNDED, 20), (Aggregate.ANGULAR, 1.5)])
def test_angular_grains_wear_a_hose_out_fast(shape, tonnes):
    assert material.hose_share(3.0, factors(aggregate=shape)) == pytest.approx(3.0 / tonnes)


def test_a_given_number_is_used_and_says_where_it_comes_from():
    given_ = factors(unit_kg=30.0, unit_m3=0.013, source="maker's sheet")
    assert given_.value("unit_kg") == 30.0
    assert given_.value("dry_kg_m3") == pytest.approx(30.0 / 0.013)
    assert given_["unit_kg"].trust is Trust.GIVEN
    assert given_["unit_kg"].source == "materials.csv: maker's sheet"
    assert given_["dry_kg_m3"].trust is Trust.GIVEN


def test_every_default_has_a_unit_and_a_source():
    for process in Process:
        for supply in Supply:
            found = factors(process, supply=supply)
            for factor in found.by_name.values():
                assert factor.unit, factor
                assert factor.source, factor


def test_what_is_from_memory_says_so():
    found = factors(Process.WET)
    remembered = {name for name, one in found.by_name.items() if one.trust is Trust.MEMORY}
    assert {"haul_min", "wait_min", "load_max_m3", "dry_kg_m3"} <= remembered


# stock ----------------------------------------------------------------------------------------


def row(**changes: Any) -> Material:
    return Material(mix_id=MIX, **changes)


def test_each_delivery_brings_what_is_used_until_the_next():
    found = deliveries({1: 100, 8: 30, 9: 20}, row())
    assert [(one.first_day, one.delivered, one.used, one.left) for one in found] == [
        (0, 100, 100, 0),
        (7, 50, 50, 0),
    ]


def test_the_least_stock_stays_and_orders_are_whole_pallets():
    found = deliveries({1: 100, 8: 30}, row(stock_min=25, order_units=40))
    # 125 wanted: 4 pallets of 40; 60 left; 30 used and 25 kept need 55: nothing comes
    assert [(one.delivered, one.left) for one in found] == [(160, 60), (0, 30)]


def test_a_week_without_use_brings_nothing_and_nothing_used_is_nothing_delivered():
    found = deliveries({0: 10, 15: 10}, row())
    assert [one.delivered for one in found] == [10, 0, 10]
    assert deliveries({}, row()) == []


@given(
    used=st.dictionaries(st.integers(0, 60), st.integers(1, 500), min_size=1, max_size=10),
    least=st.integers(0, 200),
    pallet=st.integers(1, 60),
    days=st.integers(1, 20),
)
def test_there_is_always_enough_and_never_a_pallet_too_many(used, least, pallet, days):
    found = deliveries(used, row(stock_min=least, order_units=pallet, delivery_days=days))
    assert sum(one.used for one in found) == sum(used.values())
    assert all(one.left >= least for one in found)
    assert all(one.delivered % pallet == 0 for one in found)
    assert all(one.left < least + pallet for one in found if one.delivered)
