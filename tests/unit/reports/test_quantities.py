"""What a plan takes: runs, zones, mixes and weeks, with the sums done by hand.

The default run sprays 2.2 m³ of Z1 at half rebound: with 3 % waste 2.2 x 1.03 / 0.5 = 4.532 m³
leave the nozzle, 2.266 fall, 0.066 are trimmed off.
"""

from datetime import date
from typing import Any

import pytest

from planner.model.identifiers import MixId, Orientation, Process, ResourceId, RigId, ZoneId
from planner.model.material import Material, Supply
from planner.model.resource import Need, Resource
from planner.plan.costs import cost_lines
from planner.plan.plan import Plan, RunKind
from planner.reports.quantities import run_materials, zone_materials
from planner.reports.quantities_tables import By, quantity_table
from planner.reports.quantities_why import why_zone
from tests import builders as make

SHOT_M3 = 4.532
DAY = 24 * 60
ONE_RUN = Plan(runs=(make.run(),), spells=(make.spell(),))
WET_MIX = (make.mix(process=Process.WET, rebound=0.1),)
WET = {"mixes": WET_MIX, "rigs": (make.rig(process=Process.WET, rise_factor=3.0, bend_m=3.0),)}


def scene(**changes: Any):
    materials = changes.pop("material", {})
    row = Material(mix_id=MixId("dry"), **materials)
    return make.campaign(**({"materials": (row,)} | changes))


def column(table, name: str) -> list[object]:
    place = table.heading.index(name)
    return [row[place] for row in table.rows]


def test_a_run_takes_what_its_spells_shoot():
    (run,) = run_materials(scene(), ONE_RUN)
    assert run.shot.shot_m3 == pytest.approx(SHOT_M3)
    assert run.shot.rebound_m3 == pytest.approx(2.266)
    assert run.shot.waste_m3 == pytest.approx(0.066)
    assert run.by_zone.keys() == {"Z1"}


def test_the_hose_fill_is_the_price_keys_volume_where_it_is_given():
    prices = make.prices(line_waste_m3={Process.DRY: 0.05})
    assert run_materials(scene(prices=prices), ONE_RUN)[0].hose_fill_m3 == 0.05
    # else 38 mm, the usual bore of a dry rig, of 10 m laid, 3 % full: 0.34 litres
    assert run_materials(scene(), ONE_RUN)[0].hose_fill_m3 == pytest.approx(0.00034, abs=5e-6)


def test_bags_hold_the_run_and_its_line_and_the_rest_of_the_last_is_lost():
    prices = make.prices(line_waste_m3={Process.DRY: 0.0})
    (run,) = run_materials(scene(prices=prices), ONE_RUN)
    # 4.532 m³ x 2050 kg/m³ = 9290.6 kg in bags of 25 kg: 372, of which 9.4 kg are left
    assert run.units == 372
    assert run.opened_kg == pytest.approx(9.4)


def test_a_stop_longer_than_the_life_opens_new_bags():
    plan = Plan(
        runs=(make.run(end_min=700),),
        spells=(
            make.spell(end_min=423, volume_m3=1.1),
            make.spell(start_min=623, end_min=656, volume_m3=1.1),
        ),
    )
    prices = make.prices(line_waste_m3={Process.DRY: 0.0})
    short, long = {"life_min": 60.0}, {"life_min": 240.0}
    # halves of 4645.3 kg take 2 + 2 bulk bags of 4 t; together 9290.6 kg take 3
    big = {"unit_kg": 4000.0}
    (parted,) = run_materials(scene(prices=prices, material=short | big), plan)
    (joined,) = run_materials(scene(prices=prices, material=long | big), plan)
    assert (parted.units, joined.units) == (4, 3)


def test_loads_are_what_the_cost_pays_for():
    prices = make.prices(
        line_waste_m3={Process.WET: 0.2},
        load_min_m3={Process.WET: 2.0},
        load_step_m3={Process.WET: 0.5},
        material_m3={MixId("dry"): 100.0},
    )
    campaign = scene(prices=prices, **WET)
    (run,) = run_materials(campaign, ONE_RUN)
    # 2.2 x 1.03 / 0.9 = 2.5178 and 0.2 in the line: 2.7178, in steps of half a cubic metre 3.0
    assert run.bought_m3 == pytest.approx(3.0)
    assert run.surplus_m3 == pytest.approx(3.0 - 2.71778, abs=1e-5)
    assert cost_lines(campaign, ONE_RUN)["material"] == pytest.approx(100.0 * run.bought_m3)
    # 2.5178 m³ in 66 min are 2.289 m³/h; 60 of the 90 min are left: 2.289 m³, four half steps
    assert run.batch_m3 == pytest.approx(2.289, abs=1e-3)
    assert run.units == 2
    assert run.truck_min == 66 + 2 * 10


