"""Tides over a leap day, in a zone of half an hour, and of a station with one tide a day."""

from datetime import UTC, date, datetime

import numpy as np
import pytest

from planner.access.level import source_for
from planner.access.tide import TideLevel
from planner.access.windows import Access
from planner.model.water import Constituent, Water, WaterKind
from tests.builders import campaign, clock, zone

DIURNAL = (
    Constituent(name="K1", amplitude_m=0.14, phase_deg=300.0),
    Constituent(name="O1", amplitude_m=0.13, phase_deg=290.0),
    Constituent(name="M2", amplitude_m=0.02, phase_deg=10.0),
)
LUNAR = (Constituent(name="M2", amplitude_m=1.5, phase_deg=40.0),)
HALF_TIDE_MIN = 12.4206012 * 60 / 2


def water(waves):
    return Water(kind=WaterKind.TIDE, constituents=waves)


def test_a_leap_day_has_its_tides_and_nothing_steps():
    calendar = clock(first_day=date(2028, 2, 28), last_day=date(2028, 3, 1))
    scene = campaign(clock=calendar, water=water(LUNAR), zones=(zone(water_max_m=0.0),))
    assert calendar.horizon_min == 3 * 1440
    windows = list(Access(scene).windows(scene.zones[0]))
    lengths = [end - start for start, end in windows if start > 0 and end < calendar.horizon_min]
    assert len(lengths) >= 4
    assert all(length == pytest.approx(HALF_TIDE_MIN, abs=1.7) for length in lengths)
    source = source_for(scene, None)
    assert source is not None
    levels = source.level_m(np.arange(0.0, 3 * 1440.0))
    assert np.abs(np.diff(levels)).max() < 0.014  # 1.5 m x 2 pi / 745 min


@pytest.mark.parametrize("zone_name", ["Australia/Adelaide", "Asia/Kathmandu", "America/St_Johns"])
def test_zones_of_half_and_quarter_hours_see_the_same_tide(zone_name):
    calendar = clock(time_zone=zone_name, first_day=date(2026, 4, 4), last_day=date(2026, 4, 6))
    source = source_for(campaign(clock=calendar, water=water(LUNAR)), None)
    plain = TideLevel(LUNAR, mean_m=0.0, epoch_utc=datetime(2026, 4, 4, tzinfo=UTC))
    assert source is not None
    for hour in (0, 25, 60):
        local = calendar.local(hour * 60)
        later = (local.astimezone(UTC) - datetime(2026, 4, 4, tzinfo=UTC)).total_seconds() / 60
        assert source.level_m(np.array([hour * 60.0]))[0] == pytest.approx(
            plain.level_m(np.array([later]))[0]
        )


def test_a_station_with_one_tide_a_day_has_one_window_a_day_around_its_low_water():
    calendar = clock(first_day=date(2026, 6, 1), last_day=date(2026, 6, 28))
    scene = campaign(clock=calendar, water=water(DIURNAL), zones=(zone(water_max_m=0.0),))
    windows = list(Access(scene).windows(scene.zones[0]))
    source = source_for(scene, None)
    assert source is not None
    minutes = np.arange(0.0, calendar.horizon_min)
    below = source.level_m(minutes) <= 0.0
    starts = np.flatnonzero(~below[:-1] & below[1:])
    # at neaps K1 and O1 cancel and M2 makes a few short tides of its own
    assert 24 <= len(windows) <= 34
    assert abs(len(starts) - len(windows)) <= 2
    total = sum(end - start for start, end in windows)
    assert total == pytest.approx(np.count_nonzero(below), abs=60 + 2 * len(windows))
