"""What a plan costs, line by line; the arithmetic stands beside it."""

from datetime import date
from typing import Any

import pytest

from planner.checks import figures
from planner.checks.case import Case
from planner.model.identifiers import Orientation, Process
from planner.model.rules import Rules
from planner.model.water import FlowControl, Water, WaterKind
from planner.plan.costs import cost, cost_lines, set_ups, standing_at_start
from planner.plan.plan import Plan, RunKind
from tests.builders import (
    break_out,
    campaign,
    clock,
    crew,
    done,
    mix,
    position,
    prices,
    relocation,
    rig,
    run,
    shift,
    spell,
    zone,
)

DAY = 24 * 60
SPOTS = (position("P1"), position("P2"))
PANEL: dict[str, Any] = {"kind": RunKind.PANEL, "orientation": Orientation.OVERHEAD}


def line(name, plan, **changes):
    return cost_lines(campaign(**({"positions": SPOTS} | changes)), plan)[name]


def test_without_prices_every_line_is_there_and_nought():
    assert cost_lines(campaign(), Plan(spells=(spell(),), runs=(run(),))) == {
        "day": 0.0,
        "rig_day": 0.0,
        "crew_shift": 0.0,
        "crew_standby": 0.0,
        "relocation": 0.0,
        "set_up": 0.0,
        "material": 0.0,
        "hose": 0.0,
        "rebound": 0.0,
    }


def test_days_go_from_the_first_activity_to_the_last_both_counted():
    money = prices(day=100.0)
    plan = Plan(
        break_outs=(break_out(start_min=DAY, end_min=DAY + 60),),
        runs=(run(start_min=3 * DAY, end_min=3 * DAY + 60),),
        relocations=(relocation(start_min=4 * DAY, end_min=4 * DAY + 60),),
    )
    # days 2, 3, 4 and 5 of the campaign
    assert line("day", plan, prices=money, crews=(crew(), crew("B1"))) == 400.0
    assert line("day", Plan(), prices=money) == 0.0


def test_an_end_at_midnight_belongs_to_the_day_before():
    money = prices(day=100.0)
    until_midnight = Plan(runs=(run(start_min=1380, end_min=DAY),))
    a_minute_more = Plan(runs=(run(start_min=1380, end_min=DAY + 1),))
    assert line("day", until_midnight, prices=money) == 100.0
    assert line("day", a_minute_more, prices=money) == 200.0


def test_civil_days_are_those_of_the_site_also_when_one_has_23_hours():
    # 29 March 2026 has 23 hours in London: minute 1380 is midnight
    summer = clock(first_day=date(2026, 3, 29), last_day=date(2026, 4, 2))
    plan = Plan(runs=(run(start_min=360, end_min=1381),))
    assert line("day", plan, prices=prices(day=100.0), clock=summer) == 200.0


def test_a_rig_is_paid_from_its_own_first_run_or_relocation_to_its_last():
    money = prices(rig_day={"R1": 10.0, "R2": 1000.0})
    plan = Plan(
        runs=(
            run("1", rig="R1", start_min=DAY, end_min=DAY + 60),
            run("2", rig="R2", start_min=5 * DAY, end_min=5 * DAY + 60, **PANEL),
        ),
        relocations=(relocation(rig="R1", start_min=3 * DAY, end_min=3 * DAY + 60),),
    )
    # R1: days 2 to 4; R2: day 6 alone
    assert line("rig_day", plan, prices=money, rigs=(rig(), rig("R2"))) == 3 * 10.0 + 1000.0


def test_a_crew_is_paid_for_each_shift_in_which_it_runs_moves_or_breaks_out():
    money = prices(crew_shift={"C1": 50.0, "B1": 7.0})
    plan = Plan(
        runs=(run("1"), run("2", start_min=600, end_min=700)),  # both in the first day's shift
        relocations=(relocation(start_min=DAY + 480, end_min=DAY + 540),),
        break_outs=(break_out(start_min=2 * DAY + 360, end_min=2 * DAY + 400),),
    )
    crews = (crew(), crew("B1"))
    assert line("crew_shift", plan, prices=money, crews=crews) == 2 * 50.0 + 7.0


def test_a_night_shift_is_one_shift_though_it_stands_on_two_days():
    night = shift("night", start_tod=22 * 60, end_tod=6 * 60)
    plan = Plan(
        runs=(
            run("1", start_min=22 * 60, end_min=23 * 60),
            run("2", start_min=26 * 60, end_min=27 * 60),
        )
    )
    scene = {"shifts": (night,), "crews": (crew(shift_id="night"),)}
    assert line("crew_shift", plan, prices=prices(crew_shift={"C1": 50.0}), **scene) == 50.0


