"""Hose routes on small graphs, against every pair by Floyd and Warshall's triple loop.

R. W. Floyd, Algorithm 97: Shortest path, Communications of the ACM 5 (1962) 345.
"""

import pytest
from hypothesis import event, given
from hypothesis import strategies as st

from planner.model.rules import ReachBy
from planner.reach.hoses import Reach
from tests.builders import campaign, position, rig, route, zone

POSITIONS = ("P1", "P2")
ZONES = ("Z1", "Z2", "Z3")
WAYPOINTS = ("a", "b", "c", "d")
PLACES = POSITIONS + ZONES + WAYPOINTS

legs = st.builds(
    route,
    st.sampled_from(PLACES),
    st.sampled_from(PLACES),
    st.integers(1, 12).map(float),
    rise_m=st.integers(-3, 3).map(float),
    bends=st.integers(0, 2),
)
networks = st.lists(legs, min_size=5, max_size=18)


def least_sums(routes, bend_m):
    """Least (length + bends, rise) from each position to each zone by three nested loops.

    Only waypoints may lie in between, so the loop over what lies between goes over them alone.
    """
    best: dict[tuple[str, str], tuple[float, float]] = {}
    for leg in routes:
        cost = leg.length_m + bend_m * leg.bends
        for start, end, rise_m in (
            (leg.start, leg.end, leg.rise_m),
            (leg.end, leg.start, -leg.rise_m),
        ):
            found = (cost, rise_m)
            best[start, end] = min(best.get((start, end), found), found)
    for middle in WAYPOINTS:
        for start in PLACES:
            for end in PLACES:
                if (start, middle) in best and (middle, end) in best and start != end:
                    first, second = best[start, middle], best[middle, end]
                    found = (first[0] + second[0], first[1] + second[1])
                    best[start, end] = min(best.get((start, end), found), found)
    return best


@pytest.mark.property
@given(networks, st.sampled_from([0.0, 2.0]), st.sampled_from([0.0, 3.0]))
def test_every_hose_is_the_least_of_all_routes_and_none_is_missed(routes, bend_m, rise_factor):
    machine = rig(bend_m=bend_m, rise_factor=rise_factor, hose_max_m=20.0, rise_max_m=2.0)
    scene = campaign(
        reach_by=ReachBy.ROUTES,
        routes=tuple(routes),
        rigs=(machine,),
        positions=tuple(position(name) for name in POSITIONS),
        zones=tuple(zone(name) for name in ZONES),
    )
    reach = Reach(scene)
    oracle = least_sums(routes, bend_m)
    for start in scene.positions:
        for spot in scene.zones:
            expected = oracle.get((start.position_id, spot.zone_id))
            found = reach.run(start, spot, machine)
            event(f"route={expected is not None}")
            if expected is None:
                assert found is None
                assert not reach.reaches(start, spot, machine)
                continue
            cost, rise_m = expected
            assert found is not None
            assert (found.hose_m, found.rise_m) == (cost + rise_factor * max(0.0, rise_m), rise_m)
            is_reached = found.hose_m <= 20.0 and rise_m <= 2.0
            event(f"reached={is_reached}")
            assert reach.reaches(start, spot, machine) is is_reached
            assert (spot in reach.reached(start, machine)) is is_reached


@pytest.mark.property
@given(networks, st.permutations(range(18)))
def test_the_order_of_the_routes_and_which_end_comes_first_change_nothing(routes, order):
    turned = [
        route(leg.end, leg.start, leg.length_m, rise_m=-leg.rise_m, bends=leg.bends)
        for leg in (routes[k] for k in order if k < len(routes))
    ]
    machine = rig(bend_m=2.0, rise_factor=1.0)
    runs = []
    for legs_in_order in (routes, turned):
        scene = campaign(
            reach_by=ReachBy.ROUTES,
            routes=tuple(legs_in_order),
            rigs=(machine,),
            positions=tuple(position(name) for name in POSITIONS),
            zones=tuple(zone(name) for name in ZONES),
        )
        reach = Reach(scene)
        runs.append([reach.run(p, z, machine) for p in scene.positions for z in scene.zones])
    assert runs[0] == runs[1]


@pytest.mark.property
@given(networks)
def test_shortfalls_and_reached_pairs_together_are_all_pairs(routes):
    machine = rig(hose_max_m=10.0)
    scene = campaign(
        reach_by=ReachBy.ROUTES,
        routes=tuple(routes),
        rigs=(machine,),
        positions=tuple(position(name) for name in POSITIONS),
        zones=(zone("Z1"),),
    )
    reach = Reach(scene)
    spot = scene.zones[0]
    short = {row.position.position_id: row.run for row in reach.shortfalls(spot, most=99)}
    assert reach.shortfalls(spot, most=1) == reach.shortfalls(spot, most=99)[:1]
    event(f"shortfalls={len(short)}")
    for start in scene.positions:
        assert (start.position_id in short) is not reach.reaches(start, spot, machine)
        if short.get(start.position_id) is not None:
            assert short[start.position_id] == reach.run(start, spot, machine)
