"""The exact method finds what can be found by hand; times are hours from the first midnight."""

from dataclasses import replace
from itertools import pairwise, permutations
from math import dist
from typing import Any

import pytest

from planner.checks.check import check_plan
from planner.model.campaign import Campaign
from planner.model.identifiers import (
    CrewKind,
    Goal,
    MixId,
    Orientation,
    PositionId,
    Process,
    ShiftId,
    ZoneId,
)
from planner.model.limits import Apart, ApartKind, ClosureScope, OpenLimit
from planner.model.rules import Prices
from planner.plan import measures
from tests import builders
from tests.exact.scene import OffGridError
from tests.exact.scenes import GRID_MIN, face, far, layered, rig, rules, scene, tide, zone
from tests.exact.solve import Exact, solve_exactly
from tests.exact.water import NotCoveredError

TWO_RIGS = (rig("R1"), rig("R2"))
TWO_CREWS = (builders.crew("C1"), builders.crew("C2"))
TWO_PLACES = (builders.position("P1"), far("P2"))
SHARED: dict[str, Any] = {"positions": (builders.position("P1", rigs_max=2),), "rigs": TWO_RIGS}
EARLY = (builders.shift(start_tod=5 * 60),)
THREE_HOURS = (builders.shift(end_tod=9 * 60),)


def solved(campaign: Campaign, *, grid_min: int = GRID_MIN) -> Exact:
    """Solve, and hold the plan against the auditor and the measures."""
    found = solve_exactly(campaign, grid_min=grid_min)
    assert check_plan(campaign, found.plan, None) == []
    assert measures.planned_m3(found.plan) == pytest.approx(found.planned_m3, abs=1e-6)
    last = campaign.goals[-1]
    assert measures.value(campaign, found.plan, last) == pytest.approx(found.best[last], abs=1e-4)
    return found


def best(campaign: Campaign) -> Exact:
    found = solved(campaign)
    assert found.gaps == ()
    return found


def finish_h(campaign: Campaign) -> float:
    return best(campaign).best[Goal.FINISH]


def test_a_zone_alone_waits_for_start_up_and_zone_change():
    assert finish_h(scene()) == pytest.approx(8.0)  # 06:00 + 0:30 + 0:30 + 1:00


def test_zones_of_one_run_share_its_start_up():
    zones = (zone("Z1"), zone("Z2"), zone("Z3", 2.0))
    # 07:00-08:00, 08:30-09:30, 10:00-12:00
    assert finish_h(scene(zones=zones)) == pytest.approx(12.0)


def test_another_zone_is_sprayed_while_a_layer_sets():
    # 07-08, the other 08:30-09:30, second layer from 10:00
    assert finish_h(scene(zones=(layered("Z1", 2), zone("Z2")))) == pytest.approx(11.0)


def test_a_greatest_gap_interleaves_two_zones():
    zones, mix = (layered("Z1", 2), layered("Z2", 2)), face(layer_gap_max_h=2.0)
    # 07-08, 08:30-09:30, 10-11, 11:30-12:30: both gaps are 2 h
    assert finish_h(scene(zones=zones, mixes=(mix,))) == pytest.approx(12.5)


def test_a_greatest_gap_can_leave_a_zone_out():
    mix = face(layer_gap_min_h=2.0, layer_gap_max_h=2.0)
    late = builders.closure(ClosureScope.ZONE, "Z1", from_min=9 * 60, to_min=11 * 60)
    night = builders.closure(ClosureScope.ZONE, "Z1", from_min=12 * 60, to_min=36 * 60)
    # open 00-09 and 11-12 and nothing else of the shift: 07-08 would need 10-11
    campaign = scene(zones=(layered("Z1", 2),), mixes=(mix,), closures=(late, night))
    found = best(campaign)
    assert found.planned_m3 == pytest.approx(0.0)


