"""Low-flow windows and wet-weather closures of a real trunk sewer.

7,195 rows of an area-velocity meter with a rain gauge, 16 February to 30 April 2008, pipe of
27 in (0.686 m), MIT licence: shared reference folder (windows.md, section 4, says what the
record holds).  The meter's clock kept standard time.
"""

from datetime import date, datetime

import numpy as np
import pytest

from planner.access.level import source_for
from planner.access.manning import Pipe
from planner.access.wet_weather import WetHours
from planner.access.windows import Access
from planner.core.clock import Clock
from planner.model.water import FlowPoint, SewerSection, Water, WaterKind
from planner.model.wet_weather import WetRow, WetWeather
from tests.builders import campaign, zone
from tests.reference.tide_stations import rows

pytestmark = pytest.mark.reference

START = datetime(2008, 2, 16)  # noqa: DTZ001 - the meter's own clock
CLOCK = Clock(time_zone="Etc/GMT+6", first_day=START.date(), last_day=date(2008, 4, 30))
SLOPE = 0.0026  # lays Manning's depth on the measured one; the record gives none
DRY_MEAN_M3_S = 0.070  # mean of the dry days, weekends included


@pytest.fixture(scope="module")
def meter(shared_reference):
    """Minutes, flow [m³/s], depth [m], rain [mm; nan where the gauge was off]."""
    table = rows(shared_reference / "sewer", "sewer_meter_15min_20080216_20080430.csv")
    minutes = np.array(
        [(datetime.fromisoformat(row["time_local"]) - START).total_seconds() / 60 for row in table]
    )
    flow, depth, rain = (
        np.array([float(row[name] or "nan") for row in table])
        for name in ("flow_lps", "depth_mm", "rain_mm")
    )
    assert minutes.size == 7195
    return minutes, flow / 1000, depth / 1000, rain


@pytest.fixture(scope="module")
def dry_days(meter):
    """Days with at most 0.25 mm, 0.5 mm the day before and 2.5 mm two days before."""
    minutes, _, _, rain = meter
    day = (minutes // 1440).astype(int)
    gauged = sorted(set(day[np.isfinite(rain)].tolist()))
    fell = {k: float(np.nansum(rain[day == k])) for k in gauged}
    limits = (0.25, 0.5, 2.5)
    assert len(gauged) == 65
    return [
        k for k in gauged if all(fell.get(k - n, 0.0) <= most for n, most in enumerate(limits))
    ]


def weather(meter, recession_h):
    minutes, _, _, rain = meter
    series = tuple(
        WetRow(minute=float(at), rain_mm=None if np.isnan(mm) else float(mm))
        for at, mm in zip(minutes, rain, strict=True)
    )
    return WetWeather(
        series=((None, series),), rain_limit_mm=2.5, recession_min=int(recession_h * 60)
    )


def scene(meter, **changes):
    minutes, flow, _, _ = meter
    series = tuple(
        FlowPoint(minute=float(at), flow_m3_s=float(q))
        for at, q in zip(minutes, flow, strict=True)
    )
    section = SewerSection(
        section="trunk",
        diameter_m=0.6858,
        slope=SLOPE,
        manning_n=0.013,
        mean_flow_m3_s=DRY_MEAN_M3_S,
    )
    water = Water(kind=WaterKind.SEWER, sewer=(section,), flows=(("trunk", series),))
    pipe = Pipe(diameter_m=0.6858, slope=SLOPE, manning_n=0.013)
    limit_m = float(pipe.depth_m(np.array([0.9 * DRY_MEAN_M3_S]))[0])
    zones = (zone(section="trunk", water_max_m=limit_m),)
    return campaign(clock=CLOCK, water=water, zones=zones, **changes)


def inside(spans, minutes):
    found = np.zeros(minutes.shape, dtype=bool)
    for start, end in spans:
        found |= (minutes >= start) & (minutes < end)
    return found


def test_the_measured_flow_gives_the_measured_depth(meter):
    minutes, flow, depth, _ = meter
    source = source_for(scene(meter), "trunk")
    assert source is not None
    usable = (depth > 0.06) & (depth < 0.5) & (flow > 0)
    usable[-1] = False  # from the last row on nothing is known
    error = source.level_m(minutes[usable]) - depth[usable]
    assert np.count_nonzero(usable) > 6500
    assert abs(np.median(error)) < 0.01
    assert np.percentile(np.abs(error), 90) < 0.04


def test_few_days_were_dry_and_their_nights_are_no_low_water(meter, dry_days):
    minutes, flow, _, _ = meter
    assert len(dry_days) == 18
    day, hour = (minutes // 1440).astype(int), (minutes % 1440 // 60).astype(int)
    weekdays = [k for k in dry_days if (START.weekday() + k) % 7 < 5]
    chosen = np.isin(day, weekdays)
    by_hour = np.array([flow[chosen & (hour == h)].mean() for h in range(24)])
    night = by_hour / by_hour.mean()
    assert night.min() == pytest.approx(0.81, abs=0.02)
    assert int(np.argmin(night)) == 3


def test_low_flow_windows_follow_the_flow_and_not_the_clock(meter, dry_days):
    minutes, flow, _, _ = meter
    found = scene(meter)
    windows = Access(found).windows(found.zones[0])
    open_ = inside(windows, minutes)
    assert len(windows) > 30
    assert flow[open_].max() <= 0.9 * DRY_MEAN_M3_S * (1 + 1e-6)
    day, hour = (minutes // 1440).astype(int), minutes % 1440 / 60
    dry = np.isin(day, dry_days)
    small_hours = hour < 5
    # on dry days most of the small hours are open, but a rule of midnight to five would leave
    # out half of the open time, and on wet days would send people into the flow
    assert open_[dry & small_hours].mean() > 0.6
    assert (open_ & ~small_hours)[dry].sum() > 0.3 * open_[dry].sum()
    high = flow > 1.5 * DRY_MEAN_M3_S
    assert (high & small_hours).sum() > 100


@pytest.mark.parametrize(
    ("recession_h", "least", "most"), [(0, 0.60, 0.75), (24, 0.88, 0.95), (48, 0.99, 1.0)]
)
def test_rain_and_two_days_of_recession_cover_the_high_flow(meter, recession_h, least, most):
    # more than 2.5 mm in 24 h closes; high flow is 1.5 times the dry mean
    minutes, flow, _, rain = meter
    hours = WetHours(weather(meter, recession_h))
    closed = inside(hours.shut(None), minutes)
    gauged = np.isfinite(rain)
    high = gauged & (flow > 1.5 * DRY_MEAN_M3_S)
    assert least <= closed[high].mean() <= most
    assert closed[gauged].mean() < 0.65


def test_with_the_closures_no_window_meets_a_storm(meter, dry_days):
    minutes, flow, _, rain = meter
    loose = float(
        Pipe(diameter_m=0.6858, slope=SLOPE, manning_n=0.013).depth_m(np.array([0.2]))[0]
    )
    found = scene(meter, wet_weather=weather(meter, 48))
    deep = zone(section="trunk", water_max_m=loose)
    access = Access(found)
    open_ = inside(access.windows(deep), minutes) & np.isfinite(rain)
    assert flow[open_].max() < 1.6 * DRY_MEAN_M3_S
    assert open_[np.isin((minutes // 1440).astype(int), dry_days)].mean() > 0.6
    causes = {cause for _, _, cause in access.lost(deep)}
    assert any(cause.startswith("wet weather: over 2.5 mm in 24 h") for cause in causes)