def test_a_mix_that_is_too_old_when_it_flows_has_no_loads():
    campaign = scene(material={"life_min": 30.0}, **WET)
    (run,) = run_materials(campaign, ONE_RUN)
    assert run.units is None
    table = quantity_table(campaign, ONE_RUN, By.RUN)
    assert column(table, "units") == [None]
    assert "too old" in str(column(table, "note")[0])
    assert column(quantity_table(campaign, ONE_RUN, By.MIX), "units") == [None]


def test_hoses_are_counted_rig_by_rig_from_the_first_run_on():
    runs = tuple(make.run(str(k), start_min=k * DAY, end_min=k * DAY + 111) for k in range(4))
    spells = tuple(
        make.spell(str(k), start_min=k * DAY + 30, end_min=k * DAY + 96) for k in range(4)
    )
    other = make.run("9", rig=RigId("R2"), start_min=5 * DAY, end_min=5 * DAY + 111)
    plan = Plan(runs=(*runs, other), spells=(*spells, make.spell("9", rig=RigId("R2"))))
    prices = make.prices(line_waste_m3={Process.DRY: 0.0})
    campaign = scene(prices=prices, rigs=(make.rig(), make.rig("R2")))
    # 9.29 t a run against 20 t: the third run of R1 crosses 20 t, the fifth would cross 40
    assert [run.hose_changes for run in run_materials(campaign, plan)] == [0, 0, 1, 0, 0]


def test_panels_are_not_counted():
    panel = make.run("2", kind=RunKind.PANEL, start_min=600, end_min=700)
    plan = Plan(runs=(make.run(), panel), spells=(make.spell(),))
    assert [run.run.run for run in run_materials(scene(), plan)] == ["1"]


def test_zones_are_counted_whole_without_a_plan_and_as_planned_with_one():
    campaign = scene(zones=(make.zone("Z1"), make.zone("Z2", depth_mm=50.0)))
    assert [one.shot.placed_m3 for one in zone_materials(campaign, None)] == pytest.approx(
        [2.2, 1.1]
    )
    assert [one.zone.zone_id for one in zone_materials(campaign, ONE_RUN)] == ["Z1"]


def test_tables_by_zone_mix_and_run_add_up_to_the_same():
    for by in (By.ZONE, By.MIX, By.WEEK, By.RUN):
        table = quantity_table(scene(), ONE_RUN, by)
        assert column(table, "shot_m3") == [SHOT_M3], by
        assert column(table, "placed_m3") == [2.2], by


def test_weeks_begin_on_monday_and_say_what_comes_and_what_is_left():
    runs = (make.run(), make.run("2", start_min=8 * DAY, end_min=8 * DAY + 111))
    spells = (make.spell(), make.spell("2", start_min=8 * DAY + 30, end_min=8 * DAY + 96))
    prices = make.prices(line_waste_m3={Process.DRY: 0.0})
    campaign = scene(prices=prices, material={"stock_min": 20, "order_units": 40})
    table = quantity_table(campaign, Plan(runs=runs, spells=spells), By.WEEK)
    assert column(table, "week") == [date(2026, 3, 2).isoformat(), date(2026, 3, 9).isoformat()]
    assert column(table, "units") == [372, 372]
    # 392 wanted: 10 pallets of 40, 28 left; 372 + 20 - 28 = 364: again 10 pallets, 56 left
    assert column(table, "delivered") == [400, 400]
    assert column(table, "left") == [28, 56]


@pytest.mark.parametrize("by", [By.WEEK, By.RUN, By.RESOURCE])
def test_weeks_and_runs_need_a_plan(by: By):
    with pytest.raises(ValueError, match="need a plan"):
        quantity_table(scene(), None, by)


def test_every_number_of_a_zone_tells_formula_inputs_and_source():
    for campaign in (scene(), scene(**WET)):
        for plan in (None, ONE_RUN):
            found = why_zone(campaign, plan, ZoneId("Z1"))
            assert {"placed_m3", "shot_m3", "rebound_m3", "water_l"} <= {f.name for f in found}
            for figure in found:
                assert figure.formula, figure
                assert figure.source, figure
                assert figure.unit, figure


def test_the_shot_volume_of_why_is_worked_out_of_its_own_inputs():
    figures = {one.name: one for one in why_zone(scene(), None, ZoneId("Z1"))}
    values = {one.name: float(one.value) for one in figures["shot_m3"].inputs}
    again = values["placed_m3"] * (1 + values["rules.waste"]) / (1 - values["rebound"])
    assert figures["shot_m3"].value == pytest.approx(again)


def test_what_is_shared_tells_hours_days_and_money():
    float_ = ResourceId("float")
    campaign = scene(
        zones=(make.zone(needs=(Need(resource_id=float_),)),),
        resources=(Resource(resource_id=float_, number=1, price_day=80.0, why="one float"),),
    )
    table = quantity_table(campaign, ONE_RUN, By.RESOURCE)
    # the zone change of 10 min and the spell of 66 min: 1.3 h, all of them with none left
    assert table.rows == (("float", 1, 1, 1, 1.3, 1.3, 80.0, "one float"),)