def test_get_in_and_get_out_shorten_the_window():
    wet = zone("Z1", 0.5, water_max_m=2.0)  # 04:00-08:00, shortened 04:30-07:30
    short = rules(get_in_min=30, get_out_min=30)
    assert finish_h(scene(zones=(wet,), water=tide(), rules=short)) == pytest.approx(7.5)
    full = scene(zones=(replace(wet, volume_m3=1.0),), water=tide(), rules=short)
    assert best(full).planned_m3 == pytest.approx(0.0)  # the evening's clean-up is after 18:00


def test_allowance_narrows_the_window():
    wet = zone("Z1", 0.5, water_max_m=2.0)
    # 2.0 m less 0.5 m: 04:30-07:30; less 1.0 m: 05:00-07:00 and no spell from 07:00
    half, whole = tide(allowance_m=0.5), tide(allowance_m=1.0)
    assert finish_h(scene(zones=(wet,), water=half)) == pytest.approx(7.5)
    assert best(scene(zones=(wet,), water=whole)).planned_m3 == pytest.approx(0.0)


def test_trimming_has_to_fit_into_the_window_but_not_into_the_shift():
    mix = face(finish_min_m2=3.0)  # 20 m²: 60 min
    wet = zone("Z1", 0.5, water_max_m=2.0, area_m2=20.0)
    # 07:00-07:30 and trimming until 08:30 > 08:00; 16:30-17:00 and trimming until 18:00
    assert finish_h(scene(zones=(wet,), water=tide(), mixes=(mix,))) == pytest.approx(17.0)


def test_fresh_work_stays_dry_until_it_is_protected():
    early = zone("Z1", 0.5, water_max_m=2.0, wets_at_m=2.51)  # wet from 08:30
    campaign = scene(zones=(early,), water=tide(), shifts=EARLY)
    assert finish_h(campaign) == pytest.approx(6.5)  # 06:00-06:30, dry until 08:30
    # 06:00-07:00 would be wetted; in the evening 16:30-17:30 stays dry until 20:30
    longer = replace(campaign, zones=(replace(early, volume_m3=1.0),))
    assert finish_h(longer) == pytest.approx(17.5)


def test_a_run_ends_inside_its_shift():
    # 06:00-09:00 leaves 07:00-08:30 for spells
    fits = scene(zones=(zone("Z1", 1.5), zone("Z2", 1.5)), shifts=THREE_HOURS, days=2)
    assert finish_h(fits) == pytest.approx(24 + 8.5)
    assert best(scene(zones=(zone("Z1", 2.0),), shifts=THREE_HOURS)).planned_m3 == 0


def test_a_relocation_costs_clean_up_move_and_start_up():
    zones = (zone("Z1"), zone("Z2", x_m=1000.0))
    found = best(scene(zones=zones, positions=TWO_PLACES))
    # 08:00 + 0:30 clean-up + 1:00 move + 0:30 start-up + 0:30 zone change + 1:00
    assert found.best == {
        Goal.FINISH: pytest.approx(11.5),
        Goal.RELOCATIONS: 1,
        Goal.COST: pytest.approx(0.0),
    }


def test_a_gang_relocates_in_its_own_shift():
    zones = (zone("Z1"), zone("Z2", x_m=1000.0))
    night = builders.shift("night", start_tod=22 * 60, end_tod=6 * 60)
    gang = scene(
        days=2,
        zones=zones,
        positions=TWO_PLACES,
        rules=rules(relocation_shift=ShiftId("night")),
        shifts=(builders.shift(), night),
    )
    assert finish_h(gang) == pytest.approx(24 + 8.0)


def test_a_rig_that_stands_elsewhere_is_relocated_first():
    at = rig(at=PositionId("P2"))
    assert finish_h(scene(positions=TWO_PLACES, rigs=(at,))) == pytest.approx(9.0)


def test_one_crew_serves_two_rigs_in_turn():
    zones = (zone("Z1"), zone("Z2", x_m=1000.0))
    campaign = scene(zones=zones, positions=TWO_PLACES, rigs=TWO_RIGS)
    # runs 06:00-08:30 and 08:30-11:00
    assert finish_h(campaign) == pytest.approx(10.5)
    assert finish_h(replace(campaign, crews=TWO_CREWS)) == pytest.approx(8.0)


