"""What is shared bounds finish and cost; the numbers are worked out by hand.

In the scene of :mod:`tests.builders` a zone takes 10 min change and 66 min nozzle time; the only
shift lasts from 06:00 (minute 360) to 18:00 (minute 1080), 720 min a day.
"""

from __future__ import annotations

from typing import Any

import pytest

from planner.model.identifiers import CrewKind, ResourceId
from planner.model.limits import ClosureScope
from planner.model.resource import Need, Resource
from planner.model.rules import Rules
from planner.optimise.bounds.claims import Claims
from planner.optimise.bounds.sharing import finish_under_sharing, least_resource_cost
from tests import builders as make
from tests.unit.optimise.scenes import DAY, problem, zones


def need(count: int = 1) -> tuple[Need, ...]:
    return (Need(resource_id=ResourceId("float"), count=count),)


def there_are(number: int, price: float = 10.0) -> tuple[Resource, ...]:
    return (Resource(resource_id=ResourceId("float"), number=number, price_day=price),)


def bounds(**changes: Any) -> tuple[int, float]:
    """Least finish and least cost of the resources, for all zones that are possible."""
    claims = Claims(problem(**changes))
    return (
        finish_under_sharing(claims.work, claims.possible),
        least_resource_cost(claims.work, claims.possible),
    )


def test_zones_that_take_the_one_float_follow_each_other():
    # 2 x 76 min from 06:00 on; one day is paid
    assert bounds(zones=zones(2, needs=need()), resources=there_are(1)) == (360 + 152, 10.0)


def test_two_floats_halve_the_time_and_a_need_of_two_doubles_it():
    assert bounds(zones=zones(2, needs=need()), resources=there_are(2))[0] == 360 + 76
    assert bounds(zones=zones(2, needs=need(2)), resources=there_are(2))[0] == 360 + 152


def test_what_rigs_and_crews_take_counts_while_they_spray():
    rigs, crews = (make.rig(needs=need()),), (make.crew(needs=need()),)
    assert bounds(zones=zones(2), rigs=rigs, resources=there_are(1))[0] == 360 + 152
    assert bounds(zones=zones(2), crews=crews, resources=there_are(1))[0] == 360 + 152
    both = bounds(zones=zones(2), rigs=rigs, crews=crews, resources=there_are(2))
    assert both[0] == 360 + 152  # two at once out of two


def test_the_rig_that_takes_least_is_assumed():
    rigs = (make.rig("R1", needs=need()), make.rig("R2"))
    assert bounds(zones=zones(2), rigs=rigs, resources=there_are(1)) == (0, 0.0)


def test_needs_of_positions_are_left_aside():
    places = (make.position(needs=need(), rigs_max=2),)
    assert bounds(zones=zones(2), positions=places, resources=there_are(1)) == (0, 0.0)


def test_break_out_takes_the_float_as_well():
    crews = (make.crew(), make.crew("B1", kind=CrewKind.BREAK_OUT, rate_m3_h=2.2))
    # 60 min of break-out and 76 of spraying
    assert bounds(zones=zones(1, needs=need()), crews=crews, resources=there_are(1))[0] == 496


def test_two_break_out_crews_in_one_zone_take_its_float_once():
    crews = (
        make.crew(),
        make.crew("B1", kind=CrewKind.BREAK_OUT, rate_m3_h=2.2),
        make.crew("B2", kind=CrewKind.BREAK_OUT, rate_m3_h=2.2),
    )
    assert bounds(zones=zones(1, needs=need()), crews=crews, resources=there_are(1))[0] == 466


def test_as_many_days_are_paid_as_the_longest_day_cannot_hold():
    # 20 x 76 = 1520 min in days of 720: three days of one float, or as many float-days of two
    many = {"zones": zones(20, needs=need()), "rules": Rules()}
    assert bounds(**many, resources=there_are(1))[1] == 30.0
    assert bounds(**many, resources=there_are(2))[1] == 30.0


@pytest.mark.parametrize("price", [0.0, 10.0])
def test_without_a_price_nothing_is_paid(price: float):
    money = bounds(zones=zones(1, needs=need()), resources=there_are(1, price))[1]
    assert money == price


def test_the_crew_that_takes_least_is_assumed():
    crews = (make.crew("C1", needs=need()), make.crew("C2"))
    assert bounds(zones=zones(2), crews=crews, resources=there_are(1)) == (0, 0.0)


def test_the_break_out_crew_that_takes_least_for_a_cubic_metre_is_assumed():
    crews = (
        make.crew(),
        make.crew("B1", kind=CrewKind.BREAK_OUT, rate_m3_h=2.2, needs=need()),
        make.crew("B2", kind=CrewKind.BREAK_OUT, rate_m3_h=4.4, needs=need()),
    )
    # 2.2 m³ by the quicker crew: 30 min
    assert bounds(zones=zones(1), crews=crews, resources=there_are(1))[0] == 360 + 30


def test_a_zone_that_is_broken_out_is_not_broken_out_again():
    crews = (make.crew(), make.crew("B1", kind=CrewKind.BREAK_OUT, rate_m3_h=2.2))
    patches = zones(1, needs=need(), broken_out=True)
    assert bounds(zones=patches, crews=crews, resources=there_are(1))[0] == 360 + 76


def test_what_one_day_cannot_hold_goes_on_in_the_next():
    # 20 x 76 = 1520 = 720 + 720 + 80 min
    many = bounds(zones=zones(20, needs=need()), resources=there_are(1))
    assert many[0] == 2 * DAY + 360 + 80


def test_a_day_that_just_holds_it_is_enough():
    # 9 zones of 70 min nozzle time and 10 min change: 720 min, the whole first day
    patches = zones(9, area_m2=None, depth_mm=None, volume_m3=70 / 30, needs=need())
    assert bounds(zones=patches, resources=there_are(1)) == (360 + 720, 10.0)


def test_only_the_windows_of_zones_that_take_it_count():
    shut = make.closure(ClosureScope.ZONE, "Z1", from_min=0, to_min=DAY)
    patches = (make.zone("Z1", needs=need()), make.zone("Z2"))
    found = bounds(zones=patches, closures=(shut,), resources=there_are(1))
    assert found == (DAY + 360 + 76, 10.0)


def test_the_mix_that_takes_the_shortest_is_assumed():
    mixes = (make.mix("dry"), make.mix("quick", rebound=0.0))
    # 4 m³/h in place without rebound: 33 min
    assert bounds(zones=zones(1, needs=need()), mixes=mixes, resources=there_are(1))[0] == 403
