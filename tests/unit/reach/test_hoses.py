"""What a rig at a position reaches, with the arithmetic in sight."""

import math

from planner.model.identifiers import Process
from planner.model.rules import ReachBy
from planner.reach.hoses import HoseRun, Reach
from planner.reach.run import Lack
from tests.builders import campaign, position, rig, route, zone


def by_routes(*routes, **changes):
    return campaign(reach_by=ReachBy.ROUTES, routes=routes, **changes)


def run(scene, machine=None, *, spot=0, start=0):
    machine = machine or scene.rigs[0]
    return Reach(scene).run(scene.positions[start], scene.zones[spot], machine)


def test_the_equivalent_hose_adds_bends_and_net_rise_to_the_length():
    machine = rig(bend_m=3.0, rise_factor=4.0)
    scene = by_routes(
        route("P1", "w", 40.0, rise_m=6.0, bends=2),
        route("w", "Z1", 20.0, rise_m=-1.0, bends=1),
        rigs=(machine,),
    )
    # 40 + 20 laid; + 3 x (2 + 1) bends; + 4 x (6 - 1) rise
    assert run(scene) == HoseRun(hose_m=60.0 + 9.0 + 20.0, laid_m=60.0, rise_m=5.0)


def test_a_fall_is_no_gain():
    scene = by_routes(route(rise_m=-8.0), rigs=(rig(rise_factor=4.0),))
    assert run(scene) == HoseRun(hose_m=30.0, laid_m=30.0, rise_m=-8.0)


def test_a_route_is_usable_both_ways_with_its_rise_turned_round():
    scene = by_routes(route("Z1", "P1", 30.0, rise_m=-5.0, bends=1), rigs=(rig(bend_m=2.0),))
    assert run(scene) == HoseRun(hose_m=32.0, laid_m=30.0, rise_m=5.0)


def test_the_route_is_chosen_by_length_and_bends_and_not_by_rise():
    steep, flat = route("P1", "Z1", 20.0, rise_m=15.0), route("P1", "Z1", 30.0)
    scene = by_routes(steep, flat, rigs=(rig(rise_factor=10.0),))
    # 20 m is the least sum, though 20 + 150 is more than 30
    assert run(scene) == HoseRun(hose_m=170.0, laid_m=20.0, rise_m=15.0)


def test_the_same_routes_give_another_way_to_a_rig_that_minds_bends():
    crooked, straight = route("P1", "Z1", 20.0, bends=6), route("P1", "Z1", 30.0)
    minds, minds_not = rig("R1", bend_m=2.0), rig("R2", bend_m=0.0)
    scene = by_routes(crooked, straight, rigs=(minds, minds_not))
    assert run(scene, minds) == HoseRun(hose_m=30.0, laid_m=30.0, rise_m=0.0)
    assert run(scene, minds_not) == HoseRun(hose_m=20.0, laid_m=20.0, rise_m=0.0)


def test_of_equal_sums_the_route_with_the_least_rise_is_taken():
    over = (route("P1", "a", 10.0, rise_m=3.0), route("a", "Z1", 10.1))
    under = (route("P1", "b", 20.0, rise_m=1.0), route("b", "Z1", 0.1))
    scene = by_routes(*over, *under, rigs=(rig(rise_factor=1.0),))
    assert run(scene) == HoseRun(hose_m=21.1, laid_m=20.1, rise_m=1.0)


def test_of_equal_sums_and_rises_the_route_with_the_least_hose_laid_is_taken():
    bent, straight = route("P1", "Z1", 10.0, bends=2), route("P1", "Z1", 16.0)
    for routes in ((bent, straight), (straight, bent)):
        scene = by_routes(*routes, rigs=(rig(bend_m=3.0),))
        assert run(scene) == HoseRun(hose_m=16.0, laid_m=10.0, rise_m=0.0)


