"""Shared resources on a board: who takes how much, and when there is some left (rule 16)."""

from __future__ import annotations

import pytest

from planner.model.identifiers import ResourceId
from planner.model.resource import Need, Resource
from planner.optimise.sharing import CREW, FOREVER, RIG, ZONE, Usage, needs_of
from tests import builders as make


def need(name: str = "float", count: int = 1) -> tuple[Need, ...]:
    return (Need(resource_id=ResourceId(name), count=count),)


def resources(**numbers: int) -> tuple[Resource, ...]:
    return tuple(Resource(resource_id=ResourceId(n), number=k) for n, k in numbers.items())


def usage(*counts: int, number: int = 2) -> Usage:
    """Zones 0, 1, ... that take so many of the float, of which there are two."""
    zones = tuple(make.zone(f"Z{k}", needs=need(count=count)) for k, count in enumerate(counts))
    return Usage(needs_of(make.campaign(zones=zones, resources=resources(float=number))))


def test_what_can_never_run_short_is_left_out():
    zones = (make.zone("Z1", needs=need()), make.zone("Z2", needs=need()))
    scene = make.campaign(zones=zones, resources=resources(float=2))
    assert not needs_of(scene)
    assert needs_of(make.campaign(zones=zones, resources=resources(float=1)))


def test_what_several_things_take_adds_up():
    scene = make.campaign(
        zones=(make.zone(needs=need(count=2)),),
        crews=(make.crew(needs=need()),),
        rigs=(make.rig(needs=need("boat")),),
        resources=resources(float=2, boat=1),
    )
    needs = needs_of(scene)
    assert needs.numbers == (2,)  # one boat for one rig is always enough
    assert needs.wanted([(ZONE, 0), (CREW, 0), (RIG, 0)]) == {0: 3}


def test_others_leave_the_rest_free():
    board = usage(1, 1, 1)
    board.take((ZONE, 0), 10, 30)
    board.take((ZONE, 1), 20, 40)
    assert board.free([(ZONE, 2)], 0, 50) == [(0, 20), (30, 50)]
    assert board.first_fit([(ZONE, 2)], 5, 10, 100) == 5
    assert board.first_fit([(ZONE, 2)], 15, 10, 100) == 30


def test_a_thing_takes_its_needs_once_however_often_it_is_used():
    board = usage(1, 1, number=1)
    board.take((ZONE, 0), 10, 30)
    board.take((ZONE, 0), 20, 40)
    assert board.is_kept()
    assert board.free([(ZONE, 0)], 0, 50) == [(0, 50)]
    assert board.free([(ZONE, 1)], 0, 50) == [(0, 10), (40, 50)]


def test_an_end_and_a_start_at_the_same_minute_do_not_clash():
    board = usage(1, 1, number=1)
    board.take((ZONE, 0), 10, 20)
    board.take((ZONE, 1), 20, 30)
    assert board.is_kept()
    board.take((ZONE, 1), 19, 20)
    assert not board.is_kept()


def test_what_is_given_back_is_free_again():
    board = usage(1, 1, number=1)
    board.take((ZONE, 0), 10, 20)
    board.give_back((ZONE, 0), 10, 20)
    assert board.free([(ZONE, 1)], 0, 50) == [(0, 50)]


def test_things_that_take_too_much_together_never_fit():
    board = usage(2, 1, number=2)
    assert board.free([(ZONE, 0), (ZONE, 1)], 0, 50) == []
    assert board.first_fit([(ZONE, 0), (ZONE, 1)], 0, 10, 100) == FOREVER


@pytest.mark.parametrize(("last", "found"), [(39, FOREVER), (40, 40)])
def test_no_start_is_looked_for_after_the_last(last: int, found: int):
    board = usage(1, 1, number=1)
    board.take((ZONE, 0), 0, 40)
    assert board.first_fit([(ZONE, 1)], 0, 5, last) == found
