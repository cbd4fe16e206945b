"""Keys and tables of light, holidays, waves and air; closures that come every year."""

from dataclasses import replace
from datetime import date

import pytest

from planner.model.conditions import Daylight, MonthNormal, Twilight
from planner.model.limits import ClosureKind, ClosureScope
from planner.scenario.build_closures import in_year
from planner.scenario.raw import RawTable
from planner.scenario.reader import read_scenario
from planner.scenario.tables import read_tables
from planner.scenario.workbook import write_workbook
from planner.scenario.writer import write_folder
from tests.unit.scenario.scenes import is_error, marks, only, problems, read, scene

PLACE = {"daylight.latitude_deg": "51.44", "daylight.longitude_deg": "-2.6"}
WAVES = {"waves.height_max_m": "0.5", "waves.planned_h": "4"}
HOURS = [f"2027-04-{day:02d}T{hour:02d}:00" for day in range(5, 13) for hour in range(24)]
CALM = [{"time": time, "height_m": "0.3"} for time in HOURS]
NORMALS = [{"month": "4", "low_c": "4.5", "high_c": "12"}]
DAY = 1440


def warm(**changes):
    tables = {"temperature_normals": NORMALS, **changes}
    return scene({"temperature.min_c": "5"}, **tables)


def everything():
    keys = {
        **PLACE,
        **WAVES,
        "daylight.twilight": "civil",
        "holidays.country": "GB",
        "holidays.subdivision": "ENG",
        "holidays.worked": "2027-04-05",
        "waves.reference_factor": "1.5",
        "temperature.min_c": "5",
        "temperature.max_c": "30",
    }
    season = {"scope": "zone", "id": "Z1", "from": "2020-03-01", "to": "2020-08-31"}
    return scene(
        keys,
        waves=CALM,
        temperature=[{"time": time, "air_c": "7.5"} for time in HOURS],
        temperature_normals=NORMALS,
        closures=[{**season, "yearly": "yes", "kind": "wildlife", "why": "nesting"}],
    )


def test_a_scenario_without_the_keys_has_no_such_limits():
    conditions = read(scene()).conditions
    assert (conditions.daylight, conditions.waves, conditions.air) == (None, None, None)


def test_every_key_and_table_reaches_the_campaign():
    found = read(everything())
    conditions = found.conditions
    assert conditions.daylight == Daylight(
        latitude_deg=51.44, longitude_deg=-2.6, twilight=Twilight.CIVIL
    )
    assert conditions.waves is not None
    assert conditions.waves.height_max_m == 0.5
    assert (conditions.waves.planned_min, conditions.waves.reference_min) == (240, 360)
    assert conditions.waves.series[1].minute == 60.0
    assert conditions.air is not None
    assert (conditions.air.min_c, conditions.air.max_c) == (5.0, 30.0)
    assert conditions.air.normals == (MonthNormal(month=4, low_c=4.5, high_c=12.0),)
    assert len(conditions.air.series) == len(HOURS)


def test_the_reference_time_is_twice_the_planned_one_where_nothing_better_is_known():
    waves = read(scene(WAVES, waves=CALM)).conditions.waves
    assert waves is not None
    assert (waves.reference_min, waves.spare_min) == (480, 240)


def test_folder_and_workbook_say_the_same(tmp_path):
    write_folder(everything(), tmp_path / "folder")
    write_workbook(everything(), tmp_path / "book.xlsx")
    folder, _ = read_scenario(tmp_path / "folder")
    book, _ = read_scenario(tmp_path / "book.xlsx")
    assert folder == book == read(everything())
    assert read_tables(tmp_path / "folder").campaign == everything().campaign


@pytest.mark.parametrize(
    ("key", "text"),
    [
        ("daylight.latitude_deg", "51.45"),
        ("daylight.twilight", "none"),
        ("holidays.worked", "2027-04-06"),
        ("waves.planned_h", "3"),
        ("temperature.max_c", "29"),
    ],
)
def test_another_limit_is_another_scenario(key, text):
    tables = everything()
    other = replace(tables, campaign=tables.campaign | {key: text})
    assert read(other).fingerprint != read(tables).fingerprint