def test_a_hose_does_not_pass_through_another_position():
    scene = by_routes(
        route("P1", "P2", 5.0),
        route("P2", "Z1", 5.0),
        route("P1", "w", 50.0),
        route("w", "Z1", 40.0),
        positions=(position(), position("P2")),
    )
    assert run(scene) == HoseRun(hose_m=90.0, laid_m=90.0, rise_m=0.0)
    assert run(scene, start=1) == HoseRun(hose_m=5.0, laid_m=5.0, rise_m=0.0)


def test_a_hose_does_not_pass_through_another_zone():
    scene = by_routes(
        route("P1", "Z1", 5.0), route("Z1", "Z2", 5.0), zones=(zone("Z1"), zone("Z2"))
    )
    assert run(scene, spot=1) is None
    assert not Reach(scene).reaches(scene.positions[0], scene.zones[1], scene.rigs[0])


def test_legs_without_length_lead_on():
    scene = by_routes(route("P1", "a", 0.0), route("a", "b", 0.0), route("b", "Z1", 7.0))
    assert run(scene) == HoseRun(hose_m=7.0, laid_m=7.0, rise_m=0.0)


def test_a_circle_of_legs_without_length_is_not_walked_for_the_sake_of_its_fall():
    scene = by_routes(
        route("P1", "a", 5.0),
        route("a", "b", 0.0, rise_m=-1.0),
        route("b", "c", 0.0, rise_m=-1.0),
        route("c", "a", 0.0, rise_m=-1.0),
        route("a", "Z1", 5.0),
    )
    assert run(scene) == HoseRun(hose_m=10.0, laid_m=10.0, rise_m=0.0)


def test_the_longest_hose_and_the_greatest_rise_are_reached_and_no_more():
    for limits, is_reached in (
        ({"hose_max_m": 30.0, "rise_max_m": 4.0}, True),
        ({"hose_max_m": 29.999, "rise_max_m": 4.0}, False),
        ({"hose_max_m": 30.0, "rise_max_m": 3.999}, False),
        ({"hose_max_m": 30.0, "rise_max_m": None}, True),
    ):
        scene = by_routes(route(rise_m=4.0), rigs=(rig(**limits),))
        reach = Reach(scene)
        assert reach.reaches(scene.positions[0], scene.zones[0], scene.rigs[0]) is is_reached


def test_the_noise_of_fractions_does_not_make_a_hose_too_long():
    scene = by_routes(
        route("P1", "w", 0.1), route("w", "Z1", 0.2), rigs=(rig(hose_max_m=0.3),)
    )  # 0.1 + 0.2 is 0.30000000000000004
    assert Reach(scene).reaches(scene.positions[0], scene.zones[0], scene.rigs[0])


def test_a_hose_that_is_too_long_is_measured_all_the_same():
    scene = by_routes(route(length_m=5000.0))
    assert run(scene) == HoseRun(hose_m=5000.0, laid_m=5000.0, rise_m=0.0)
    assert Reach(scene).reached(scene.positions[0], scene.rigs[0]) == ()


def test_a_position_that_does_not_allow_the_process_reaches_nothing():
    spot = position(processes=(Process.WET,))
    scene = by_routes(route(), positions=(spot,))
    assert not Reach(scene).reaches(spot, scene.zones[0], scene.rigs[0])
    assert run(scene) == HoseRun(hose_m=30.0, laid_m=30.0, rise_m=0.0)


def test_by_the_grid_a_hose_goes_along_the_axes_with_slack_and_no_bends():
    machine = rig(bend_m=100.0, rise_factor=2.0)
    scene = campaign(
        reach_slack=1.2,
        rigs=(machine,),
        positions=(position(x_m=1.0, y_m=2.0, z_m=3.0),),
        zones=(zone(x_m=11.0, y_m=-18.0, z_m=8.0), zone("Z2", x_m=1.0, y_m=2.0, z_m=-7.0)),
    )
    # (10 + 20 + 5) x 1.2 = 42, + 2 x 5 of rise; and (0 + 0 + 10) x 1.2 = 12, downhill
    assert run(scene) == HoseRun(hose_m=52.0, laid_m=42.0, rise_m=5.0)
    assert run(scene, spot=1) == HoseRun(hose_m=12.0, laid_m=12.0, rise_m=-10.0)


