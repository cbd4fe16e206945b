"""The flow of minutes into cells: every plan is a point of it, so its bounds hold."""

from __future__ import annotations

from typing import Any

import pytest

from planner.model.limits import ClosureScope
from planner.optimise.bounds.claims import Claims
from planner.optimise.bounds.demand import demand_of
from planner.optimise.bounds.flow import Flow
from planner.optimise.bounds.hours import rows_of
from planner.optimise.bounds.packing import Packing
from planner.optimise.bounds.posts import Site
from planner.optimise.bounds.volume import most_volume_m3
from tests import builders as make
from tests.unit.optimise.scenes import DAY, problem, zones


def flow(minute: int = 14 * DAY, **changes: Any) -> Flow:
    claims = Claims(problem(**changes))
    site = Site(claims.work, minute, crews_count=True)
    packing = Packing(site, rows_of(claims.work, site.teams))
    volume = sum(claims.problem.left_volume[z] for z in claims.possible)
    return Flow(packing, demand_of(claims.work, packing.kinds, claims.possible, volume), minute)


def most_m3(**changes: Any) -> float:
    claims = Claims(problem(**changes))
    return most_volume_m3(claims.work, claims.possible)


def fewest_turns(of: Flow) -> float:
    """Shifts worked, in parts."""
    for column in [column for row in of.turns for column in row]:
        of.model.cost[column] = 1.0
    return of.model.proven(nodes=100, seconds=5.0) or 0.0


def one_day(**changes: Any) -> dict[str, Any]:
    """The only crew is there on the first day only."""
    return {"crews": (make.crew(available_to_min=DAY),), **changes}


def test_like_shifts_are_one_turn():
    (turn,) = flow(zones=zones(3)).turn_rows
    assert len(turn.occurrences) == 14
    assert turn.shapes == (0,)


def test_a_shift_that_is_cut_is_a_turn_of_its_own():
    shut = make.closure(ClosureScope.CREW, "C1", from_min=DAY + 600, to_min=DAY + 700)
    turns = flow(zones=zones(3), closures=(shut,)).turn_rows
    assert sorted(len(turn.shapes) for turn in turns) == [1, 2]
    assert sorted(len(turn.occurrences) for turn in turns) == [1, 13]


@pytest.mark.parametrize("count", [1, 9, 20])
def test_turns_hold_what_their_minutes_hold(count: int):
    # 76 of 685 min for each zone
    assert fewest_turns(flow(zones=zones(count))) == pytest.approx(count * 76 / 685, rel=1e-6)


def test_two_crews_each_take_their_own_turns():
    crews = (make.crew("C1"), make.crew("C2"))
    of = flow(zones=zones(9), rigs=(make.rig("R1"), make.rig("R2")), crews=crews)
    assert [len(row) for row in of.turns] == [2]
    assert fewest_turns(of) == pytest.approx(9 * 76 / 685, rel=1e-6)


def test_all_zones_that_fit_are_most():
    assert most_m3(zones=zones(9)) == pytest.approx(9 * 2.2)
    assert most_m3(**one_day(zones=zones(9))) == pytest.approx(9 * 2.2)


def test_what_does_not_fit_is_left_out_in_parts():
    # 685 of 760 min
    assert most_m3(**one_day(zones=zones(10))) == pytest.approx(22.0 * 685 / 760, rel=1e-6)


def test_of_zones_that_do_not_all_fit_those_with_most_volume_a_minute_are_taken():
    # ten zones of 2.2 m³ in 76 min, four of 4.4 m³ in 142 min: 568 min, 117 min are left
    patches = (*zones(10), *(make.zone(f"L{k}", area_m2=40.0) for k in range(4)))
    expected = 4 * 4.4 + 2.2 * 117 / 76
    assert most_m3(**one_day(zones=patches)) == pytest.approx(expected, rel=1e-6)


def test_no_zones_have_no_volume():
    assert most_m3(zones=(make.zone(x_m=500.0),)) == 0.0


def test_a_week_of_few_hours_holds_little():
    crews = (make.crew(week_max_min=500),)
    # two weeks of 500 min, each with one run of 35 min more than zone work: 930 of 1520 min
    assert most_m3(zones=zones(20), crews=crews) == pytest.approx(44.0 * 930 / 1520, rel=1e-6)
