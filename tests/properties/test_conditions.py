"""Two ways to tell when light, waves and air close a face agree minute by minute."""

from datetime import date

import numpy as np
import pytest
from hypothesis import event, given
from hypothesis import strategies as st

from planner.access.conditions import condition_layers
from planner.access.windows import Access
from planner.checks.conditions import Conditions as Checked
from planner.model.conditions import (
    AirTemperature,
    Conditions,
    Daylight,
    MonthNormal,
    Reading,
    Twilight,
    Waves,
)
from planner.model.rules import Rules
from planner.model.water import LevelPoint, Water, WaterKind
from tests.builders import campaign, clock, shift, zone
from tests.unit.checks.plans import broken, plan, spell

pytestmark = pytest.mark.property

DAYS = 4
SPRING = clock(first_day=date(2026, 3, 27), last_day=date(2026, 3, 30))  # 23 h on the 29th
AUTUMN = clock(first_day=date(2026, 10, 23), last_day=date(2026, 10, 26))  # 25 h on the 25th
ACROSS = clock(first_day=date(2026, 3, 30), last_day=date(2026, 4, 2))


def readings(values):
    times = st.lists(st.integers(-400, DAYS * 1440 + 400), min_size=1, max_size=60, unique=True)
    return times.map(sorted).flatmap(
        lambda chosen: st.tuples(
            *(st.builds(Reading, minute=st.just(at + 0.0), value=values) for at in chosen)
        )
    )


WAVES = st.builds(
    Waves,
    height_max_m=st.sampled_from([0.0, 0.5, 1.0]),
    planned_min=st.sampled_from([30, 120]),
    reference_min=st.sampled_from([120, 240]),
    series=readings(st.sampled_from([0.2, 0.5, 0.9, 1.1, 2.0])),
)
AIR = st.builds(
    AirTemperature,
    min_c=st.sampled_from([None, 5.0, 0.0]),
    max_c=st.sampled_from([None, 9.0, 30.0]),
    series=st.one_of(st.just(()), readings(st.sampled_from([-3.0, 4.0, 6.0, 12.0]))),
    normals=st.sampled_from(
        [
            (),
            (MonthNormal(month=3, low_c=1.0, high_c=10.0),),
            tuple(MonthNormal(month=m, low_c=m - 4.0, high_c=m + 4.0) for m in (3, 4, 10)),
        ]
    ),
)
DAYLIGHT = st.builds(
    Daylight,
    latitude_deg=st.floats(-80.0, 80.0),
    longitude_deg=st.floats(-180.0, 180.0),
    twilight=st.sampled_from(Twilight),
)


def closed_by_access(conditions, calendar):
    closed = np.zeros(calendar.horizon_min, dtype=bool)
    for layer in condition_layers(conditions, calendar):
        for start, end in layer.spans:
            closed[start:end] = True
    return closed


def closed_by_checks(conditions, calendar):
    checked = Checked(campaign(clock=calendar, conditions=conditions))
    return ~checked.is_open(0, calendar.horizon_min)


@given(
    waves=st.one_of(st.none(), WAVES),
    air=st.one_of(st.none(), AIR),
    calendar=st.sampled_from([SPRING, AUTUMN, ACROSS]),
)
def test_windows_and_checks_close_the_same_minutes(waves, air, calendar):
    conditions = Conditions(waves=waves, air=air)
    by_access = closed_by_access(conditions, calendar)
    event(f"something open: {not by_access.all()}")
    assert by_access.tolist() == closed_by_checks(conditions, calendar).tolist()


@given(daylight=DAYLIGHT, calendar=st.sampled_from([SPRING, AUTUMN]))
def test_no_minute_that_windows_call_light_is_dark_to_the_checks(daylight, calendar):
    conditions = Conditions(daylight=daylight)
    by_access = closed_by_access(conditions, calendar)
    by_checks = closed_by_checks(conditions, calendar)
    assert not np.any(by_checks & ~by_access)
    # the checks forgive 0.05 degrees: at most a few minutes at each rise and set, by latitude
    steepness = np.cos(np.radians(daylight.latitude_deg))
    if steepness > 0.6:  # up to 53 degrees the sun always passes the horizon steeply enough
        event("minutes compared")
        assert np.count_nonzero(by_access & ~by_checks) <= 2 * (DAYS + 1) * 3


@given(
    waves=st.one_of(st.none(), WAVES),
    air=st.one_of(st.none(), AIR),
    heights=st.lists(st.integers(-120, 120), min_size=50, max_size=50),
    start=st.integers(30, 1300),
    length=st.sampled_from([11, 33, 80]),
    least=st.integers(0, 90),
)
def test_rule_1_holds_just_inside_the_shortened_windows(  # noqa: PLR0917 - given by name
    waves, air, heights, start, length, least
):
    points = tuple(
        LevelPoint(minute=31.0 * k, level_m=height / 100) for k, height in enumerate(heights)
    )
    scene = campaign(
        clock=clock(last_day=clock().first_day),
        water=Water(kind=WaterKind.LEVELS, levels=((None, points),)),
        zones=(zone(water_max_m=0.5, volume_m3=1.1),),
        shifts=(shift(start_tod=0, end_tod=0),),
        conditions=Conditions(waves=waves, air=air),
        rules=Rules(window_min_min=least, get_in_min=7, get_out_min=3),
    )
    found = {one.rule for one in broken(scene, plan(spell(start, length, volume_m3=1.1)))}
    is_inside = Access(scene).shortened(scene.zones[0]).covers(start, start + length)
    event(f"inside: {is_inside}")
    assert ("1" in found) == (not is_inside)
