"""Hours that rain and a rising gauge take."""

from planner.access.wet_weather import WetHours
from planner.access.windows import Access
from planner.core.spans import Spans
from planner.model.wet_weather import WetRow, WetWeather
from tests.builders import campaign, position, zone

H = 60


def rain(*pairs, **changes):
    """Pairs of hour and millimetres; more than 2 mm in 3 h is wet, for 2 h more."""
    rows = tuple(WetRow(minute=60.0 * hour, rain_mm=mm) for hour, mm in pairs)
    fields = {"rain_limit_mm": 2.0, "rain_window_min": 180.0, "recession_min": 120}
    return WetWeather(series=((None, rows),), **(fields | changes))


def shut(weather, section=None):
    hours = WetHours(weather)
    return list(hours.shut(hours.key(section)))


def test_rain_closes_from_the_row_before_until_the_flow_is_down_again():
    # 1, 2 and 3 mm are summed at 3 h: 3 mm > 2 mm; it fell after 2 h; dry again by 5 h + 2 h
    weather = rain((1, 1.0), (2, 1.0), (3, 1.0), (4, 0.0), (5, 0.0))
    assert shut(weather) == [(2 * H, 5 * H)]


def test_rain_at_the_limit_is_not_over_it_and_old_rain_no_longer_counts():
    assert shut(rain((1, 0.7), (2, 0.7), (3, 0.6))) == []
    assert shut(rain((1, 1.0), (4, 2.0))) == []  # the row 3 h before is just outside


def test_the_first_row_closes_from_its_own_time_and_rows_without_rain_count_as_none():
    rows = (WetRow(minute=60.0, rain_mm=5.0), WetRow(minute=360.0))
    weather = WetWeather(
        series=((None, rows),), rain_limit_mm=2.0, rain_window_min=180.0, recession_min=60
    )
    assert shut(weather) == [(60, 120)]


def test_a_gauge_closes_at_its_trigger():
    rows = tuple(
        WetRow(minute=15.0 * k + 0.5, level_m=level)
        for k, level in enumerate((0.1, 0.3, 0.5, 0.4, 0.1))
    )
    weather = WetWeather(series=((None, rows),), trigger_level_m=0.4, recession_min=30)
    # wet at 30.5 and 45.5 min: from 15.5 to 75.5, outwards
    assert shut(weather) == [(15, 76)]
    (layer,) = WetHours(weather).layers(None)
    assert layer.cause == "wet weather: gauge at 0.4 m or above, and 0.5 h to recede"


def test_a_section_with_a_series_of_its_own_does_not_see_that_of_all():
    wet, dry = WetRow(minute=60.0, rain_mm=9.0), WetRow(minute=60.0, rain_mm=0.0)
    weather = WetWeather(
        series=((None, (wet,)), ("A", (dry,))), rain_limit_mm=1.0, recession_min=60
    )
    assert shut(weather, "A") == []
    assert shut(weather, "B") == shut(weather) == [(60, 120)]


def test_without_wet_weather_nothing_is_closed():
    assert shut(WetWeather()) == []


def test_windows_lose_the_wet_hours_with_their_cause_and_positions_do_not():
    weather = rain((10, 0.0), (12, 3.0))
    scene = campaign(wet_weather=weather, zones=(zone(),))
    access = Access(scene)
    horizon = scene.clock.horizon_min
    assert list(access.windows(scene.zones[0])) == [(0, 10 * H), (14 * H, horizon)]
    cause = "wet weather: over 2 mm in 3 h, and 2 h to recede"
    assert access.lost(scene.zones[0]) == [(10 * H, 14 * H, cause)]
    assert access.position_open(position()) == Spans.whole(0, horizon)
