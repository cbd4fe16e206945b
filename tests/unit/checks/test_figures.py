"""The plan's own numbers, worked out by hand."""

import pytest

from planner.checks import figures
from planner.checks.case import Case
from planner.model.identifiers import (
    CrewId,
    CrewKind,
    Goal,
    MixId,
    Orientation,
    PositionId,
    Process,
    RigId,
    ShiftId,
)
from planner.model.rules import Prices, Rules
from planner.plan.plan import Plan, RunKind
from tests.builders import campaign, crew, done, mix, position, rig, shift, zone
from tests.unit.checks.plans import DAY, around, left_out, move, piece, plan, run, spell

TWO = (zone("Z1"), zone("Z2"))


def lines(scene, made):
    return figures.cost_lines(Case(scene, made))


def test_planned_and_unplanned_volumes():
    scene = campaign(zones=(*TWO, zone("Z3", volume_m3=1.5), zone("Z4")), done=(done("Z4"),))
    case = Case(scene, plan(spell(), spell(600, run="2", zone="Z2")))
    assert figures.planned_m3(case) == pytest.approx(4.4)
    # Z3 whole, and of Z4 what is not done: 2.2 - 1
    assert figures.unplanned_m3(case) == pytest.approx((2.7, 2.7))


def test_what_is_left_beside_a_layer_with_its_rest_given_depends_on_the_mix():
    # 1 m³ left in the first layer; of two layers 1.1 m³ more are left, of one none
    scene = campaign(
        mixes=(mix(), mix("fine", layer_max_mm=50.0)), done=(done(done_m3=0.1, left_m3=1.0),)
    )
    case = Case(scene, plan(unplanned=(left_out("Z1"),)))
    assert figures.unplanned_m3(case) == pytest.approx((1.0, 2.1))


def test_finish_is_the_end_of_the_last_spell():
    case = Case(campaign(zones=TWO), plan(spell(600, zone="Z2", run="2"), spell()))
    assert figures.finish_min(case) == 666
    assert figures.value(case, Goal.FINISH) == 11.1
    empty = Case(campaign(), Plan())
    assert figures.finish_min(empty) is None
    assert figures.value(empty, Goal.FINISH) == 0


@pytest.mark.parametrize(("due", "days"), [(456, 0.0), (500, 0.0), (396, 60 / 1440), (None, 0.0)])
def test_a_zone_is_late_from_the_end_of_its_due_day(due, days):
    case = Case(campaign(zones=(zone(due_min=due),)), plan())
    assert figures.value(case, Goal.LATE) == pytest.approx(days)


def test_lateness_is_summed_over_zones():
    scene = campaign(zones=(zone("Z1", due_min=0), zone("Z2", due_min=0)))
    case = Case(scene, plan(spell(), spell(600, run="2", zone="Z2")))
    assert figures.late_days(case) == pytest.approx((456 + 666) / 1440)


@pytest.mark.parametrize(
    ("start", "end", "touches"),
    [
        (360, 471, False),
        (359, 471, True),
        (1200, 1320, False),
        (1200, 1321, True),
        (0, 10, True),
        (360, 1320, False),
        (300, 1400, True),
        (1440, 1800, True),
    ],
)
def test_nights_are_from_22_to_6(start, end, touches):
    made = plan(spell(), runs=[run(start, end)])
    assert figures.value(Case(campaign(), made), Goal.NIGHT_RUNS) == touches


def test_nights_follow_the_clock_when_it_changes():
    # Sunday 29 March 2026, London: 01:00 becomes 02:00; 06:00 is 5 hours after midnight
    from datetime import date

    from tests.builders import clock

    spring = clock(first_day=date(2026, 3, 29), last_day=date(2026, 3, 31))
    assert figures.touches_night(spring, 299, 400)
    assert not figures.touches_night(spring, 300, 400)