def test_the_reached_zones_come_in_file_order():
    zones = tuple(zone(name, x_m=x_m) for name, x_m in (("C", 90.0), ("B", 110.0), ("A", 100.0)))
    scene = campaign(zones=zones)
    reached = Reach(scene).reached(scene.positions[0], scene.rigs[0])
    assert [spot.zone_id for spot in reached] == ["C", "A"]


def test_a_scene_without_zones_reaches_nothing():
    for way in ReachBy:
        scene = campaign(zones=(), reach_by=way)
        assert Reach(scene).reached(scene.positions[0], scene.rigs[0]) == ()


def test_a_shortfall_names_the_nearest_position_with_hose_and_limit():
    scene = by_routes(
        route("P1", "Z1", 138.0),
        route("P2", "Z1", 150.0),
        positions=(position(), position("P2")),
        rigs=(rig(hose_max_m=120.0),),
    )
    reach = Reach(scene)
    first, second = reach.shortfalls(scene.zones[0])
    assert (first.position.position_id, first.lacks, first.short_m) == ("P1", (Lack.HOSE,), 18.0)
    assert second.position.position_id == "P2"
    assert reach.why_unreached(scene.zones[0]) == (
        "no position reaches it: nearest is R1 at P1: 138 m of equivalent hose against 120 m"
    )


def test_a_shortfall_tells_everything_that_fails():
    machine = rig(hose_max_m=20.0, rise_max_m=2.0)
    scene = by_routes(
        route(rise_m=4.0), positions=(position(processes=(Process.WET,)),), rigs=(machine,)
    )
    (only,) = Reach(scene).shortfalls(scene.zones[0])
    assert only.lacks == (Lack.HOSE, Lack.RISE, Lack.PROCESS)
    assert only.sentence() == (
        "R1 at P1: 30 m of equivalent hose against 20 m, 4 m of net rise against 2 m, "
        "the position does not allow the dry process"
    )
    assert only.short_m == 12.0


def test_missing_metres_come_before_a_forbidden_process_and_that_before_no_route():
    scene = by_routes(
        route("P1", "Z1", 30.0),
        route("P2", "Z1", 900.0),
        positions=(position(processes=(Process.WET,)), position("P2"), position("P3")),
    )
    found = Reach(scene).shortfalls(scene.zones[0])
    assert [row.position.position_id for row in found] == ["P2", "P1", "P3"]
    assert found[2].sentence() == "R1 at P3: no hose route leads there"


def test_by_the_grid_a_shortfall_is_found_too():
    scene = campaign(zones=(zone(x_m=120.0),))
    (only,) = Reach(scene).shortfalls(scene.zones[0])
    assert only.run == HoseRun(hose_m=120.0, laid_m=120.0, rise_m=0.0)
    assert only.lacks == (Lack.HOSE,)


def test_a_zone_that_is_reached_needs_no_reason():
    scene = campaign()
    reach = Reach(scene)
    assert reach.shortfalls(scene.zones[0]) == ()
    assert reach.why_unreached(scene.zones[0]) is None


def test_without_any_rig_that_is_said():
    scene = campaign()
    assert Reach(scene).why_unreached(scene.zones[0], ()) == (
        "no rig or no position is there to reach it"
    )


def test_a_zone_with_no_route_at_all_says_so():
    scene = by_routes()
    assert run(scene) is None
    assert Reach(scene).why_unreached(scene.zones[0]) == (
        "no position reaches it: nearest is R1 at P1: no hose route leads there"
    )


def test_a_long_search_finds_the_same_shortfall_as_a_short_one():
    far = by_routes(route("P1", "w", 300.0), route("w", "Z1", 300.0))
    (only,) = Reach(far).shortfalls(far.zones[0])
    assert math.isclose(only.short_m, 500.0)