# Public holidays

EASTER = {"holidays.country": "GB", "holidays.subdivision": "ENG"}


def test_public_holidays_close_the_site_for_their_whole_day():
    # Easter Monday of 2027 is 29 March; the scene begins on 5 April
    keys = EASTER | {"campaign.start": "2027-03-26", "campaign.end": "2027-03-31"}
    closures = read(scene(keys)).closures
    assert [(c.from_min, c.to_min, c.why) for c in closures] == [
        (0, DAY, "Good Friday"),
        (3 * DAY - 60, 4 * DAY - 60, "Easter Monday"),  # the clock is put forward on the 28th
    ]
    assert {(c.scope, c.kind) for c in closures} == {(ClosureScope.SITE, ClosureKind.HOLIDAY)}


def test_a_holiday_that_is_worked_does_not_close():
    keys = EASTER | {"campaign.start": "2027-03-26", "campaign.end": "2027-03-31"}
    keys |= {"holidays.worked": "2027-03-26"}
    assert [c.why for c in read(scene(keys)).closures] == ["Easter Monday"]


def test_a_worked_day_that_is_no_holiday_is_told():
    keys = EASTER | {"campaign.start": "2027-03-26", "holidays.worked": "2027-03-30"}
    told = only(scene(keys))
    assert told.code == "no-holiday"
    assert told.message == (
        "2027-03-30: no public holiday of the campaign; it has 2027-03-26, 2027-03-29"
    )


def test_an_unknown_country_is_refused_with_the_nearest_known_one():
    told = only(scene({"holidays.country": "nl"}))
    assert is_error(told)
    assert 'did you mean "NL"?' in told.message
    assert "did you mean" not in only(scene({"holidays.country": "Mordor"})).message


def test_an_unknown_part_of_a_country_is_refused_and_the_known_ones_named():
    told = only(scene({"holidays.country": "GB", "holidays.subdivision": "WAL"}))
    assert is_error(told)
    assert 'did you mean "WLS"? known are ENG, NIR, SCT, WLS' in told.message.replace("?;", "?")


def test_a_country_whose_parts_differ_in_the_campaign_asks_for_the_part():
    # 17 March is a holiday in Northern Ireland alone
    keys = {"holidays.country": "GB", "campaign.start": "2027-03-15", "campaign.end": "2027-03-19"}
    told = only(scene(keys))
    assert (told.code, is_error(told)) == ("holidays-of-parts", False)
    assert told.message.startswith("parts of GB have holidays of their own")
    assert "(NIR)" in told.message
    assert problems(scene({"holidays.country": "GB"})) == []


# What is missing, idle or odd


def test_a_place_needs_latitude_and_longitude():
    told = only(scene({"daylight.latitude_deg": "51"}))
    assert (told.column, told.code) == ("daylight.longitude_deg", "missing-key")
    told = only(scene({"daylight.longitude_deg": "-2"}))
    assert (told.column, told.code) == ("daylight.latitude_deg", "missing-key")


def test_a_longitude_of_the_wrong_sign_is_told():
    keys = PLACE | {"campaign.time_zone": "America/Los_Angeles", "daylight.longitude_deg": "119.8"}
    told = only(scene(keys))
    assert told.column == "daylight.longitude_deg"
    assert "west has a minus" in told.message


def test_waves_need_a_planned_time_and_a_series():
    found = problems(scene({"waves.height_max_m": "0.5"}))
    assert marks(found) == [
        ("campaign.toml", None, "waves.planned_h", "missing-key"),
        ("waves.csv", None, "", "missing-table"),
    ]


def test_a_table_of_waves_without_rows_is_no_series():
    empty = RawTable(columns=("time", "height_m"))
    tables = scene(WAVES)
    told = only(replace(tables, tables={**tables.tables, "waves": empty}))
    assert (told.file, told.code) == ("waves.csv", "missing-table")