def test_panel_runs_can_be_night_runs():
    panel = run(0, 95, run="p", kind=RunKind.PANEL, orientation=Orientation.OVERHEAD)
    case = Case(campaign(), plan(spell(), runs=[run(), panel]))
    assert figures.night_runs(case) == 1


def test_joints_are_pieces_beyond_one_per_layer():
    parts = [spell(400 + 20 * k, 10, run=str(k)) for k in range(3)]
    other = [spell(600, run="7", layer=2), spell(700, run="8", zone="Z2")]
    assert figures.value(Case(campaign(zones=TWO), plan(*parts, *other)), Goal.JOINTS) == 2


def test_relocations_are_counted():
    case = Case(campaign(), plan(spell(), relocations=(move(471, 531), move(600, 660))))
    assert figures.value(case, Goal.RELOCATIONS) == 2


def test_the_day_price_counts_civil_days_from_first_to_last_activity():
    scene = campaign(zones=TWO, prices=Prices(day=100.0))
    assert lines(scene, plan())["day"] == 100.0
    # Monday to Thursday
    assert lines(scene, plan(spell(), spell(3 * DAY + 390, run="2", zone="Z2")))["day"] == 400.0
    # a relocation, and a break-out, are activities too
    places = (position("P1"), position("P2"))
    moved = campaign(prices=Prices(day=100.0), positions=places)
    assert lines(moved, plan(spell(), relocations=(move(DAY, DAY + 60),)))["day"] == 200.0
    dug = campaign(
        prices=Prices(day=100.0),
        crews=(crew(), crew("B1", kind=CrewKind.BREAK_OUT, rate_m3_h=2.2)),
    )
    assert lines(dug, plan(spell(DAY + 390), break_outs=(piece(400, 460),)))["day"] == 200.0
    assert lines(scene, Plan())["day"] == 0.0


@pytest.mark.parametrize(("end", "days"), [(DAY, 1), (DAY + 1, 2)])
def test_an_end_at_midnight_belongs_to_the_day_before(end, days):
    scene = campaign(prices=Prices(day=100.0, rig_day={RigId("R1"): 10.0}))
    found = lines(scene, plan(spell(), runs=[run(360, end)]))
    assert (found["day"], found["rig_day"]) == (100.0 * days, 10.0 * days)


def test_a_rig_is_paid_from_its_first_to_its_last_day():
    scene = campaign(
        zones=TWO,
        rigs=(rig("R1"), rig("R2")),
        prices=Prices(rig_day={RigId("R1"): 10.0, RigId("R2"): 7.0}),
    )
    made = plan(spell(), spell(4 * DAY + 390, run="2", zone="Z2"))
    assert lines(scene, made)["rig_day"] == 50.0
    both = plan(spell(), spell(4 * DAY + 390, run="2", zone="Z2", rig=RigId("R2")))
    assert lines(scene, both)["rig_day"] == 17.0


def test_a_crew_is_paid_by_shift_and_stands_by_on_days_without_work():
    scene = campaign(
        zones=(*TWO, zone("Z3")),
        prices=Prices(crew_shift={CrewId("C1"): 300.0}, crew_standby_day={CrewId("C1"): 50.0}),
    )
    # two runs on Monday, one on Thursday: two shifts, Tuesday and Wednesday on standby
    made = plan(spell(), spell(600, run="2", zone="Z2"), spell(3 * DAY + 390, run="3", zone="Z3"))
    found = lines(scene, made)
    assert (found["crew_shift"], found["crew_standby"]) == (600.0, 100.0)


def test_a_night_shift_over_midnight_is_one_shift_on_two_days():
    scene = campaign(
        zones=TWO,
        shifts=(shift(start_tod=20 * 60, end_tod=8 * 60),),
        prices=Prices(crew_shift={CrewId("C1"): 300.0}, crew_standby_day={CrewId("C1"): 50.0}),
    )
    # a run on Monday evening over midnight; the next on Thursday evening: Wednesday stands by
    made = plan(spell(1400), spell(3 * DAY + 1300, run="2", zone="Z2"))
    found = lines(scene, made)
    assert (found["crew_shift"], found["crew_standby"]) == (600.0, 50.0)


