"""What real gauges saw beside the prediction, against the figures published for them.

Vlissingen 2009 to 2012, hourly (Rijkswaterstaat): files and figures of the shared reference
folder (windows.md, section 3), worked out there with other programmes.
"""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from planner.access.allowance import Need, Observed, held
from planner.access.curve import Intervals
from planner.access.harmonic import analyse
from planner.access.residual import LAGS_H, PROBABILITIES, fit_residual
from planner.access.tide import TideLevel
from tests.reference.tide_stations import noaa_tide, rows, station, utc, vlissingen

pytestmark = pytest.mark.reference

EPOCH = datetime(2008, 12, 31, 23, tzinfo=UTC)
LIMIT_M = -0.5


@pytest.fixture(scope="module")
def gauge(shared_reference):
    """Times [min] and levels [m above NAP]."""
    table = rows(shared_reference / "tides", "rws_vlissingen_observed_hourly_2009_2012.csv")
    levels = np.array([float(row["level_cm"]) for row in table]) / 100
    assert levels.size == 35064
    return np.arange(levels.size) * 60.0, levels


@pytest.fixture(scope="module")
def months(gauge):
    return np.array([(EPOCH + timedelta(minutes=float(at))).month for at in gauge[0]])


@pytest.fixture(scope="module")
def observed(shared_reference, gauge):
    return Observed.beside(vlissingen(shared_reference, EPOCH), *gauge)


def test_what_a_freeboard_margin_buys(shared_reference, observed):
    # windows of more than 2 h below -0.5 m; the published table judges whole steps of 10 min
    curve = vlissingen(shared_reference, EPOCH).curve(0.0, float(observed.minutes[-1]))
    published = {0.0: 60, 0.1: 78, 0.2: 87, 0.3: 92, 0.4: 95, 0.5: 97, 0.6: 98}
    hours = {0.0: 5.42, 0.1: 5.14, 0.2: 4.85, 0.3: 4.54, 0.4: 4.22, 0.5: 3.88, 0.6: 3.56}
    for margin, share in published.items():
        windows, _ = held(
            curve, observed, Need(limit_m=LIMIT_M, least_min=120), allowance_m=margin
        )
        steps = Intervals(
            starts=np.ceil(windows.starts / 10) * 10, ends=np.floor(windows.ends / 10) * 10
        )
        kept = np.mean(observed.highest_m(steps) <= LIMIT_M)
        assert 100 * kept == pytest.approx(share, abs=2.0), margin
        mean_h = np.mean(windows.ends - windows.starts) / 60
        assert mean_h == pytest.approx(hours[margin], abs=0.02), margin


def test_summer_windows_hold_more_often_than_winter_ones(shared_reference, observed, months):
    curve = vlissingen(shared_reference, EPOCH).curve(0.0, float(observed.minutes[-1]))
    need = Need(limit_m=LIMIT_M, least_min=120, get_in_min=5.0, get_out_min=5.0)
    windows, good = held(curve, observed, need, allowance_m=0.3)
    month = months[(windows.starts / 60).astype(int)]
    winter = np.isin(month, (10, 11, 12, 1, 2, 3))
    assert 100 * good[~winter].mean() == pytest.approx(95, abs=2.0)
    assert 100 * good[winter].mean() == pytest.approx(89, abs=2.0)


def test_the_residual_has_the_published_spread_and_persistence(shared_reference, gauge, months):
    minutes, levels = gauge
    residual = levels - vlissingen(shared_reference, EPOCH).level_m(minutes)
    model = fit_residual(residual, months)
    assert model.spread_m == pytest.approx(0.218, abs=0.002)
    published = {1: 0.93, 6: 0.69, 12: 0.54, 24: 0.26, 72: 0.13}
    for lag, correlation in published.items():
        assert model.persistence[LAGS_H.index(lag)] == pytest.approx(correlation, abs=0.01)
    for share, level_m in {0.01: -0.51, 0.05: -0.33, 0.5: -0.02, 0.95: 0.36, 0.99: 0.68}.items():
        assert np.quantile(residual, share) == pytest.approx(level_m, abs=0.01)
    drawn = model.sample(months, np.random.default_rng(11))
    assert drawn.std() == pytest.approx(0.218, abs=0.02)
    again = fit_residual(drawn, months)
    for lag, correlation in published.items():
        assert again.persistence[LAGS_H.index(lag)] == pytest.approx(correlation, abs=0.08)
    top = PROBABILITIES.index(0.95)
    assert again.quantiles_m[0][top] == pytest.approx(model.quantiles_m[0][top], abs=0.06)