def test_shifts_that_follow_each_other_without_a_break_are_paid_one_by_one():
    whole = shift("whole", start_tod=6 * 60, end_tod=6 * 60)
    plan = Plan(
        runs=(
            run("1", start_min=29 * 60, end_min=30 * 60),  # ends as the second shift begins
            run("2", start_min=30 * 60, end_min=31 * 60),
        )
    )
    scene = {"shifts": (whole,), "crews": (crew(shift_id="whole"),)}
    money = prices(crew_shift={"C1": 50.0})
    assert line("crew_shift", plan, prices=money, **scene) == 100.0
    first_alone = Plan(runs=plan.runs[:1])
    assert line("crew_shift", first_alone, prices=money, **scene) == 50.0


def test_no_shift_is_paid_on_days_on_which_none_starts():
    weekend = shift(weekdays=frozenset({5, 6}))
    money = prices(crew_shift={"C1": 50.0})
    plan = Plan(runs=(run(), run("2", start_min=5 * DAY + 360, end_min=5 * DAY + 400)))
    assert line("crew_shift", plan, prices=money, shifts=(weekend,)) == 50.0


def test_a_relocation_by_the_lifting_gang_is_no_crews_work():
    money = prices(crew_shift={"C1": 50.0}, crew_standby_day={"C1": 9.0})
    plan = Plan(runs=(run(),), relocations=(relocation(crew=None, start_min=3 * DAY),))
    assert line("crew_shift", plan, prices=money) == 50.0
    assert line("crew_standby", plan, prices=money) == 0.0


def test_a_crew_stands_by_on_the_days_between_its_first_and_last_work_without_any():
    money = prices(crew_standby_day={"C1": 9.0})
    plan = Plan(
        runs=(
            run("1", start_min=1380, end_min=DAY + 60),  # days 1 and 2
            run("2", start_min=5 * DAY, end_min=5 * DAY + 60),  # day 6
            run("3", start_min=7 * DAY - 60, end_min=7 * DAY),  # day 7, up to midnight
        )
    )
    # days 3, 4 and 5 in between
    assert line("crew_standby", plan, prices=money) == 3 * 9.0


def test_every_relocation_has_its_price():
    plan = Plan(relocations=(relocation(), relocation()))
    assert line("relocation", plan, prices=prices(relocation=75.0)) == 150.0


def test_a_rig_that_stands_nowhere_is_set_up_by_its_first_run_and_by_every_relocation():
    spots = (position("P1", set_up_cost=5.0), position("P2", set_up_cost=11.0))
    plan = Plan(
        runs=(
            run("1"),
            run("2", start_min=600, end_min=700, position="P2"),
            run("3", start_min=720, end_min=800, position="P2"),
        ),
        relocations=(
            relocation(),
            relocation(from_position="P2", to_position="P1", start_min=900, end_min=960),
        ),
    )
    scene = campaign(positions=spots)
    assert set_ups(scene, plan) == ["P1", "P2", "P1"]
    assert cost_lines(scene, plan)["set_up"] == 5.0 + 11.0 + 5.0


def test_a_rig_that_stands_there_at_the_start_is_not_set_up_there():
    scene = campaign(
        positions=(position("P1", set_up_cost=5.0), position("P2")), rigs=(rig(at="P1"),)
    )
    assert set_ups(scene, Plan(runs=(run(),))) == []
    there_and_back = (
        relocation(),
        relocation(from_position="P2", to_position="P1", start_min=600, end_min=660),
    )
    assert set_ups(scene, Plan(runs=(run(),), relocations=there_and_back)) == ["P2", "P1"]


def test_a_panel_sets_a_rig_up_and_costs_no_material():
    money = prices(
        material_m3={"dry": 1.0},
        hose_m3={Process.DRY: 1.0},
        load_min_m3={Process.DRY: 5.0},
        rebound_m3=1.0,
    )
    scene = campaign(positions=(position(set_up_cost=5.0),), prices=money)
    lines = cost_lines(scene, Plan(runs=(run(**PANEL),)))
    assert lines["set_up"] == 5.0
    assert (lines["material"], lines["hose"], lines["rebound"]) == (0.0, 0.0, 0.0)


def test_progress_tells_where_a_rig_stands_by_its_latest_row():
    rows = (
        done(rig_id="R1", position_id="P2", at_min=200),
        done(rig_id="R1", position_id="P3", at_min=100),
        done(rig_id="R2", at_min=300),
    )
    scene = campaign(rigs=(rig(at="P1"), rig("R2", at="P1"), rig("R3")), done=rows)
    assert standing_at_start(scene) == {"R1": "P2", "R2": "P1"}


