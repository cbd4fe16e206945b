"""The tide against the tables and curves that agencies published from the same constants.

Files and sources: SOURCES.md of the shared reference folder (NOAA CO-OPS: public domain;
Rijkswaterstaat, Vlissingen; Toitū Te Whenua LINZ with TICON-4 constants).  Tolerances: what
Schureman's formulas with node factors at the middle of the year were measured to reach.
"""

import json
from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from planner.access.astronomy import rates
from planner.access.constituents import known_constituents, speed_deg_h
from planner.access.level import source_for
from planner.access.tide import TideLevel
from planner.model.water import Water, WaterKind
from tests.builders import campaign, clock
from tests.reference.tide_stations import (
    FOOT_M,
    minutes,
    noaa_tide,
    rows,
    station,
    turning_points,
    utc,
    vlissingen,
    waves,
)

pytestmark = pytest.mark.reference


@pytest.fixture(scope="module")
def tides(shared_reference):
    return shared_reference / "tides"


def matched(found, published):
    """Index of the published event nearest in time to each found one."""
    after = np.searchsorted(published, found).clip(1, published.size - 1)
    earlier = found - published[after - 1] < published[after] - found
    return after - earlier


def test_boston_has_the_2825_published_tides_and_no_others(shared_reference, tides):
    table = rows(tides, "noaa_8443970_boston_hilo_2020_2021.csv")
    epoch = datetime(2020, 1, 1, tzinfo=UTC)
    published = minutes([row["time_utc"] for row in table], epoch)
    tide = noaa_tide(station(shared_reference, "8443970"), epoch, datum="MLLW")
    times, levels, high = turning_points(tide, published[0] - 60, published[-1] + 60)
    assert times.size == len(table) == 2825
    assert list(high) == [row["type"] == "H" for row in table]
    assert np.abs(times - published).max() <= 2.0
    height_m = np.array([float(row["height_ft_mllw"]) for row in table]) * FOOT_M
    assert np.abs(levels - height_m).max() <= 0.010
    assert np.sqrt(np.mean((levels - height_m) ** 2)) <= 0.003


@pytest.mark.parametrize(
    ("ident", "file", "column"),
    [
        ("1612340", "noaa_1612340_honolulu_pred_6min_20230829.csv", "predicted_m_mllw"),
        (
            "8720218",
            "noaa_8720218_mayport_pred_verified_6min_20190815_20190915.csv",
            "predicted_m_msl",
        ),
    ],
)
def test_six_minute_curves_agree_to_millimetres(shared_reference, tides, ident, file, column):
    table = rows(tides, file)
    epoch = utc(table[0]["time_utc"])
    tide = noaa_tide(station(shared_reference, ident), epoch, datum=column.split("_")[-1].upper())
    error = tide.level_m(minutes([row["time_utc"] for row in table], epoch)) - np.array(
        [float(row[column]) for row in table]
    )
    assert len(table) >= 480
    assert np.sqrt(np.mean(error**2)) <= 0.005
    assert np.abs(error).max() <= 0.010


def test_monterey_in_local_daylight_time_is_the_same_tide(shared_reference, tides):
    table = rows(tides, "noaa_9413450_monterey_hilo_20160713.csv")
    epoch = datetime(2016, 7, 13, tzinfo=UTC)
    local = minutes([row["time_local_lst_ldt"] for row in table], epoch)
    tide = noaa_tide(station(shared_reference, "9413450"), epoch, datum="MLLW")
    times, levels, _ = turning_points(tide, local[0] - 60, local[-1] + 60)
    assert times.size == len(table) == 8
    assert np.abs(times - local).max() <= 2.0
    # the table is older than the constants: its mean level lies 13 mm apart
    height_m = np.array([float(row["height_ft_mllw"]) for row in table]) * FOOT_M
    assert np.abs(levels - height_m).max() <= 0.025
    assert np.std(levels - height_m) <= 0.010


@pytest.mark.parametrize(("first_day", "hours"), [(date(2020, 3, 8), 23), (date(2020, 11, 1), 25)])
def test_local_times_on_the_days_of_a_clock_change_are_the_published_tides(
    shared_reference, tides, first_day, hours
):
    row = station(shared_reference, "8443970")
    zero = row["datums_m_above_station_datum"]
    calendar = clock(time_zone="America/New_York", first_day=first_day, last_day=first_day)
    assert calendar.horizon_min == hours * 60
    water = Water(
        kind=WaterKind.TIDE,
        mean_level_m=zero["MSL"] - zero["MLLW"],
        constituents=waves(row["constituents"]),
    )
    source = source_for(campaign(clock=calendar, water=water), None)
    assert source is not None
    seen = 0
    for event in rows(tides, "noaa_8443970_boston_hilo_2020_2021.csv"):
        local = utc(event["time_utc"]).astimezone(ZoneInfo("America/New_York"))
        if local.date() == first_day:
            seen += 1
            minute = calendar.minute(datetime.combine(local.date(), local.time(), local.tzinfo))
            level_m = float(source.level_m(np.array([minute], dtype=float))[0])
            assert level_m == pytest.approx(float(event["height_ft_mllw"]) * FOOT_M, abs=0.010)
    assert seen in {3, 4, 5}


