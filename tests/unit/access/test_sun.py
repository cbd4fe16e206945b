"""The sun's height, and when there is daylight."""

from datetime import UTC, datetime
from itertools import pairwise

import numpy as np
import pytest

from planner.access.sun import altitude_deg, light
from planner.model.conditions import Daylight, Twilight

DAY = 1440.0


def lit(latitude, longitude, first, days=1, twilight=Twilight.NONE):
    """Stretches of daylight in minutes after 00:00 UTC of a date."""
    place = Daylight(latitude_deg=latitude, longitude_deg=longitude, twilight=twilight)
    start = datetime.fromisoformat(first).replace(tzinfo=UTC)
    found = light(place, epoch_utc=start, start=0.0, end=days * DAY)
    return list(zip(found.starts.tolist(), found.ends.tolist(), strict=True))


def test_at_noon_the_sun_stands_as_high_as_latitude_and_season_say():
    # solstice: 90 - 51.5 + 23.44 = 61.94 degrees; the equation of time is -2 min on 21 June
    noon, midnight = altitude_deg(
        np.array([722.0, 2.0]),
        epoch_utc=datetime(2026, 6, 21, tzinfo=UTC),
        latitude_deg=51.5,
        longitude_deg=0.0,
    )
    assert noon == pytest.approx(61.94, abs=0.02)
    assert midnight == pytest.approx(23.44 - (90 - 51.5), abs=0.02)


def test_a_day_at_the_equator_lasts_twelve_hours_and_seven_minutes():
    # 12 h, and twice 50 minutes of arc at 15 degrees an hour: 2 x 3.33 min, at the equinox
    ((start, end),) = lit(0.0, 0.0, "2026-03-20")
    assert end - start == pytest.approx(720 + 2 * 50 / 60 * 4, abs=0.5)


def test_civil_twilight_makes_it_longer_at_both_ends():
    # at the equator and the equinox: 6 degrees are 24 min
    ((start, end),) = lit(0.0, 0.0, "2026-03-20", twilight=Twilight.CIVIL)
    assert end - start == pytest.approx(720 + 2 * 24, abs=0.5)


def test_north_of_the_polar_circle_the_sun_stays_up_in_june_and_down_in_december():
    # Tromsø (69.65 N, 18.96 E): midnight sun from late May to late July, polar night from late
    # November to mid January; about noon of the polar night there is civil twilight
    assert lit(69.65, 18.96, "2026-06-10", days=20) == [(0.0, 20 * DAY)]
    assert lit(69.65, 18.96, "2026-12-10", days=20) == []
    twilight = lit(69.65, 18.96, "2026-12-21", twilight=Twilight.CIVIL)
    assert len(twilight) == 1
    assert 180 < twilight[0][1] - twilight[0][0] < 330


def test_the_night_of_late_july_lies_about_local_midnight_near_the_circle():
    # the sun sets after midnight by the clock: no civil day has both a rise and a set of its own
    nights = lit(69.65, 18.96, "2026-07-28", days=3)
    gaps = [b[0] - a[1] for a, b in pairwise(nights)]
    assert len(gaps) >= 2
    assert all(0 < gap < 180 for gap in gaps)
    assert gaps == sorted(gaps)


def test_seasons_are_turned_round_in_the_south():
    (june,) = lit(-36.85, 0.0, "2026-06-21")
    (december,) = lit(-36.85, 0.0, "2026-12-21")
    (north,) = lit(36.85, 0.0, "2026-06-21")
    assert december[1] - december[0] > june[1] - june[0] + 240
    assert december[1] - december[0] == pytest.approx(north[1] - north[0], abs=1.0)


def test_light_at_either_end_of_the_time_asked_for_is_cut_there():
    # 18:00 UTC to 06:00 at 90 W: noon is at 18:00 UTC
    place = Daylight(latitude_deg=0.0, longitude_deg=-90.0)
    found = light(place, epoch_utc=datetime(2026, 3, 20, tzinfo=UTC), start=1080.0, end=2520.0)
    assert found.starts[0] == 1080.0
    assert found.ends[-1] == 2520.0
    assert len(found.starts) == 2