def test_material_hose_and_rebound_go_by_what_leaves_the_nozzle():
    money = prices(
        material_m3={"dry": 100.0},
        hose_m3={Process.DRY: 3.0},
        rebound_m3=20.0,
        line_waste_m3={Process.DRY: 0.5},
    )
    plan = Plan(spells=(spell(volume_m3=1.5), spell(volume_m3=0.5, layer=2)), runs=(run(),))
    lines = cost_lines(campaign(prices=money, rules=Rules(waste=0.05)), plan)
    # q = (1.5 + 0.5) x 1.05 / (1 - 0.5) = 4.2; bought = 4.2 + 0.5
    assert lines["material"] == pytest.approx(4.7 * 100.0)
    assert lines["hose"] == pytest.approx(4.2 * 3.0)
    assert lines["rebound"] == pytest.approx((4.2 - 2.0) * 20.0)


def bought(volume_m3, **changes):
    """What a run of one spell buys; half rebounds, nothing else is wasted."""
    plan = Plan(spells=(spell(volume_m3=volume_m3),), runs=(run(),))
    priced = prices(material_m3={"dry": 1.0}, **changes)
    return line("material", plan, prices=priced, rules=Rules(waste=0.0))


def test_a_load_has_a_least_size_and_comes_in_whole_steps():
    least, step = {Process.DRY: 3.0}, {Process.DRY: 0.5}
    assert bought(1.0, load_min_m3=least) == 3.0  # 2 through the nozzle
    assert bought(2.0, load_min_m3=least) == 4.0
    assert bought(1.1, load_step_m3=step) == 2.5  # 2.2
    assert bought(1.25, load_step_m3=step) == 2.5  # 2.5 exactly
    assert bought(0.3, load_step_m3={Process.DRY: 0.2}) == pytest.approx(0.6)  # no noise
    assert bought(1.4, load_min_m3=least, load_step_m3={Process.DRY: 2.0}) == 4.0
    assert bought(1.0, load_min_m3={Process.WET: 9.0}) == 2.0


def test_line_waste_comes_before_the_least_load():
    assert bought(1.0, line_waste_m3={Process.DRY: 0.8}, load_min_m3={Process.DRY: 2.5}) == 2.8


def test_a_least_load_is_bought_for_every_run():
    money = prices(material_m3={"dry": 1.0}, load_min_m3={Process.DRY: 6.0})
    plan = Plan(spells=(spell("1"), spell("2", layer=2)), runs=(run("1"), run("2")))
    assert line("material", plan, prices=money) == 12.0


def test_each_spell_of_a_run_rebounds_as_its_own_face_does():
    faces = (mix(rebound=0.5), mix(orientation=Orientation.FLOOR, rebound=0.2))
    zones = (zone("Z1"), zone("Z2", orientation=Orientation.FLOOR))
    plan = Plan(
        spells=(spell(zone="Z1", volume_m3=1.0), spell(zone="Z2", volume_m3=1.0)), runs=(run(),)
    )
    money, rules = prices(hose_m3={Process.DRY: 1.0}), Rules(waste=0.0)
    hose = line("hose", plan, mixes=faces, zones=zones, prices=money, rules=rules)
    assert hose == pytest.approx(1.0 / 0.5 + 1.0 / 0.8)


def test_the_cost_is_the_sum_of_its_lines():
    money = prices(day=0.1, relocation=0.2)
    plan = Plan(runs=(run(),), relocations=(relocation(),))
    assert cost(campaign(prices=money, positions=SPOTS), plan) == 0.3


def test_gates_and_pumps_cost_each_day_of_the_campaign_that_they_touch():
    def hired(start, end, price):
        return FlowControl(
            section="A", from_min=start, to_min=end, flow_factor=0.5, price_day=price
        )

    # day 1 from 10:00 to the end of day 2; from before the start to 00:00 of day 2; never
    gates = (hired(600, 2880, 100.0), hired(-5000, 1440, 10.0), hired(99_999, 100_000, 1.0))
    scene = campaign(water=Water(kind=WaterKind.SEWER, controls=gates))
    assert cost_lines(scene, Plan())["flow_control"] == 2 * 100.0 + 10.0
    assert cost(scene, Plan()) == 210.0
    assert figures.cost_lines(Case(scene, Plan()))["flow_control"] == 210.0
    assert "flow_control" not in cost_lines(campaign(), Plan())