def test_a_position_holds_only_so_many_rigs():
    zones = (zone("Z1"), zone("Z2"))
    both = scene(zones=zones, crews=TWO_CREWS, **SHARED)
    assert finish_h(both) == pytest.approx(8.0)
    one = replace(both, positions=(builders.position("P1"),))
    assert finish_h(one) == pytest.approx(9.5)  # one rig sprays both


def test_a_rig_that_only_stands_there_blocks_nobody():
    idle = rig("R2", at=PositionId("P1"), mixes=(MixId("other"),))
    assert finish_h(scene(rigs=(rig("R1"), idle))) == pytest.approx(8.0)


def test_a_long_wait_ends_the_run():
    prices = Prices(material_m3={MixId("dry"): 100.0}, line_waste_m3={Process.DRY: 0.5})
    campaign = scene(zones=(layered("Z1", 2),), prices=prices)
    # one run: 2 m³ x 1.03 x 100 + 50; with idle_max 1 h the wait of 2 h makes two runs
    assert best(campaign).best[Goal.COST] == pytest.approx(256.0)
    brief = replace(campaign, rigs=(rig(idle_max_min=60),))
    found = best(brief)
    assert found.best[Goal.COST] == pytest.approx(306.0)
    assert len(found.plan.runs) == 2


def test_lifts_are_sprayed_from_the_bottom_up():
    zones = (zone("Z1", after=(ZoneId("Z2"),)), zone("Z2"))
    campaign = scene(zones=zones, crews=TWO_CREWS, **SHARED)
    assert finish_h(campaign) == pytest.approx(9.0)  # 07-08, then 08-09 by the other rig


def test_nothing_starts_before_a_zone_is_ready():
    assert finish_h(scene(zones=(zone("Z1", ready_from_min=540),))) == pytest.approx(10.0)


def test_neighbours_are_not_worked_at_the_same_time():
    pair = Apart(zone_a=ZoneId("Z1"), zone_b=ZoneId("Z2"), kind=ApartKind.WORK)
    zones = (zone("Z1"), zone("Z2"))
    campaign = scene(zones=zones, crews=TWO_CREWS, apart=(pair,), **SHARED)
    assert finish_h(campaign) == pytest.approx(9.5)  # zone change of the second from 08:00


def test_neighbours_are_not_open_until_the_first_has_strength():
    pair = Apart(zone_a=ZoneId("Z1"), zone_b=ZoneId("Z2"), kind=ApartKind.OPEN)
    zones = (zone("Z1"), zone("Z2"))
    campaign = scene(zones=zones, apart=(pair,), rules=rules(strength_hold_h=4.0))
    assert finish_h(campaign) == pytest.approx(13.0)  # 08:00 + 4 h + 1 h


def test_a_group_has_a_greatest_number_of_open_zones():
    names = (ZoneId("Z1"), ZoneId("Z2"), ZoneId("Z3"))
    limit = OpenLimit(group="pier", zones=names, open_max=1)
    campaign = scene(
        zones=tuple(zone(name) for name in names), crews=TWO_CREWS, open_limits=(limit,), **SHARED
    )
    assert finish_h(campaign) == pytest.approx(10.0)  # 07-08, 08-09, 09-10 by turns


def test_a_panel_comes_days_before_production():
    campaign = scene(days=2, rules=rules(panel_days=1, panel_min=60))
    # panel run 06:00-08:00 (0:30 + 1:00 + 0:30), spraying a day later
    assert finish_h(campaign) == pytest.approx(24 + 9.0)


def test_one_panel_serves_all_layers_of_a_zone():
    zones = (layered("Z1", 2),)
    campaign = scene(days=2, zones=zones, rules=rules(panel_days=1, panel_min=60))
    # panel run 06:00-08:00; 08:00-09:00 the next day, 2 h, 11:00-12:00
    assert finish_h(campaign) == pytest.approx(24 + 12.0)


def test_priority_comes_before_volume():
    zones = (zone("Z1", 1.5, priority=2), zone("Z2", 1.0))
    campaign = scene(zones=zones, shifts=THREE_HOURS)
    assert best(campaign).volume_m3 == {1: pytest.approx(1.0), 2: pytest.approx(0.0)}


