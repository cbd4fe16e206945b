"""Rain and gauges with their thresholds."""

import pytest

from tests.unit.scenario.scenes import is_error, marks, only, problems, read, scene, sewer

KEYS = {"water.rain_limit_mm": "2", "water.recession_h": "12"}


def weather(*rows):
    first = {"time": "2027-04-05", "rain_mm": "0"}
    last = {"time": "2027-04-12", "rain_mm": "0"}
    return [first, *rows, last]


def test_rain_and_its_thresholds_are_read():
    rows = weather({"time": "2027-04-06T01:00", "rain_mm": "3.5"})
    found = read(sewer(keys=KEYS, wet_weather=rows)).wet_weather
    assert found.rain_limit_mm == 2.0
    assert (found.rain_window_min, found.recession_min) == (1440.0, 720)
    ((section, read_rows),) = found.series
    assert section is None
    assert [(row.minute, row.rain_mm) for row in read_rows] == [
        (0.0, 0.0),
        (1500.0, 3.5),
        (7 * 1440.0, 0.0),
    ]


def test_a_scenario_without_the_table_has_no_wet_weather():
    assert read(scene()).wet_weather.series == ()


def test_a_threshold_and_the_recession_have_no_default():
    found = problems(sewer(wet_weather=weather({"time": "2027-04-06", "level_m": "0.2"})))
    assert {(p.column, p.code) for p in found} == {
        ("water.rain_limit_mm", "missing-key"),
        ("water.trigger_level_m", "missing-key"),
        ("water.recession_h", "missing-key"),
    }


def test_keys_without_the_table_are_not_used():
    found = problems(scene(KEYS))
    assert {p.column for p in found} == set(KEYS)
    assert {p.code for p in found} == {"key-not-used"}


@pytest.mark.parametrize(
    ("row", "code"),
    [
        ({"time": "2027-04-06"}, "missing-value"),
        ({"time": "2027-04-05T00:00", "rain_mm": "1"}, "duplicate"),
        ({"time": "2027-04-06", "rain_mm": "-1"}, "out-of-range"),
        ({"time": "2027-04-06", "rain_mm": "900"}, "odd-number"),
        ({"time": "2027-04-06", "rain_mm": "1", "section": "S8"}, "not-used"),
    ],
)
def test_a_row_that_is_wrong_or_odd_is_told(row, code):
    found = problems(sewer(keys=KEYS, wet_weather=weather(row)))
    assert code in {p.code for p in found}


def test_a_forecast_that_ends_early_is_told_to_be_dry_after():
    rows = weather()[:1]
    found = only(sewer(keys=KEYS, wet_weather=rows))
    assert marks([found]) == [("wet_weather.csv", None, "time", "weather-not-covered")]
    assert not is_error(found)
    assert "as if it stayed dry" in found.message


def test_the_weather_allowance_is_read_and_percentages_are_refused():
    found = read(scene(weather_allowance=[{"month": "1", "lost": "0.2"}])).weather_allowance
    assert [(row.month, row.lost) for row in found] == [(1, 0.2)]
    told = only(scene(weather_allowance=[{"month": "1", "lost": "20"}]))
    assert is_error(told)
    assert "write 30 % as 0.30" in told.message
