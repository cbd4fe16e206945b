"""An estimate worked by hand, every step shown; and what the bill makes of it."""

from dataclasses import replace

import pytest

from planner.estimate.bill import estimate
from planner.estimate.line import Basis
from planner.model.identifiers import CrewId, MixId, PositionId, Process, ResourceId, RigId, ZoneId
from planner.model.price_book import PriceBook
from planner.model.resource import Need, Resource
from planner.plan.costs import cost, cost_lines
from planner.plan.plan import Plan
from tests.builders import campaign, position, prices, relocation, rig, run, spell, unplanned, zone

DAY = 24 * 60

PRICES = prices(
    day=100.0,
    relocation=75.0,
    rebound_m3=30.0,
    rig_day={RigId("R1"): 50.0},
    crew_shift={CrewId("C1"): 300.0},
    crew_standby_day={CrewId("C1"): 40.0},
    material_m3={MixId("dry"): 200.0},
    line_waste_m3={Process.DRY: 0.1},
    load_min_m3={Process.DRY: 2.0},
    load_step_m3={Process.DRY: 0.5},
    hose_m3={Process.DRY: 5.0},
)
SCENE = campaign(
    prices=PRICES,
    zones=(zone("Z1"), zone("Z2"), zone("Z3", area_m2=5.0)),
    positions=(position("P1", set_up_cost=10.0), position("P2", set_up_cost=20.0)),
)
P2 = PositionId("P2")
# Monday: Z1 from P1, the rig is moved, Z2 from P2, both in one shift.  Wednesday: Z3 from P2.
PLAN = Plan(
    spells=(
        spell("1"),
        spell("2", zone=ZoneId("Z2"), position=P2, start_min=600, end_min=666),
        spell(
            "3",
            zone=ZoneId("Z3"),
            position=P2,
            start_min=2 * DAY + 390,
            end_min=2 * DAY + 407,
            volume_m3=0.55,
        ),
    ),
    runs=(
        run("1"),
        run("2", position=P2, start_min=560, end_min=681),
        run("3", position=P2, start_min=2 * DAY + 360, end_min=2 * DAY + 422),
    ),
    relocations=(relocation(),),
)
RATES = {
    "mobilise.site": 500.0,
    "mobilise.rig.R1": 120.0,
    "demobilise.rig.R1": 60.0,
    "access.day": 15.0,
    "containment.m2": 2.0,
    "break_out.m3": 100.0,
    "disposal.break_out_m3": 20.0,
    "curing.m2_day": 0.5,
    "tests.panel": 60.0,
    "tests.core": 30.0,
    "tests.bond": 50.0,
    "lifting.hour": 90.0,
    "hose.wear_m3_100m.dry": 8.0,
    "extra.day.Safety boat": 25.0,
    "on_top.profit": 0.10,
}
DEFAULTS = {
    "disposal.bulking": 0.5,
    "curing.days": 7.0,
    "tests.panel_every_m3": 38.0,
    "tests.cores_per_panel": 3.0,
    "tests.bond_every_m2": 250.0,
    "lifting.least_h": 4.0,
}
BOOK = PriceBook(rates={**DEFAULTS, **RATES}, written=tuple(RATES))
NO_BOOK = PriceBook(rates=DEFAULTS)


def amounts(priced):
    """Return the amount of each line by key and what it is of."""
    found: dict[tuple[str, str], float] = {}
    for line in priced.lines:
        found[line.key, line.of] = found.get((line.key, line.of), 0.0) + line.amount
    return found


def test_what_the_planner_counts_worked_by_hand():
    got = amounts(estimate(SCENE, PLAN, NO_BOOK))
    # Through the nozzle, half rebounds and 3 % is wasted: 2.2 x 1.03 / 0.5 = 4.532 m3 twice,
    # 0.55 x 1.03 / 0.5 = 1.133 m3 once; 10.197 m3 in all, of which 4.95 m3 stay.
    # Bought: 4.532 + 0.1 in the line = 4.632, in steps of half a m3: 5.0; twice.  The third run
    # would need 1.233, but the least load is 2.0.  In all 12.0 m3 at 200.
    assert got["material", "dry"] == pytest.approx(2400.0)
    assert got["hose", "dry"] == pytest.approx(10.197 * 5.0)
    assert got["rebound", ""] == pytest.approx((10.197 - 4.95) * 30.0)
    # Monday to Wednesday are three days of site and rig.
    assert got["day", ""] == pytest.approx(300.0)
    assert got["rig_day", "R1"] == pytest.approx(150.0)
    # Two runs and a relocation in Monday's shift are one crew-shift; Wednesday is the second.
    assert got["crew_shift", "C1"] == pytest.approx(600.0)
    # Tuesday lies between first and last work and is paid as standby.
    assert got["crew_standby", "C1"] == pytest.approx(40.0)
    assert got["relocation", ""] == pytest.approx(75.0)
    # The first set-up at P1, and the one after the relocation to P2.
    assert got["set_up", "P1"] == pytest.approx(10.0)
    assert got["set_up", "P2"] == pytest.approx(20.0)
    # 2400 + 50.985 + 157.41 + 300 + 150 + 600 + 40 + 75 + 30
    assert sum(got.values()) == pytest.approx(3803.395)
    assert cost(SCENE, PLAN) == pytest.approx(3803.395)


