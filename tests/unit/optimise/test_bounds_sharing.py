"""What is shared bounds finish and cost; the numbers are worked out by hand.

In the scene of :mod:`tests.builders` a zone takes 10 min change and 66 min nozzle time; the only
shift lasts from 06:00 (minute 360) to 18:00 (minute 1080), 720 min a day.
"""

from __future__ import annotations

from typing import Any

import pytest

from planner.model.identifiers import CrewKind, ResourceId
from planner.model.resource import Need, Resource
from planner.model.rules import Rules
from planner.optimise.bounds.claims import Claims
from planner.optimise.bounds.sharing import finish_under_sharing, least_resource_cost
from tests import builders as make
from tests.unit.optimise.scenes import problem, zones


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
