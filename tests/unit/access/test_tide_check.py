"""Another time base, feet and another datum leave their marks beside a table."""

from datetime import UTC, datetime

import numpy as np
import pytest

from planner.access.tide import TideLevel
from planner.access.tide_check import compare, remarks, tidal_levels, time_base_h, turned
from planner.model.water import Constituent

EPOCH = datetime(2026, 3, 1, tzinfo=UTC)
WAVES = tuple(
    Constituent(name=name, amplitude_m=amplitude, phase_deg=phase)
    for name, amplitude, phase in (
        ("M2", 1.4, 110.0),
        ("S2", 0.3, 146.0),
        ("N2", 0.3, 77.0),
        ("K1", 0.14, 205.0),
        ("O1", 0.12, 187.0),
    )
)


def tide(waves=WAVES, mean_m=1.6):
    return TideLevel(waves, mean_m=mean_m, epoch_utc=EPOCH)


def table(days=20, mean_m=1.6):
    """High and low waters of the true tide, to whole minutes and centimetres."""
    curve = tide(mean_m=mean_m).curve(0.0, 1440.0 * days)
    rises = curve.end_m > curve.start_m
    turns = np.flatnonzero(rises[:-1] != rises[1:])
    return np.round(curve.end[turns]), np.round(curve.end_m[turns], 2)


def told(source, minutes, heights):
    return remarks(compare(source, minutes, heights))


def test_a_table_of_the_same_tide_agrees():
    found = compare(tide(), *table())
    assert abs(found.late_min) <= 1.0
    assert found.factor == pytest.approx(1.0, abs=0.01)
    assert found.spread_m < 0.01
    assert remarks(found) == []


@pytest.mark.parametrize("hours", [1.0, -5.0, 5.5, 12.0])
def test_phases_for_another_time_base_are_recognised_and_can_be_turned(hours):
    other = turned(WAVES, hours=-hours, at=EPOCH)  # as an agency of that zone prints them
    assert time_base_h(compare(tide(other), *table())) == hours
    (remark,) = told(tide(other), *table())
    assert f"given for UTC{hours:+g} h" in remark
    assert told(tide(turned(other, hours=hours, at=EPOCH)), *table()) == []


def test_feet_in_amplitudes_or_in_the_table_are_recognised():
    minutes, heights = table()
    feet = tuple(
        Constituent(name=w.name, amplitude_m=w.amplitude_m / 0.3048, phase_deg=w.phase_deg)
        for w in WAVES
    )
    assert "amplitudes look like feet" in told(tide(feet), minutes, heights)[0]
    assert "table look like feet" in told(tide(), minutes, heights / 0.3048)[0]


def test_another_datum_is_recognised():
    (remark,) = told(tide(mean_m=0.0), *table())
    assert "1.60 m higher" in remark
    (remark,) = told(tide(mean_m=2.0), *table())
    assert "0.40 m lower" in remark


def test_another_port_is_recognised_by_time_range_or_shape():
    minutes, heights = table()
    assert "100 min later" in told(tide(), minutes - 100.0, heights)[0]
    assert time_base_h(compare(tide(), minutes - 100.0, heights)) is None
    wide = (heights - heights.mean()) * 1.4 + heights.mean()
    assert any("range of the table is 1.4" in remark for remark in told(tide(), minutes, wide))
    noise = np.random.default_rng(1).normal(0.0, 0.6, heights.size)
    assert any("not those of this port" in r for r in told(tide(), minutes, heights + noise))


def test_a_few_extremes_tell_nothing():
    minutes, heights = table(days=2)
    with pytest.raises(ValueError, match="at least 10"):
        compare(tide(), minutes[:9], heights[:9])


def test_tidal_levels_are_the_turning_points_of_the_curve():
    only = tide((Constituent(name="M2", amplitude_m=1.0, phase_deg=0.0),), mean_m=0.5)
    found = tidal_levels(only, 0.0, 1440.0 * 60)
    factor = found.highest_m - 0.5  # of the moon's node in that year
    assert found.lowest_m == pytest.approx(0.5 - factor)
    assert found.mean_high_m == pytest.approx(found.highest_m)
    assert found.mean_low_m == pytest.approx(found.lowest_m)
    at = np.array([found.highest_min, found.lowest_min])
    assert only.level_m(at).tolist() == pytest.approx([found.highest_m, found.lowest_m])
