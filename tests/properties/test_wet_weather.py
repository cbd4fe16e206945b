"""Two ways to tell when wet weather closes a zone agree minute by minute."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.access.wet_weather import WetHours
from planner.checks.wet_weather import Weather
from planner.model.wet_weather import WetRow, WetWeather
from tests.builders import campaign

pytestmark = pytest.mark.property

TIMES = st.lists(st.integers(-300, 5000), min_size=1, max_size=12, unique=True).map(sorted)
ROWS = TIMES.flatmap(
    lambda times: st.tuples(
        *(
            st.builds(
                WetRow,
                minute=st.sampled_from([float(at), at + 0.25]),
                rain_mm=st.sampled_from([None, 0.0, 0.5, 1.0, 2.5]),
                level_m=st.sampled_from([None, 0.0, 0.4, 0.6]),
            )
            for at in times
        )
    )
)
WEATHER = st.builds(
    WetWeather,
    series=st.one_of(
        ROWS.map(lambda rows: ((None, rows),)),
        st.tuples(ROWS, ROWS).map(lambda two: (("A", two[0]), (None, two[1]))),
        ROWS.map(lambda rows: (("A", rows),)),
    ),
    rain_limit_mm=st.sampled_from([None, 0.0, 1.0, 2.0]),
    trigger_level_m=st.sampled_from([None, 0.4, 0.5]),
    rain_window_min=st.sampled_from([0.0, 60.0, 1440.0]),
    recession_min=st.sampled_from([0, 1, 90]),
)


def minutes(stretches, horizon):
    closed = np.zeros(horizon, dtype=bool)
    for start, end in stretches:
        closed[max(start, 0) : max(end, 0)] = True
    return closed.tolist()


@given(weather=WEATHER, section=st.sampled_from([None, "A", "B"]))
def test_windows_and_checks_close_the_same_minutes(weather, section):
    horizon = 6000
    hours = WetHours(weather)
    seen = Weather(campaign(wet_weather=weather)).near(section, 0, horizon)
    by_access = minutes(hours.shut(hours.key(section)), horizon)
    assert by_access == minutes(((start, end) for start, end, _ in seen), horizon)
