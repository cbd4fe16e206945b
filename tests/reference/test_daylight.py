"""Sunsets of the United States Naval Observatory (whole minutes, local clock).

The table crosses the end of summer time; it lies in the shared reference folder (public domain).
The four times of 2 August 2015 at Golden, Colorado, 39.743 N 105.178 W, are the Observatory's as
a public library of solar energy quotes them in its tests.
"""

import csv
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from planner.access.sun import light
from planner.model.conditions import Daylight

pytestmark = pytest.mark.reference


def days_of_light(place, first, days):
    return light(place, epoch_utc=first, start=0.0, end=days * 1440.0)


def test_sunsets_are_the_observatorys_within_a_minute(shared_reference):
    path = shared_reference / "daylight" / "usno_sunset_34.4046_-119.8440_2026.csv"
    with path.open(encoding="utf-8") as file:
        table = list(csv.DictReader(file))
    first = datetime(2026, 10, 1, tzinfo=UTC)
    place = Daylight(latitude_deg=34.4046, longitude_deg=-119.844)
    ends = days_of_light(place, first, 40).ends
    off = []
    for row in table:
        local = datetime.fromisoformat(f"{row['date']}T{row['sunset_local']}:00+00:00")
        utc = local - timedelta(hours=int(row["utc_offset_hours"]))
        wanted = (utc - first).total_seconds() / 60.0
        off.append(float(np.abs(ends - wanted).min()))
    assert len(off) == 27
    assert max(off) <= 1.0
    assert np.mean(off) <= 0.5  # the table is rounded to whole minutes


def test_rise_and_set_at_golden_are_the_observatorys():
    # Mountain Standard Time: UTC - 7 h; rise 05:00, set 19:13
    place = Daylight(latitude_deg=39.743, longitude_deg=-105.178)
    first = datetime(2015, 8, 2, 7, tzinfo=UTC)
    found = days_of_light(place, first, 1)
    assert found.starts == pytest.approx([5 * 60], abs=1.0)
    assert found.ends == pytest.approx([19 * 60 + 13], abs=1.0)