def test_every_cost_line_is_counted():
    prices = Prices(
        day=10.0,
        rig_day={builders.rig().rig_id: 20.0},
        crew_shift={builders.crew().crew_id: 30.0},
        material_m3={MixId("dry"): 100.0},
        load_min_m3={Process.DRY: 2.0},
        load_step_m3={Process.DRY: 0.8},
        hose_m3={Process.DRY: 7.0},
        rebound_m3=9.0,
    )
    place = builders.position(set_up_cost=5.0)
    mix = face(rebound=0.5)  # so 0.5 m³/h in place, and q = 0.5 x 1.03 / 0.5 = 1.03
    campaign = scene(zones=(zone("Z1", 0.5),), prices=prices, positions=(place,), mixes=(mix,))
    # at least 2 m³, in steps of 0.8: 2.4; rebound 1.03 - 0.5
    expected = 10 + 20 + 30 + 5 + 2.4 * 100 + 1.03 * 7 + 0.53 * 9
    assert best(campaign).best[Goal.COST] == pytest.approx(expected)


def test_loads_are_shared_inside_a_run_only():
    prices = Prices(material_m3={MixId("dry"): 100.0}, load_min_m3={Process.DRY: 2.5})
    near = (zone("Z1"), zone("Z2"))
    # one run: q = 2.06, bought 2.5; two positions mean two runs
    assert best(scene(zones=near, prices=prices)).best[Goal.COST] == pytest.approx(250.0)
    apart = scene(zones=(near[0], zone("Z2", x_m=1000.0)), positions=TWO_PLACES, prices=prices)
    assert best(apart).best[Goal.COST] == pytest.approx(500.0)


def test_a_crew_stands_by_between_two_days_of_work():
    crew = builders.crew().crew_id
    prices = Prices(crew_shift={crew: 10.0}, crew_standby_day={crew: 50.0})
    away = builders.closure(ClosureScope.ZONE, "Z1", from_min=1440, to_min=3 * 1440)
    late = zone("Z2", ready_from_min=2 * 1440)
    campaign = scene(days=3, zones=(zone("Z1"), late), prices=prices, closures=(away,))
    assert best(campaign).best[Goal.COST] == pytest.approx(10 + 50 + 10)
    free = replace(campaign, closures=())
    found = best(free)  # the second zone alone on the third day, the first on the second
    assert found.best[Goal.FINISH] == pytest.approx(48 + 8.0)
    assert found.best[Goal.COST] == pytest.approx(10 + 10)


def test_a_layer_with_joints_goes_on_the_next_day():
    whole = zone("Z1", 3.0, joint_allowed=True)
    campaign = scene(days=2, zones=(whole,), shifts=THREE_HOURS, goals=(Goal.FINISH, Goal.JOINTS))
    found = solved(replace(campaign, may_worsen=(0.0,)))
    # 07:00-08:30 on both days
    assert found.best == {Goal.FINISH: pytest.approx(24 + 8.5), Goal.JOINTS: 1}
    assert found.gaps  # pieces of 15 min and more: a grid of 30 min proves nothing


def test_a_layer_in_two_pieces_is_exact_on_half_the_grid():
    whole = zone("Z1", 3.0, joint_allowed=True)
    campaign = scene(days=2, zones=(whole,), shifts=THREE_HOURS, rules=rules(spell_min_min=90))
    found = solved(campaign, grid_min=15)
    assert found.gaps == ()
    assert found.best[Goal.FINISH] == pytest.approx(24 + 8.5)


def test_break_out_and_preparation_come_first():
    breaker = builders.crew("B1", kind=CrewKind.BREAK_OUT, rate_m3_h=1.0)
    campaign = scene(crews=(builders.crew(), breaker), rules=rules(prepare_min_h=2.0))
    assert finish_h(campaign) == pytest.approx(10.0)  # 06-07, 2 h, 09-10
    done = replace(campaign, zones=(zone("Z1", broken_out=True),))
    assert finish_h(done) == pytest.approx(8.0)