def test_vlissingen_with_94_constants_follows_the_agency_curve_of_2019(shared_reference, tides):
    table = rows(tides, "rws_vlissingen_pred_10min_2019.csv")
    published = np.array([float(row["level_cm"]) for row in table]) / 100
    epoch = datetime(2018, 12, 31, 23, tzinfo=UTC)  # the agency's year is counted in UTC+1
    times = np.arange(0.0, 10.0 * published.size, 10.0)
    error = vlissingen(shared_reference, epoch).level_m(times) - published
    assert published.size == 52560
    assert np.sqrt(np.mean(error**2)) <= 0.013
    assert np.abs(error).max() <= 0.055


def test_vlissingen_turns_when_the_agency_table_says(shared_reference, tides):
    table = rows(tides, "rws_vlissingen_hilo_2019.csv")
    epoch = datetime(2019, 1, 1, tzinfo=UTC)
    published = minutes([row["time_utc"] for row in table], epoch)
    tide = vlissingen(shared_reference, epoch)
    times, levels, high = turning_points(tide, published[0] - 60, published[-1] + 60)
    # double low waters stand once in the agency's table, so look from the table's side
    nearest = matched(published, times)
    assert list(high[nearest]) == [row["type"] == "H" for row in table]
    assert np.abs(times[nearest] - published).max() <= 12.0
    height_m = np.array([float(row["height_cm_nap"]) for row in table]) / 100
    assert np.abs(levels[nearest] - height_m).max() <= 0.055


@pytest.mark.parametrize(("limit_m", "count"), [(0.0, 705), (-1.0, 704)])
def test_vlissingen_windows_are_those_of_the_agency_curve(shared_reference, tides, limit_m, count):
    table = rows(tides, f"derived_vlissingen_windows_below_{limit_m:+.1f}m_nap_2019.csv")
    epoch = datetime(2018, 12, 31, 23, tzinfo=UTC)
    starts = minutes([row["start_utc"] for row in table], epoch)
    ends = minutes([row["end_utc"] for row in table], epoch)
    year_min = 365 * 1440.0
    found = vlissingen(shared_reference, epoch).curve(0.0, year_min).below(limit_m)
    # not those that the year's end cuts, nor the one low water that turns 6 mm below -1 m in
    # the prediction and just at it in the agency's whole centimetres
    whole = (found.ends < year_min) & (found.ends - found.starts >= 45.0)
    assert len(table) == np.count_nonzero(whole) == count
    assert np.abs(found.starts[whole] - starts).max() <= 5.0
    assert np.abs(found.ends[whole] - ends).max() <= 5.0


@pytest.mark.parametrize(
    "ident", ["8443970", "9414290", "1612340", "9447130", "9411340", "8720218"]
)
def test_highest_and_lowest_tide_of_nineteen_years_are_as_published(shared_reference, ident):
    row = station(shared_reference, ident)
    zero = row["datums_m_above_station_datum"]
    epoch = datetime(2002, 1, 1, tzinfo=UTC)
    span = (datetime(2021, 1, 1, tzinfo=UTC) - epoch).total_seconds() / 60
    curve = noaa_tide(row, epoch, datum="MSL").curve(0.0, span)
    assert curve.end_m.min() == pytest.approx(zero["LAT"] - zero["MSL"], abs=0.02)
    assert curve.end_m.max() == pytest.approx(zero["HAT"] - zero["MSL"], abs=0.02)


def test_auckland_from_an_open_database_keeps_within_twenty_minutes(tides):
    table = rows(tides, "linz_auckland_hilo_2015_nzst.csv")
    constants = json.loads((tides / "ticon_auckland_constants.json").read_text(encoding="utf-8"))
    known = [row for row in constants["constituents"] if row[0] in known_constituents()]
    left_out = sum(row[1] for row in constants["constituents"]) - sum(row[1] for row in known)
    assert left_out <= 0.045  # T3, R3 and 3L2 are in no agency's list
    epoch = datetime(2015, 1, 1, tzinfo=UTC)
    published = minutes([row["time_utc"] for row in table], epoch)
    tide = TideLevel(waves(known), mean_m=constants["datums"]["MSL"], epoch_utc=epoch)
    times, levels, high = turning_points(tide, published[0] - 60, published[-1] + 60)
    assert times.size == len(table)
    assert list(high) == [row["type"] == "H" for row in table]
    late = np.abs(times - published)
    assert late.max() <= 20.0
    assert np.percentile(late, 95) <= 12.0
    error = levels - np.array([float(row["height_m"]) for row in table])
    assert np.std(error) <= 0.10


def test_every_constant_of_vlissingen_and_anchorage_has_its_published_speed(
    shared_reference, tides
):
    path = tides / "rws_vlissingen_constants.json"
    rate = rates(datetime(2019, 7, 2, tzinfo=UTC))
    table = json.loads(path.read_text(encoding="utf-8"))["constituents"]
    for name, _, _, speed in table:
        assert speed_deg_h(name, rate) == pytest.approx(speed, abs=2e-6), name
    assert len(table) == 94
    names = {row[0] for row in station(shared_reference, "9455920")["constituents"]}
    assert len(names) == 120
    assert names <= set(known_constituents())
