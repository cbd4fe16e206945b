"""What every plan must pay, on scenes whose sums are done by hand.

In the scene of :mod:`tests.builders` one zone takes 2.2 m³, 10 min change and a spell of 66 min,
one crew works from 06:00 to 18:00, start-up takes 20 min and clean-up 15.  So a shift holds
720 - 35 = 685 min of zone work, and a zone takes 76 of them.
"""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from planner.model.identifiers import CrewId, Goal, MixId, Process, RigId
from planner.model.limits import Closure, ClosureScope
from planner.optimise.bounds.claims import Claims
from planner.optimise.bounds.spend import least_cost, material_cost
from planner.optimise.engine import Settings, optimise
from planner.optimise.hand_rule import hand_rule
from planner.optimise.problem import Problem
from planner.optimise.score import Scored
from planner.plan import measures
from tests import builders as make
from tests.unit.optimise.scenes import DAY, broken_rules, problem, rules, zones

C1, R1, DRY = CrewId("C1"), RigId("R1"), MixId("dry")
VOLUME_M3 = 2.2
THROUGH_M3 = VOLUME_M3 / 0.5 * 1.03
"""Half rebounds and 3 % is waste: what goes through the nozzle."""


def paid(**changes: Any) -> float:
    """Least cost of all zones, whenever they are finished."""
    return paid_in(problem(**changes))


def paid_in(of: Problem) -> float:
    """The same of a problem."""
    claims = Claims(of)
    volume = sum(claims.problem.left_volume[z] for z in claims.possible)
    return least_cost(claims.work, claims.possible, volume, claims.problem.end)


def by_hand(of: Problem) -> tuple[float, float]:
    """Cost of the hand rule's plan, found valid, and the bound on it."""
    scored = Scored(hand_rule(of, lambda: False)[0])
    assert scored.plan.spells
    assert broken_rules(of, scored.plan) == []
    return scored.value(Goal.COST), Claims(of).bound(Goal.COST, {}, scored)


def test_nothing_is_paid_without_prices():
    assert paid() == 0.0


def test_material_is_bought_for_what_goes_through_the_nozzle():
    prices = make.prices(material_m3={DRY: 100.0})
    assert paid(prices=prices) == pytest.approx(100.0 * THROUGH_M3)


def test_hose_is_paid_for_what_goes_through_and_rebound_for_what_does_not_stay():
    prices = make.prices(hose_m3={Process.DRY: 10.0}, rebound_m3=7.0)
    expected = 10.0 * THROUGH_M3 + 7.0 * (THROUGH_M3 - VOLUME_M3)
    assert material_cost(problem(prices=prices), 0, 0) == pytest.approx(expected)
    assert paid(prices=prices) == pytest.approx(expected)


def test_the_cheaper_mix_is_assumed():
    mixes = (make.mix("dry"), make.mix("dear"))
    prices = make.prices(material_m3={DRY: 100.0, MixId("dear"): 300.0})
    assert paid(prices=prices, mixes=mixes) == pytest.approx(100.0 * THROUGH_M3)


def test_of_two_zones_the_one_that_is_left_out_costs_nothing():
    prices = make.prices(material_m3={DRY: 100.0})
    claims = Claims(problem(zones=zones(2), prices=prices))
    half = least_cost(claims.work, claims.possible, VOLUME_M3, claims.problem.end)
    assert half == pytest.approx(100.0 * THROUGH_M3, rel=1e-5)


def test_a_crew_is_paid_at_least_the_share_of_its_shift_that_it_works():
    prices = make.prices(crew_shift={C1: 685.0})
    assert paid(prices=prices) == pytest.approx(76.0, rel=1e-6)
    assert paid(zones=zones(3), prices=prices) == pytest.approx(3 * 76.0, rel=1e-6)


def test_a_day_on_site_is_paid_in_full():
    assert paid(prices=make.prices(day=1000.0)) == pytest.approx(1000.0)
    # 9 x 76 = 684 of 685 min; ten zones take a second day
    assert paid(zones=zones(9), prices=make.prices(day=1000.0)) == pytest.approx(1000.0)
    assert paid(zones=zones(10), prices=make.prices(day=1000.0)) == pytest.approx(2000.0)


def test_ten_zones_keep_the_rig_for_more_than_one_day_at_least_by_shares():
    prices = make.prices(rig_day={R1: 685.0})
    bound = paid(zones=zones(10), prices=prices)
    assert 760.0 - 1e-3 <= bound <= 2 * 685.0


def test_the_bound_lies_below_the_hand_rules_plan_with_every_price():
    prices = make.prices(
        day=1000.0,
        rig_day={R1: 300.0},
        crew_shift={C1: 700.0},
        crew_standby_day={C1: 400.0},
        material_m3={DRY: 100.0},
        line_waste_m3={Process.DRY: 0.1},
        load_step_m3={Process.DRY: 0.5},
        relocation=250.0,
        rebound_m3=20.0,
    )
    cost, bound = by_hand(problem(zones=zones(12), prices=prices))
    assert 0.8 * cost < bound <= cost