def test_temperature_limits_need_a_series_or_normals():
    assert only(scene({"temperature.min_c": "5"})).code == "missing-table"
    assert problems(warm()) == []


def test_limits_that_leave_no_air_are_refused():
    keys = {"temperature.min_c": "30", "temperature.max_c": "5"}
    assert only(scene(keys, temperature_normals=NORMALS)).code == "limits-crossed"


def test_a_lowest_above_the_highest_is_refused():
    told = only(warm(temperature_normals=[{"month": "4", "low_c": "12", "high_c": "4"}]))
    assert (told.row, told.code) == (2, "limits-crossed")


def test_a_month_without_normals_is_told():
    told = only(warm(temperature_normals=[{"month": "5", "low_c": "6", "high_c": "15"}]))
    assert told.code == "months-missing"
    assert told.message.startswith("month 4 of the campaign has no row")


def test_a_series_with_a_gap_or_twins_or_too_short_is_told():
    gap = [row for row in CALM if row["time"] not in HOURS[10:14]]
    told = only(scene(WAVES, waves=gap))
    assert (told.row, told.code) == (12, "odd-gap")
    assert "5.0 h" in told.message
    assert only(scene(WAVES, waves=CALM[:-30])).code == "not-covered"
    twins = only(scene(WAVES, waves=[*CALM, CALM[-1]]))
    assert (twins.code, is_error(twins)) == ("duplicate", True)


def test_feet_or_fahrenheit_are_told_by_their_size():
    told = only(scene(WAVES, waves=[row | {"height_m": "21"} for row in CALM[:1]] + CALM[1:]))
    assert told.code == "odd-number"
    told = only(scene({"temperature.max_c": "86"}, temperature_normals=NORMALS))
    assert told.message.endswith("temperatures are °C, not °F")


@pytest.mark.parametrize(
    ("keys", "tables"),
    [
        ({"daylight.twilight": "civil"}, {}),
        ({"holidays.subdivision": "ENG"}, {}),
        ({"waves.planned_h": "4"}, {}),
        ({}, {"waves": CALM}),
        ({}, {"temperature_normals": NORMALS}),
    ],
)
def test_what_is_not_used_is_told(keys, tables):
    told = only(scene(keys, **tables))
    assert told.code in {"key-not-used", "table-not-used"}


# Closures that come every year, and their kinds


def yearly(start, end, **more):
    row = {"scope": "site", "from": start, "to": end, "yearly": "yes", "kind": "wildlife"}
    return scene(closures=[row | more])


def spans(tables):
    return [(c.from_min, c.to_min) for c in read(tables).closures if c.to_min > 0]


def test_a_season_comes_back_in_the_year_of_the_campaign():
    # 6 and 7 April of any year; the scene begins on 5 April 2027
    found = list(read(yearly("2019-04-06", "2019-04-07")).closures)
    assert [(c.from_min, c.to_min) for c in found] == [(DAY, 3 * DAY)]
    assert found[0].kind is ClosureKind.WILDLIFE


def test_a_season_over_new_year_that_began_last_year_reaches_into_the_campaign():
    found = spans(yearly("2019-10-01", "2020-04-06"))
    assert found[0][0] < 0
    assert found[0][1] == 2 * DAY


def test_the_29th_of_february_is_the_28th_in_other_years():
    assert in_year(date(2028, 2, 29), 2027) == date(2027, 2, 28)
    assert in_year(date(2028, 2, 29), 2032) == date(2032, 2, 29)


def test_a_yearly_closure_needs_both_ends_and_less_than_a_year():
    row = {"scope": "zone", "id": "Z1", "from": "2027-04-06", "yearly": "yes"}
    told = only(scene(closures=[row]))
    assert (told.column, is_error(told)) == ("to", True)
    assert only(yearly("2026-04-01", "2027-04-02")).code == "longer-than-a-year"


def test_a_word_that_is_no_kind_is_refused():
    told = only(scene(closures=[{"scope": "site", "from": "2027-04-06", "kind": "birds"}]))
    assert (told.column, told.code) == ("kind", "unknown-word")