def test_a_zone_does_not_stay_broken_out_for_too_long():
    breaker = builders.crew("B1", kind=CrewKind.BREAK_OUT, rate_m3_h=1.0)
    monday = builders.closure(ClosureScope.CREW, "C1", from_min=0, to_min=1440)
    campaign = scene(
        days=2,
        crews=(builders.crew(), breaker),
        rules=rules(max_open_days=0.5),
        closures=(monday,),
    )
    found = solved(campaign)
    assert found.best[Goal.FINISH] == pytest.approx(24 + 8.0)
    # so the last of it is not done before 19:00, that is on Tuesday
    assert max(piece.end_min for piece in found.plan.break_outs) > 24 * 60


def test_duties_are_parted_by_rests():
    crew = builders.crew(duty_max_min=240, rest_min_min=600)
    campaign = scene(days=2, zones=(zone("Z1"), zone("Z2", 2.0)), crews=(crew,))
    # 5 h in one run are too many; 2 m³ today until 09:30, 1 m³ tomorrow 07-08
    assert finish_h(campaign) == pytest.approx(24 + 8.0)


def test_nights_are_avoided_where_that_is_the_first_goal():
    shift = (builders.shift(start_tod=240, end_tod=720),)  # 04:00-12:00
    first = scene(shifts=shift, goals=(Goal.NIGHT_RUNS, Goal.FINISH), may_worsen=(0.0,))
    assert best(first).best == {Goal.NIGHT_RUNS: 0, Goal.FINISH: pytest.approx(8.0)}
    second = replace(first, goals=(Goal.FINISH, Goal.NIGHT_RUNS))
    assert best(second).best == {Goal.FINISH: pytest.approx(6.0), Goal.NIGHT_RUNS: 1}


def test_lateness_is_summed_in_parts_of_days():
    zones = (zone("Z1", due_min=420), zone("Z2", due_min=420))
    campaign = scene(zones=zones, goals=(Goal.LATE,), may_worsen=())
    # 08:00 and 09:30 against 07:00: 1 h + 2.5 h
    assert best(campaign).best[Goal.LATE] == pytest.approx(3.5 / 24)


def test_a_little_later_may_save_a_relocation():
    zones = (zone("Z1"), zone("Z2"))
    rigs = (rig("R1"), rig("R2", at=PositionId("P2")))
    positions = (builders.position("P1", rigs_max=2), far("P2"))
    campaign = scene(zones=zones, rigs=rigs, crews=TWO_CREWS, positions=positions)
    campaign = replace(campaign, goals=(Goal.FINISH, Goal.RELOCATIONS), may_worsen=(0.0,))
    # moving 06-07 gives 08-09; staying gives 09:30 on one rig
    assert best(campaign).best == {Goal.FINISH: pytest.approx(9.0), Goal.RELOCATIONS: 1}
    easy = replace(campaign, may_worsen=(0.1,))
    assert best(easy).best == {Goal.FINISH: pytest.approx(9.0), Goal.RELOCATIONS: 0}


@pytest.mark.parametrize(
    ("scope", "target"),
    [
        (ClosureScope.SITE, ""),
        (ClosureScope.POSITION, "P1"),
        (ClosureScope.ZONE, "Z1"),
        (ClosureScope.RIG, "R1"),
        (ClosureScope.CREW, "C1"),
        (ClosureScope.PROCESS, "dry"),
        (ClosureScope.SECTION, "S1"),
    ],
)
def test_nothing_of_a_closed_scope_works(scope: ClosureScope, target: str):
    shut = builders.closure(scope, target, from_min=0, to_min=540)  # until 09:00
    campaign = scene(zones=(zone("Z1", section="S1"),), closures=(shut,))
    # a zone or a section closed lets the rig start up before
    early = scope in {ClosureScope.ZONE, ClosureScope.SECTION}
    assert finish_h(campaign) == pytest.approx(10.5 if early else 11.0)


