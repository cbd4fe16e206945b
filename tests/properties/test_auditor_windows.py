"""Rules 1 to 3 against exact fractions: the windows of a random series, worked out in full."""

from fractions import Fraction as Exact
from math import ceil, floor

import pytest
from hypothesis import event, given, settings
from hypothesis import strategies as st

from planner.model.limits import ClosureScope
from planner.model.rules import Rules
from planner.model.water import LevelPoint, Water, WaterKind
from tests.builders import campaign, clock, closure, mix, shift, zone
from tests.unit.checks.plans import broken, plan, spell

pytestmark = pytest.mark.property

STEP_MIN = 47  # between points; a prime, so that few crossings fall on whole minutes
POINTS = 40
HORIZON = 1440
LENGTH = 33
AFTER_MIN = 80

heights_cm = st.lists(st.integers(-120, 120), min_size=POINTS, max_size=POINTS)


def crossings(heights: list[int], *, high_cm: int, low_cm: int) -> list[tuple[Exact, Exact]]:
    """The stretches in which a piecewise linear level lies between two limits, exactly."""
    found: list[tuple[Exact, Exact]] = []
    for k in range(POINTS - 1):
        start, a, b = STEP_MIN * k, Exact(heights[k]), Exact(heights[k + 1])
        low, high = Exact(0), Exact(1)
        if a == b:
            low, high = (low, high) if low_cm <= a <= high_cm else (Exact(1), Exact(0))
        else:
            ends = sorted(((high_cm - a) / (b - a), (low_cm - a) / (b - a)))
            low, high = max(low, ends[0]), min(high, ends[1])
        if low <= high:
            found.append((start + STEP_MIN * low, start + STEP_MIN * high))
    return joined(found)


def joined(spans: list[tuple[Exact, Exact]]) -> list[tuple[Exact, Exact]]:
    whole: list[tuple[Exact, Exact]] = []
    for start, end in sorted(spans):
        if whole and start <= whole[-1][1]:
            whole[-1] = (whole[-1][0], max(end, whole[-1][1]))
        else:
            whole.append((start, end))
    return whole


def without(spans: list[tuple[Exact, Exact]], shut: tuple[int, int]) -> list[tuple[Exact, Exact]]:
    pieces = [(a, min(b, Exact(shut[0]))) for a, b in spans]
    pieces += [(max(a, Exact(shut[1])), b) for a, b in spans]
    return [(a, b) for a, b in pieces if a < b]


def clipped(spans: list[tuple[Exact, Exact]]) -> list[tuple[Exact, Exact]]:
    return [(max(a, Exact(0)), min(b, Exact(HORIZON))) for a, b in spans if a < HORIZON and b > 0]


@settings(max_examples=200)
@given(
    heights=heights_cm,
    high_cm=st.integers(-60, 110),
    band_cm=st.integers(40, 300),
    wets_cm=st.integers(-20, 130),
    shut_at=st.integers(100, 1300),
    start=st.integers(40, HORIZON - LENGTH - 20),
    least=st.integers(0, 90),
    ends=st.tuples(st.integers(0, 12), st.integers(0, 12)),
)
def test_the_first_three_rules_agree_with_exact_windows(  # noqa: PLR0917 - given by name
    heights, high_cm, band_cm, wets_cm, shut_at, start, least, ends
):
    low_cm, (get_in, get_out), shut = high_cm - band_cm, ends, (shut_at, shut_at + 25)
    points = tuple(
        LevelPoint(minute=float(STEP_MIN * k), level_m=height / 100)
        for k, height in enumerate(heights)
    )
    scene = campaign(
        clock=clock(last_day=clock().first_day),
        water=Water(kind=WaterKind.LEVELS, levels=((None, points),)),
        zones=(
            zone(
                water_max_m=high_cm / 100,
                water_min_m=low_cm / 100,
                wets_at_m=wets_cm / 100,
                volume_m3=1.1,
            ),
        ),
        mixes=(mix(protect_h=AFTER_MIN / 60),),
        shifts=(shift(start_tod=0, end_tod=0),),
        closures=(closure(ClosureScope.ZONE, "Z1", from_min=shut[0], to_min=shut[1]),),
        rules=Rules(window_min_min=least, get_in_min=get_in, get_out_min=get_out),
    )
    found = {one.rule for one in broken(scene, plan(spell(start, LENGTH, volume_m3=1.1)))}

    windows = without(clipped(crossings(heights, high_cm=high_cm, low_cm=low_cm)), shut)
    end = start + LENGTH
    around = [
        (ceil(a) + get_in, floor(b) - get_out)
        for a, b in windows
        if b - a >= least and a <= start and end <= b
    ]
    is_begun = any(a <= start for a, _ in around)
    is_held = is_begun and any(end <= b for _, b in around)
    is_changed = any(a <= start - 10 for a, _ in around)
    # below the level that wets it: exact, open at both ends
    wet = [
        (a, b)
        for a, b in joined(crossings(heights, high_cm=10**6, low_cm=wets_cm))
        if b > start and a < end + AFTER_MIN and (a < b or start < a)
    ]
    event(f"in a window: {is_held}, changed: {is_changed}, wet: {bool(wet)}")
    assert ("1" in found) == (not is_held)
    assert ("2" in found) == (is_begun and not is_changed)  # else rule 1 tells of the start
    if all(b - a > 1 for a, b in wet):  # a touch of less than a minute may fall between minutes
        assert ("3" in found) == bool(wet)