def test_a_panel_before_the_day_s_closure_and_spraying_after_it_take_one_shift():
    # every day shut from 11:30 to 12:30: two pieces of 330 min, the panel waits 360 min, but
    # panel 06:00-07:05 and run 12:35-14:26 lie in one shift of 720 min
    shut = tuple(
        make.closure(ClosureScope.CREW, "C1", from_min=d * 1440 + 690, to_min=d * 1440 + 750)
        for d in range(14)
    )
    one_shift = problem(
        rules=rules(panel_days=0.25, panel_min=30),
        closures=shut,
        prices=make.prices(crew_shift={C1: 100.0}),
    )
    cost, bound = by_hand(one_shift)
    assert cost == 100.0
    assert bound <= cost


def test_a_panel_that_cannot_lie_in_the_shift_of_the_first_run_takes_one_more():
    # 24 h after the panel the shift of 12 h is over: one shift for the panel, 76 of 685 min
    waiting = problem(
        rules=rules(panel_days=1.0, panel_min=30), prices=make.prices(crew_shift={C1: 685.0})
    )
    cost, bound = by_hand(waiting)
    assert cost == 2 * 685.0
    assert bound == pytest.approx(685.0 + 76.0, rel=1e-5)


def test_midnight_is_that_of_the_clock_where_the_clock_goes_forward():
    # Shifts 22:56-04:00 after the clock went forward; the panel ends at 00:01, two days later the
    # run begins at 23:31, so that the crew works on both days and on each day between: 2 shifts
    # and no day of standby
    late = problem(
        clock=make.clock(first_day=date(2026, 3, 28), last_day=date(2026, 4, 10)),
        rules=rules(panel_days=2.0, panel_min=30),
        crews=(make.crew(available_from_min=3480, available_to_min=13 * 1440),),
        shifts=(make.shift(start_tod=22 * 60 + 56, end_tod=4 * 60),),
        prices=make.prices(crew_shift={C1: 100.0}, crew_standby_day={C1: 100.0}),
    )
    cost, bound = by_hand(late)
    assert cost == 200.0
    assert bound <= cost


SLOTS = {1: (480, 556), 2: (660, 736), 3: (840, 916)}
"""Three times a day for a zone change and a spell, 76 min."""


def only_in(name: str, slot: int) -> tuple[Closure, ...]:
    """A zone is open in a slot of each day only, with 10 min to get in and out."""
    low, high = SLOTS[slot]
    edges = [
        0,
        *(m for d in range(14) for m in (d * DAY + low - 10, d * DAY + high + 10)),
        14 * DAY,
    ]
    return tuple(
        make.closure(ClosureScope.ZONE, name, from_min=a, to_min=b)
        for a, b in zip(edges[::2], edges[1::2], strict=True)
    )


def test_two_crews_that_share_the_second_of_three_rigs_have_three_rigs_and_not_four():
    # R1 in slots 1 and 2 and between them, R2 in slots 1 and 3, R3 in slots 2 and 3: the crews
    # take R1 (slots 1, 2), then R2 (slot 3); and R2 (slot 1), then R3 (slots 2, 3)
    slots = {1: (1, 2), 2: (1, 3), 3: (2, 3)}
    named = {f"Z{r}{slot}": (r, slot) for r, mine in slots.items() for slot in mine}
    patches = [make.zone(name, mixes=(MixId(f"m{r}"),)) for name, (r, _) in named.items()]
    between = make.zone("Z10", area_m2=10.0, mixes=(MixId("m1"),))
    rigs = [make.rig(f"R{r}", mixes=(MixId(f"m{r}"),)) for r in slots]
    crews = (make.crew("C1"), make.crew("C2"))
    of = problem(
        zones=(*patches, between),
        closures=tuple(c for name, (_, slot) in named.items() for c in only_in(name, slot)),
        mixes=tuple(make.mix(f"m{r}") for r in slots),
        rigs=tuple(rigs),
        crews=crews,
        positions=(make.position(rigs_max=3),),
        prices=make.prices(
            crew_shift={crew.crew_id: 1000.0 for crew in crews},
            rig_day={one.rig_id: 100.0 for one in rigs},
        ),
    )
    settings = Settings(seed=1, workers=1, seconds=60.0, effort=0.01)
    plan, _ = optimise(of.campaign, settings=settings)
    assert broken_rules(of, plan) == []
    assert measures.value(of.campaign, plan, Goal.COST) == 2 * 1000.0 + 3 * 100.0
    assert 2 * 1000.0 < paid_in(of) <= 2 * 1000.0 + 3 * 100.0 + 1e-6