def test_what_the_price_book_adds_worked_by_hand():
    priced = estimate(SCENE, PLAN, BOOK)
    got = amounts(priced)
    assert got["mobilise.site", ""] == 500.0
    assert got["mobilise.rig.R1", "R1"] == 120.0
    assert got["demobilise.rig.R1", "R1"] == 60.0
    assert got["access.day", ""] == 3 * 15.0
    # Faces of 20 + 20 + 5 = 45 m2.
    assert got["containment.m2", ""] == pytest.approx(45 * 2.0)
    assert got["break_out.m3", ""] == pytest.approx(4.95 * 100.0)
    # Rubble is half as much again: 4.95 x 1.5 = 7.425 m3.
    assert got["disposal.break_out_m3", ""] == pytest.approx(7.425 * 20.0)
    assert got["curing.m2_day", ""] == pytest.approx(45 * 7 * 0.5)
    # The crew sprays the mix on two days: two panels (4.95 m3 ask for one); three cores each.
    assert got["tests.panel", ""] == 2 * 60.0
    assert got["tests.core", ""] == 6 * 30.0
    # 45 m2 are one begun 250 m2.
    assert got["tests.bond", ""] == 50.0
    # The relocation takes one hour; the crane is hired for four at least.
    assert got["lifting.hour", ""] == 4 * 90.0
    # 10 m of hose laid: 10.197 m3 x 10 / 100.
    assert got["hose.wear_m3_100m.dry", "dry"] == pytest.approx(1.0197 * 8.0)
    assert got["extra.day.Safety boat", ""] == 3 * 25.0
    added = 500 + 120 + 60 + 45 + 90 + 495 + 148.5 + 157.5 + 120 + 180 + 50 + 360 + 8.1576 + 75
    assert priced.net == pytest.approx(3803.395 + added)
    assert got["on_top.profit", ""] == pytest.approx(0.10 * priced.net)
    assert priced.total == pytest.approx(1.10 * priced.net)
    assert priced.planner_cost == pytest.approx(3803.395)


def test_the_bill_brings_every_line_to_the_unit_of_its_item():
    priced = estimate(SCENE, PLAN, BOOK)
    items = {item.basis: item for item in priced.items}
    # Fixed: site and rig brought, rig taken away, first set-up.
    assert items[Basis.FIXED].amount == pytest.approx(500 + 120 + 60 + 10)
    # Days: 300 + 150 + 600 + 40 of the planner, 45 of access, 75 of the boat; over 3 days.
    assert items[Basis.DAY].rate == pytest.approx((300 + 150 + 600 + 40 + 45 + 75) / 3)
    assert items[Basis.RELOCATION].rate == pytest.approx(75 + 20 + 360)
    assert items[Basis.M2].rate == pytest.approx((90 + 157.5 + 50) / 45)
    per_m3 = 2400 + 50.985 + 157.41 + 495 + 148.5 + 120 + 180 + 8.1576
    assert items[Basis.M3].rate == pytest.approx(per_m3 / 4.95)
    assert sum(item.amount for item in priced.items) == pytest.approx(priced.total)
    # With a tenth on top, the rates alone make the whole sum.
    all_in = sum(
        item.rate_all_in * item.quantity for item in priced.items if item.rate_all_in is not None
    )
    assert all_in == pytest.approx(priced.total)


def test_every_line_says_where_quantity_and_rate_come_from():
    for line in estimate(SCENE, PLAN, BOOK).lines:
        assert line.quantity_from
        assert ": " in line.rate_from
        assert line.amount == pytest.approx(line.quantity * line.rate)


def test_zones_that_are_left_out_are_not_priced():
    left_out = Plan(
        spells=PLAN.spells[:1],
        runs=PLAN.runs[:1],
        unplanned=(unplanned("Z2"), unplanned("Z3")),
    )
    priced = estimate(SCENE, left_out, BOOK)
    assert priced.volume_m3 == pytest.approx(2.2)
    assert priced.area_m2 == 20.0


def test_a_zone_that_was_broken_out_before_is_not_broken_out_again():
    zones = (zone("Z1"), zone("Z2", broken_out=True), zone("Z3", area_m2=5.0))
    scene = replace(SCENE, zones=zones)
    got = amounts(estimate(scene, PLAN, BOOK))
    assert got["break_out.m3", ""] == pytest.approx((2.2 + 0.55) * 100.0)


def test_an_empty_plan_has_no_days_and_no_rates_by_the_day():
    priced = estimate(SCENE, Plan(), BOOK)
    items = {item.basis: item for item in priced.items}
    assert items[Basis.DAY].rate is None
    assert priced.total == pytest.approx(1.10 * 500.0)


def test_a_rate_of_a_cost_line_that_is_not_taken_apart_stands_whole():
    lines = cost_lines(SCENE, PLAN)
    keys = {line.key for line in estimate(SCENE, PLAN, NO_BOOK).lines}
    assert keys == {name for name, amount in lines.items() if amount}


def test_a_shared_resource_is_paid_for_each_day_by_the_most_in_use():
    float_ = Resource(resource_id=ResourceId("float"), number=2, price_day=70.0)
    rig_needs = (Need(resource_id=ResourceId("float"), count=1),)
    scene = replace(SCENE, resources=(float_,), rigs=(rig("R1", needs=rig_needs),))
    got = amounts(estimate(scene, PLAN, NO_BOOK))
    # In use on Monday and Wednesday, one at once.
    assert got["resource", "float"] == 2 * 70.0
    assert cost_lines(scene, PLAN)["resource"] == 140.0