def test_a_run_has_one_mix_but_may_have_two_orientations():
    faces = (face("a"), face("b"), face("a", orientation=Orientation.VERTICAL))
    mixed = (zone("Z1", mixes=(MixId("a"),)), zone("Z2", mixes=(MixId("b"),)))
    # runs 06:00-08:30 and 08:30-11:00
    assert finish_h(scene(zones=mixed, mixes=faces)) == pytest.approx(10.5)
    sides = (mixed[0], zone("Z2", mixes=(MixId("a"),), orientation=Orientation.VERTICAL))
    assert finish_h(scene(zones=sides, mixes=faces)) == pytest.approx(9.5)


def test_a_positions_water_limits_hold_for_the_whole_run():
    barge = builders.position(water_max_m=2.0)  # 04:00-08:00
    campaign = scene(zones=(zone("Z1", 0.5),), positions=(barge,), water=tide())
    assert finish_h(campaign) == pytest.approx(7.5)  # run 06:00-08:00
    longer = replace(campaign, zones=(zone("Z1", 1.0),))
    assert best(longer).planned_m3 == pytest.approx(0.0)
    assert finish_h(replace(longer, shifts=EARLY)) == pytest.approx(7.0)


def test_a_finer_grid_finds_nothing_better_where_the_grid_is_exact():
    pair = Apart(zone_a=ZoneId("Z1"), zone_b=ZoneId("Z3"), kind=ApartKind.OPEN)
    zones = (layered("Z1", 2, water_max_m=2.0), zone("Z2", 0.5), zone("Z3", x_m=1000.0))
    campaign = scene(zones=zones, positions=TWO_PLACES, water=tide(), apart=(pair,))
    coarse, fine = (solved(campaign, grid_min=g) for g in (30, 15))
    assert coarse.gaps == ()
    assert coarse.best == pytest.approx(fine.best)
    assert coarse.planned_m3 == pytest.approx(fine.planned_m3)


def test_the_tour_of_positions_is_the_shortest_of_all_orders():
    places = {"P1": (0.0, 0.0), "P2": (300.0, 400.0), "P3": (300.0, 0.0)}
    positions = tuple(builders.position(p, x_m=x, y_m=y) for p, (x, y) in places.items())
    zones = tuple(zone(f"Z{p}", 0.5, x_m=x, y_m=y) for p, (x, y) in places.items())
    campaign = scene(
        zones=zones,
        positions=positions,
        rigs=(rig(move_min=0.0, move_min_per_100m=30.0),),
        shifts=(builders.shift(start_tod=0, end_tod=0),),
    )
    shortest_m = min(
        sum(dist(places[a], places[b]) for a, b in pairwise(order))
        for order in permutations(places)
    )
    assert shortest_m == 300 + 400  # and not the diagonal of 500 m
    # three runs of 0:30 start-up, 0:30 zone change, 0:30 spell and (but the last) 0:30 clean-up
    assert finish_h(campaign) == pytest.approx(3 * 2.0 - 0.5 + shortest_m / 100 * 0.5)


def test_durations_off_the_grid_are_refused():
    with pytest.raises(OffGridError, match="20"):
        solve_exactly(scene(rigs=(rig(start_up_min=20),)), grid_min=GRID_MIN)


def test_what_is_not_covered_is_refused():
    crew = builders.crew(week_max_min=600)
    with pytest.raises(NotCoveredError, match="week_max_h"):
        solve_exactly(scene(crews=(crew,)), grid_min=GRID_MIN)
    with pytest.raises(NotCoveredError, match="progress"):
        solve_exactly(scene(done=(builders.done(),)), grid_min=GRID_MIN)


def test_an_edge_off_the_grid_is_named():
    odd = builders.shift(start_tod=6 * 60 + 10)
    found = solved(scene(shifts=(odd,)))
    assert found.gaps == ("not on the grid: shift day",)
    assert found.best[Goal.FINISH] == pytest.approx(8.5)  # an upper bound of 08:10


def test_a_zone_beyond_the_hose_is_left_out():
    found = best(scene(zones=(zone("Z1", x_m=150.0), zone("Z2"))))
    assert found.planned_m3 == pytest.approx(1.0)
    assert [row.zone for row in found.plan.unplanned] == ["Z1"]