@pytest.mark.parametrize(
    ("days", "rms_m"),
    [(60, 0.27), (365, 0.125), (1461, 0.097)],  # what a published library reached
)
def test_constants_from_the_record_predict_the_agency_s_curve_of_2019(
    shared_reference, gauge, days, rms_m
):
    minutes, levels = gauge
    chosen = minutes < days * 1440.0
    fit = analyse(minutes[chosen], levels[chosen], epoch_utc=EPOCH)
    table = rows(shared_reference / "tides", "rws_vlissingen_pred_10min_2019.csv")
    published = np.array([float(row["level_cm"]) for row in table]) / 100
    start = (datetime(2018, 12, 31, 23, tzinfo=UTC) - EPOCH).total_seconds() / 60.0
    times = np.arange(start, start + 10.0 * published.size, 10.0)
    tide = TideLevel(fit.constituents, mean_m=fit.mean_m, epoch_utc=EPOCH)
    error = tide.level_m(times) - published
    assert np.sqrt(np.mean(error**2)) <= rms_m


def test_boston_s_constants_come_back_out_of_a_year_of_its_prediction(shared_reference):
    row = station(shared_reference, "8443970")
    epoch = datetime(2020, 1, 1, tzinfo=UTC)
    minutes = np.arange(0.0, 366 * 1440.0, 60.0)
    fit = analyse(minutes, noaa_tide(row, epoch, datum="MSL").level_m(minutes), epoch_utc=epoch)
    found = {wave.name: wave for wave in fit.constituents}
    assert np.abs(fit.residual_m).max() < 0.005
    for name, amplitude, phase, *_ in row["constituents"]:
        if amplitude >= 0.01 and name in found:
            assert found[name].amplitude_m == pytest.approx(amplitude, abs=0.001), name
            assert found[name].phase_deg == pytest.approx(phase, abs=2.0), name


def test_the_surge_of_a_hurricane_stands_in_the_residual_of_mayport(shared_reference):
    table = rows(
        shared_reference / "tides", "noaa_8720218_mayport_pred_verified_6min_20190815_20190915.csv"
    )
    epoch = utc(table[0]["time_utc"])
    verified = np.array([float(row["verified_m_msl"] or "nan") for row in table])
    minutes = np.array([(utc(row["time_utc"]) - epoch).total_seconds() / 60 for row in table])
    tide = noaa_tide(station(shared_reference, "8720218"), epoch, datum="MSL")
    residual = verified - tide.level_m(minutes)
    assert np.nanstd(residual) == pytest.approx(0.173, abs=0.003)
    assert np.nanmean(residual) == pytest.approx(0.12, abs=0.01)
    assert np.nanmax(residual) == pytest.approx(0.94, abs=0.02)


def test_the_residuals_of_honolulu_and_seattle_have_the_published_spread(shared_reference):
    tides = shared_reference / "tides"
    hourly = [row["level_mm"] for row in rows(tides, "honolulu_observed_hourly_2010.csv")]
    levels = np.array([float(text or "nan") for text in hourly]) / 1000
    epoch = datetime(2010, 1, 1, tzinfo=UTC)
    tide = noaa_tide(station(shared_reference, "1612340"), epoch, datum="MSL")
    residual = levels - tide.level_m(np.arange(0.0, 60.0 * levels.size, 60.0))
    assert np.nanstd(residual) == pytest.approx(0.047, abs=0.003)

    table = rows(tides, "noaa_9447130_seattle_observed_6min_201501.csv")
    seen = np.array([float(row["verified_m_mllw"] or "nan") for row in table])
    epoch = utc(table[0]["time_utc"])
    minutes = np.array([(utc(row["time_utc"]) - epoch).total_seconds() / 60 for row in table])
    tide = noaa_tide(station(shared_reference, "9447130"), epoch, datum="MLLW")
    assert np.nanstd(seen - tide.level_m(minutes)) == pytest.approx(0.094, abs=0.004)