def test_a_bulk_bag_that_is_open_is_used_up_by_the_next_run():
    runs = tuple(make.run(str(k), start_min=k * DAY, end_min=k * DAY + 111) for k in range(3))
    spells = tuple(
        make.spell(str(k), start_min=k * DAY + 30, end_min=k * DAY + 96) for k in range(3)
    )
    prices = make.prices(line_waste_m3={Process.DRY: 0.0})
    campaign = scene(prices=prices, material={"supply": Supply.BULK_BAGS, "unit_kg": 4000.0})
    found = run_materials(campaign, Plan(runs=runs, spells=spells))
    # 9290.6 kg a run: 2.32, 4.65, 6.97 bags in all, so 3, then 2 and 2 more are opened
    assert [run.units for run in found] == [3, 2, 2]
    assert [run.opened_kg for run in found] == [0.0, 0.0, 0.0]


def test_several_loads_tell_how_large_each_may_be():
    table = quantity_table(scene(**WET), ONE_RUN, By.RUN)
    # 2.5178 m³ in 66 min and 60 min left: loads of 2.29 m³, so two
    assert column(table, "units") == [2]
    assert column(table, "note") == ["loads ≤ 2.29 m³"]
    single = make.run(end_min=471), make.spell(volume_m3=1.0, end_min=420)
    one = Plan(runs=single[:1], spells=single[1:])
    assert column(quantity_table(scene(**WET), one, By.RUN), "note") == [""]


def test_loads_are_not_kept_on_site():
    table = quantity_table(scene(**WET), ONE_RUN, By.WEEK)
    assert column(table, "delivered") == [None]
    assert column(table, "left") == [None]
    assert column(table, "opened_kg") == [None]
    assert column(quantity_table(scene(), ONE_RUN, By.WEEK), "surplus_m3") == [None]
    assert column(quantity_table(scene(), ONE_RUN, By.WEEK), "truck_min") == [None]


def test_a_table_for_reading_has_short_times_and_no_empty_columns():
    table = quantity_table(scene(), ONE_RUN, By.RUN)
    heading, ((*cells,),) = table.for_reading()
    assert heading == (
        "run",
        "start",
        "rig",
        "mix",
        "shot_m3",
        "supply",
        "units",
        "water_l",
        "hose_changes",
    )
    assert cells[1] == "2026-03-02 06:00"
    by_mix = quantity_table(scene(), ONE_RUN, By.MIX).for_reading()[0]
    assert "placed_m3" in by_mix
    assert "conveyed_t" not in by_mix


def test_loads_and_bags_of_a_zone_are_told_apart():
    assert column(quantity_table(scene(**WET), None, By.ZONE), "units") == [None]
    assert column(quantity_table(scene(), None, By.ZONE), "units") == [372]
    assert column(quantity_table(scene(), None, By.MIX), "zones") == [1]


def test_what_stays_in_the_hose_is_conveyed_and_bought_and_counted_once():
    spells = (
        make.spell(end_min=423, volume_m3=1.1, hose_laid_m=40.0),
        make.spell(start_min=623, end_min=656, volume_m3=1.1, hose_laid_m=15.0),
    )
    plan = Plan(runs=(make.run(end_min=700),), spells=spells)
    prices = make.prices(line_waste_m3={Process.DRY: 0.1})
    (run,) = run_materials(scene(prices=prices, material={"unit_kg": 1.0}), plan)
    assert run.laid_m == 40.0
    # 4.532 + 0.1 m³ of 2050 kg: 9495.6 kg; halves of 4645.3 kg, 205 kg before the first
    assert run.conveyed_t == pytest.approx(9.4956)
    assert run.hose_share == pytest.approx(9.4956 / 20.0)
    assert run.bought_m3 == pytest.approx(4.632)
    assert run.units == 4851 + 4646


def test_a_zone_that_two_runs_spray_adds_up_and_keeps_its_own_rebound():
    mixes = (make.mix(), make.mix(orientation=Orientation.VERTICAL, rebound=0.2))
    zones = (make.zone("Z1"), make.zone("Z2", orientation=Orientation.VERTICAL))
    runs = (make.run("1"), make.run("2", start_min=DAY + 360, end_min=DAY + 471))
    spells = (
        make.spell("1", volume_m3=1.0),
        make.spell("2", start_min=DAY + 390, end_min=DAY + 456, volume_m3=1.2),
        make.spell("2", zone=ZoneId("Z2"), start_min=DAY + 466, end_min=DAY + 480, volume_m3=1.0),
    )
    campaign = scene(mixes=mixes, zones=zones)
    first, second = zone_materials(campaign, Plan(runs=runs, spells=spells))
    assert first.shot.placed_m3 == pytest.approx(2.2)
    assert first.shot.shot_m3 == pytest.approx(SHOT_M3)
    assert second.shot.shot_m3 == pytest.approx(1.03 / 0.8)
