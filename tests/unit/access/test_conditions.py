"""Hours that darkness, waves and unfit air take."""

from datetime import date

from planner.access.conditions import condition_layers
from planner.access.windows import Access
from planner.core.spans import Spans
from planner.model.conditions import (
    AirTemperature,
    Conditions,
    Daylight,
    MonthNormal,
    Reading,
    Waves,
)
from tests.builders import HORIZON_MIN, campaign, clock, zone

H = 60


def taken(conditions, calendar=None):
    """What each cause takes, by its first words."""
    layers = condition_layers(conditions, calendar or clock())
    return {layer.cause: list(layer.spans) for layer in layers}


def series(*pairs):
    return tuple(Reading(minute=60.0 * hour, value=value) for hour, value in pairs)


def calm(*pairs, **changes):
    fields = {"height_max_m": 1.0, "planned_min": 120, "reference_min": 240}
    return Waves(series=series(*pairs), **(fields | changes))


def hourly(value, first=0, last=HORIZON_MIN // H):
    return [(hour, value) for hour in range(first, last + 1)]


def test_nothing_is_taken_where_no_limit_is_given():
    assert condition_layers(Conditions(), clock()) == ()


def test_windows_are_cut_to_daylight_rounded_inwards():
    # London, Monday 2 March 2026: sunrise 06:45 and sunset 17:41 (published almanacs, from
    # memory, to the minute or two)
    place = Daylight(latitude_deg=51.5, longitude_deg=-0.13)
    scene = campaign(conditions=Conditions(daylight=place))
    days = list(Access(scene).windows(scene.zones[0]))
    assert len(days) == 14
    start, end = days[0]
    assert abs(start - (6 * H + 45)) <= 2
    assert abs(end - (17 * H + 41)) <= 2
    causes = {cause for _, _, cause in Access(scene).lost(scene.zones[0])}
    assert causes == {"dark: no work from sunset on"}


def test_daylight_keeps_to_the_sun_when_the_clock_is_changed():
    # 25 October 2026: the day has 25 h; sunrise moves from 07:39 to 06:41 by the clock
    autumn = clock(first_day=date(2026, 10, 24), last_day=date(2026, 10, 26))
    place = Daylight(latitude_deg=51.5, longitude_deg=-0.13)
    (layer,) = condition_layers(Conditions(daylight=place), autumn)
    days = list(layer.spans.complement(0, autumn.horizon_min))
    texts = [autumn.text(start)[11:16] for start, _ in days]
    assert texts[0] > "07:30"
    assert texts[1] < "06:50"
    assert 0 <= days[1][0] - days[0][0] - 1440 <= 3  # a day and the two minutes of the season


def test_waves_take_what_is_too_high_too_soon_after_or_not_known():
    # 0.5 m until 10 h, then up to 1.5 m at 11 h: 1 m is passed at 10:30; people must be done
    # 240 - 120 = 120 min before
    found = taken(Conditions(waves=calm(*hourly(0.5, last=10), (11, 1.5), (12, 1.5))))
    assert found["waves above 1 m"] == [(10 * H + 30, 12 * H)]
    assert found["waves calm for less than 120 min after work"] == [(8 * H + 30, 10 * H + 30)]
    assert found["height of waves not known"] == [(12 * H, HORIZON_MIN)]


def test_waves_at_the_limit_do_not_close():
    found = taken(Conditions(waves=calm(*hourly(1.0))))
    assert list(found) == ["waves calm for less than 120 min after work"]


def test_a_series_that_goes_on_after_the_campaign_lets_work_until_its_end():
    assert taken(Conditions(waves=calm(*hourly(0.5, last=HORIZON_MIN // H + 2)))) == {}


def test_a_gap_of_more_than_three_hours_in_the_waves_is_not_known():
    ends = HORIZON_MIN // H + 2
    allowed = [(0, 0.5), (3, 0.5), *hourly(0.5, first=4, last=ends)]
    assert taken(Conditions(waves=calm(*allowed))) == {}
    gap = [(0, 0.5), (3.5, 0.5), *hourly(0.5, first=4, last=ends)]
    assert taken(Conditions(waves=calm(*gap)))["height of waves not known"] == [(0, 210)]


def test_air_is_too_cold_until_the_series_has_warmed_up():
    # 0 degrees at 0 h, 10 at 2 h (15 at 3 h): 5 is reached at 1 h, 12 passed at 2 h 24 min
    air = AirTemperature(
        min_c=5.0, max_c=12.0, series=series((0, 0.0), (2, 10.0), (3, 15.0)), normals=()
    )
    found = taken(Conditions(air=air))
    assert found["air below 5 °C"] == [(0, H)]
    assert found["air above 12 °C"] == [(2 * H + 24, 3 * H)]
    assert found["air temperature not known"] == [(3 * H, HORIZON_MIN)]


def test_by_normals_a_day_is_coldest_at_six_and_warmest_at_three():
    # low 0, high 10: half way, 5 degrees, at 10:30 and, falling to 06:00 in 15 h, at 22:30
    air = AirTemperature(
        min_c=5.0, max_c=None, normals=(MonthNormal(month=3, low_c=0.0, high_c=10.0),)
    )
    cold = Spans(taken(Conditions(air=air))["air below 5 °C"])
    warm = cold.complement(0, HORIZON_MIN)
    assert next(iter(warm)) == (10 * H + 30, 22 * H + 30)
    assert len(warm) == 14


def test_a_series_counts_before_normals_and_normals_where_it_is_silent():
    normals = tuple(MonthNormal(month=month, low_c=8.0, high_c=12.0) for month in (2, 3))
    air = AirTemperature(min_c=5.0, max_c=None, series=series((6, 0.0), (8, 0.0)), normals=normals)
    assert taken(Conditions(air=air)) == {"air below 5 °C": [(6 * H, 8 * H)]}


def test_every_limit_is_told_of_a_minute_that_several_take():
    place = Daylight(latitude_deg=51.5, longitude_deg=0.0)
    both = Conditions(
        daylight=place,
        air=AirTemperature(min_c=5.0, max_c=None, series=series((0, 1.0), (3, 1.0))),
    )
    scene = campaign(conditions=both, zones=(zone(),))
    start, _, cause = Access(scene).lost(scene.zones[0])[0]
    assert (start, cause) == (0, "dark: no work from sunset on; air below 5 °C")