@pytest.mark.parametrize(
    ("start", "end", "shifts"), [(1800, 1911, 1), (1689, 1800, 1), (1689, 1801, 2)]
)
def test_a_shift_that_only_touches_a_run_is_not_paid(start, end, shifts):
    # shifts of 24 h from 06:00 on; Tuesday's begins at 1800
    scene = campaign(shifts=(shift(end_tod=360),), prices=Prices(crew_shift={CrewId("C1"): 300.0}))
    made = plan(spell(start + 30, end - start - 45), runs=[run(start, end)])
    assert lines(scene, made)["crew_shift"] == 300.0 * shifts


def test_the_gang_costs_no_crew():
    scene = campaign(
        positions=(position("P1"), position("P2")),
        shifts=(shift(), shift("night", start_tod=1200, end_tod=240)),
        rules=Rules(relocation_shift=ShiftId("night")),
        prices=Prices(relocation=400.0, crew_shift={CrewId("C1"): 300.0}),
    )
    found = lines(scene, plan(spell(), relocations=(move(1200, 1260, crew=None),)))
    assert (found["crew_shift"], found["relocation"]) == (300.0, 400.0)


PLACES = (position("P1", set_up_cost=70.0), position("P2", set_up_cost=200.0))


@pytest.mark.parametrize(("at", "cost"), [(None, 270.0), (PositionId("P1"), 200.0)])
def test_each_set_up_costs_what_its_position_asks(at, cost):
    scene = campaign(zones=TWO, positions=PLACES, rigs=(rig(at=at),))
    made = plan(
        spell(),
        spell(700, run="2", zone="Z2", position=PositionId("P2")),
        relocations=(move(471, 531),),
    )
    assert lines(scene, made)["set_up"] == cost


def test_a_rig_that_progress_leaves_somewhere_is_set_up_there_already():
    row = done(rig_id=RigId("R1"), position_id=PositionId("P1"))
    scene = campaign(positions=PLACES, done=(row,))
    assert lines(scene, plan(spell()))["set_up"] == 0.0


def test_material_is_bought_by_run():
    # q = 2.2 x 1.03 / 0.5 = 4.532 m³ through the nozzle
    prices = Prices(
        material_m3={MixId("dry"): 100.0},
        hose_m3={Process.DRY: 10.0},
        rebound_m3=5.0,
    )
    found = lines(campaign(prices=prices), plan())
    assert found["material"] == pytest.approx(453.2)
    assert found["hose"] == pytest.approx(45.32)
    assert found["rebound"] == pytest.approx(5 * (4.532 - 2.2))


def test_every_run_rig_and_crew_adds_to_its_line():
    prices = Prices(
        crew_shift={CrewId("C1"): 300.0, CrewId("C2"): 200.0},
        crew_standby_day={CrewId("C1"): 30.0, CrewId("C2"): 20.0},
        material_m3={MixId("dry"): 100.0},
        hose_m3={Process.DRY: 10.0},
        rebound_m3=5.0,
    )
    scene = campaign(
        zones=(zone("Z1"), zone("Z2"), zone("Z3"), zone("Z4")),
        crews=(crew("C1"), crew("C2"), crew("C3")),
        prices=prices,
    )
    made = plan(
        spell(),
        spell(2 * DAY + 390, run="2", zone="Z2"),
        spell(600, run="3", zone="Z3", crew=CrewId("C2")),
        spell(3 * DAY + 390, run="4", zone="Z4", crew=CrewId("C2")),
    )
    found = lines(scene, made)
    assert found["crew_shift"] == 2 * 300 + 2 * 200
    assert found["crew_standby"] == 1 * 30 + 2 * 20
    assert found["material"] == pytest.approx(4 * 453.2)
    assert found["hose"] == pytest.approx(4 * 45.32)
    assert found["rebound"] == pytest.approx(4 * 5 * 2.332)


