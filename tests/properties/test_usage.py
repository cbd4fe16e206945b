"""What is free of a shared resource, against counting minute by minute."""

import pytest
from hypothesis import event, given
from hypothesis import strategies as st

from planner.model.identifiers import ResourceId
from planner.model.resource import Need, Resource
from planner.optimise.sharing import FOREVER, ZONE, Usage, needs_of
from tests import builders as make

HORIZON = 60
THINGS = 4

spans = st.tuples(st.integers(0, HORIZON - 1), st.integers(1, 15)).map(
    lambda pair: (pair[0], min(HORIZON, pair[0] + pair[1]))
)
uses = st.lists(st.tuples(st.integers(0, THINGS - 1), spans), max_size=12)
counts = st.lists(st.integers(0, 2), min_size=THINGS, max_size=THINGS)


def usage_of(number: int, taken: list[int]) -> Usage:
    """Zones 0 to 3 that take so many; there are ``number``."""
    zones = tuple(
        make.zone(
            f"Z{k}", needs=(Need(resource_id=ResourceId("float"), count=count),) if count else ()
        )
        for k, count in enumerate(taken)
    )
    resources = (Resource(resource_id=ResourceId("float"), number=number),)
    return Usage(needs_of(make.campaign(zones=zones, resources=resources)))


def load_at(minute: int, found: list[tuple[int, tuple[int, int]]], taken: list[int]) -> int:
    """How many are in use at a minute: each thing once."""
    return sum(taken[k] for k in {k for k, (a, b) in found if a <= minute < b})


@pytest.mark.property
@given(number=st.integers(1, 4), taken=counts, found=uses, asked=st.integers(0, THINGS - 1))
def test_free_stretches_are_the_minutes_with_enough_left(number, taken, found, asked):
    board = usage_of(number, taken)
    for k, (a, b) in found:
        board.take((ZONE, k), a, b)
    others = [(k, span) for k, span in found if k != asked]
    fits = [
        minute
        for minute in range(HORIZON)
        if load_at(minute, others, taken) + taken[asked] <= number or not taken[asked]
    ]
    free = board.free([(ZONE, asked)], 0, HORIZON)
    if sum(taken) > number:
        event("may run short")
        assert [minute for a, b in free for minute in range(a, b)] == fits
    else:
        assert free == [(0, HORIZON)]


@pytest.mark.property
@given(
    number=st.integers(1, 4),
    taken=counts,
    found=uses,
    asked=st.integers(0, THINGS - 1),
    stretch=st.tuples(st.integers(0, HORIZON), st.integers(1, 20)),
)
def test_the_first_fit_is_the_first_minute_from_which_it_fits(
    number, taken, found, asked, stretch
):
    start, length = stretch
    board = usage_of(number, taken)
    for k, (a, b) in found:
        board.take((ZONE, k), a, b)
    others = [(k, span) for k, span in found if k != asked]
    most = number - taken[asked]
    first = next(
        (
            at
            for at in range(start, 2 * HORIZON)
            if not taken[asked]
            or all(load_at(m, others, taken) <= most for m in range(at, at + length))
        ),
        FOREVER,
    )
    assert board.first_fit([(ZONE, asked)], start, length, 2 * HORIZON) == first


@pytest.mark.property
@given(number=st.integers(1, 4), taken=counts, found=uses)
def test_kept_means_that_no_minute_has_more_than_there_are(number, taken, found):
    board = usage_of(number, taken)
    for k, (a, b) in found:
        board.take((ZONE, k), a, b)
    kept = all(load_at(minute, found, taken) <= number for minute in range(HORIZON))
    event(f"kept: {kept}")
    assert board.is_kept() == kept


@pytest.mark.property
@given(number=st.integers(1, 4), taken=counts, found=uses, later=uses)
def test_taking_and_giving_back_changes_nothing(number, taken, found, later):
    board, twin = usage_of(number, taken), usage_of(number, taken)
    for k, (a, b) in found:
        board.take((ZONE, k), a, b)
        twin.take((ZONE, k), a, b)
    for k, (a, b) in later:
        board.take((ZONE, k), a, b)
    for k, (a, b) in reversed(later):
        board.give_back((ZONE, k), a, b)
    for k in range(THINGS):
        assert board.free([(ZONE, k)], 0, HORIZON) == twin.free([(ZONE, k)], 0, HORIZON)
