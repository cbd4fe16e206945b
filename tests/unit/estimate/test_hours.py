"""What paid hours go into: at work, waiting while the faces are shut, waiting otherwise."""

import pytest

from planner.access.windows import Access
from planner.estimate.bill import estimate
from planner.estimate.hours import paid_hours, windows_used
from planner.model.identifiers import ShiftId
from planner.model.limits import ClosureScope
from planner.model.price_book import PriceBook
from planner.plan.plan import Plan
from tests.builders import campaign, closure, crew, relocation, run, shift, spell

ONE_RUN = Plan(spells=(spell(),), runs=(run(),))


def hours_of(scene, plan=ONE_RUN):
    return paid_hours(scene, plan, Access(scene))


def test_a_shift_is_paid_whole_and_the_rest_of_it_is_waiting():
    (time,) = hours_of(campaign()).crew_time
    # Shift 06:00-18:00, run 06:00-07:51; the face is open all day.
    assert (time.shifts, time.paid_h) == (1, 12.0)
    assert time.work_h == pytest.approx(111 / 60)
    assert time.shut_h == 0.0
    assert time.open_h == pytest.approx(12 - 111 / 60)


def test_hours_in_which_every_face_is_shut_are_standby():
    shut = closure(ClosureScope.ZONE, "Z1", from_min=12 * 60, to_min=16 * 60)
    hours = hours_of(campaign(closures=(shut,)))
    assert hours.crew_time[0].shut_h == pytest.approx(4.0)
    assert hours.rig_shut_h == {"R1": pytest.approx(4.0)}


def test_standby_has_its_price():
    shut = closure(ClosureScope.ZONE, "Z1", from_min=12 * 60, to_min=16 * 60)
    rates = {"standby.crew_hour.C1": 30.0, "standby.rig_hour.R1": 5.0}
    fixed = {"tests.panel_every_m3": 38.0, "tests.bond_every_m2": 250.0}
    book = PriceBook(rates={**fixed, **rates}, written=tuple(rates))
    got = {
        line.key: line.amount for line in estimate(campaign(closures=(shut,)), ONE_RUN, book).lines
    }
    assert got["standby.crew_hour.C1"] == pytest.approx(4 * 30.0)
    assert got["standby.rig_hour.R1"] == pytest.approx(4 * 5.0)


def test_work_while_a_face_is_shut_is_work():
    shut = closure(ClosureScope.ZONE, "Z1", from_min=8 * 60, to_min=9 * 60)
    moving = Plan(spells=(spell(),), runs=(run(),), relocations=(relocation(),))
    hours = hours_of(campaign(closures=(shut,)), moving)
    assert hours.crew_time[0].shut_h == 0.0  # the relocation takes just this hour


def test_work_between_22_and_6_makes_a_night_shift():
    night = shift("night", start_tod=20 * 60, end_tod=6 * 60)
    scene = campaign(shifts=(night,), crews=(crew(shift_id=ShiftId("night")),))
    late = 15 * 60  # the run of 06:00-07:51 becomes one of 21:00-22:51
    plan = Plan(
        spells=(spell(start_min=390 + late, end_min=456 + late),),
        runs=(run(start_min=360 + late, end_min=471 + late),),
    )
    assert hours_of(scene, plan).night_shifts == {"C1": 1}
    early = Plan(
        spells=(spell(start_min=390 + 840, end_min=456 + 840),),
        runs=(run(start_min=360 + 840, end_min=471 + 840),),
    )
    assert hours_of(scene, early).night_shifts == {"C1": 0}  # 20:00-21:51


def test_without_water_each_shift_with_spraying_is_a_window():
    scene = campaign()
    day = 24 * 60
    plan = Plan(
        spells=(spell(), spell("2", start_min=600, end_min=660), spell("3", start_min=day + 400)),
        runs=(run(), run("2"), run("3")),
    )
    assert windows_used(scene, plan, Access(scene)) == 2