def test_the_spells_of_a_run_are_added_before_rounding_up():
    # two of 4.532 m³ are 9.064: 10 whole m³, not twice 5
    scene = campaign(
        zones=TWO,
        prices=Prices(
            material_m3={MixId("dry"): 100.0}, load_step_m3={Process.DRY: 1.0}, rebound_m3=1.0
        ),
    )
    both = (spell(), spell(466, zone="Z2"))
    found = lines(scene, plan(*both, runs=[around(*both)]))
    assert found["material"] == pytest.approx(1000.0)
    assert found["rebound"] == pytest.approx(9.064 - 4.4)


def test_what_has_no_price_costs_nothing():
    scene = campaign(zones=TWO, positions=(position("P1"), position("P2")))
    made = plan(spell(), spell(3 * DAY + 390, run="2", zone="Z2"), relocations=(move(600, 660),))
    assert set(lines(scene, made).values()) == {0.0}


@pytest.mark.parametrize(
    ("more", "bought"),
    [
        ({"line_waste_m3": {Process.DRY: 0.5}}, 5.032),
        ({"load_min_m3": {Process.DRY: 6.0}}, 6.0),
        ({"line_waste_m3": {Process.DRY: 0.5}, "load_min_m3": {Process.DRY: 5.0}}, 5.032),
        ({"load_step_m3": {Process.DRY: 1.0}}, 5.0),
        ({"load_step_m3": {Process.DRY: 4.532}}, 4.532),
        ({"load_step_m3": {Process.DRY: 1.0}, "load_min_m3": {Process.DRY: 6.5}}, 7.0),
        ({"load_step_m3": {Process.WET: 9.0}}, 4.532),
    ],
)
def test_line_waste_least_loads_and_whole_loads_count(more, bought):
    scene = campaign(prices=Prices(material_m3={MixId("dry"): 100.0}, **more))
    assert lines(scene, plan())["material"] == pytest.approx(100 * bought)


def test_rebound_is_taken_by_orientation():
    scene = campaign(
        zones=(zone("Z1"), zone("Z2", orientation=Orientation.VERTICAL)),
        mixes=(mix(), mix(orientation=Orientation.VERTICAL, rebound=0.2)),
        prices=Prices(hose_m3={Process.DRY: 1.0}),
    )
    both = (spell(), spell(466, zone="Z2"))
    found = lines(scene, plan(*both, runs=[around(*both)]))
    assert found["hose"] == pytest.approx(2.2 * 1.03 / 0.5 + 2.2 * 1.03 / 0.8)


def test_a_panel_costs_only_days_and_crew():
    prices = Prices(
        day=1.0,
        rig_day={RigId("R1"): 10.0},
        crew_shift={CrewId("C1"): 100.0},
        material_m3={MixId("dry"): 1000.0},
        load_min_m3={Process.DRY: 5.0},
    )
    panel = run(360, 455, run="p", kind=RunKind.PANEL, orientation=Orientation.OVERHEAD)
    assert {
        name: money
        for name, money in lines(campaign(prices=prices), Plan(runs=(panel,))).items()
        if money
    } == {"day": 1.0, "rig_day": 10.0, "crew_shift": 100.0}


def test_the_cost_is_the_sum_of_its_lines():
    scene = campaign(
        positions=PLACES[:1], prices=Prices(day=1.0, material_m3={MixId("dry"): 100.0})
    )
    assert figures.value(Case(scene, plan()), Goal.COST) == pytest.approx(1 + 70 + 453.2)
    assert set(lines(scene, plan())) == {
        "day",
        "rig_day",
        "crew_shift",
        "crew_standby",
        "relocation",
        "set_up",
        "material",
        "hose",
        "rebound",
    }
