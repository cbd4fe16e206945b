"""Which level holds where."""

from dataclasses import replace

import numpy as np
import pytest

from planner.access.level import allowances_m, source_for, source_key
from planner.model.water import (
    Constituent,
    Extreme,
    FlowPattern,
    LevelPoint,
    SewerSection,
    Water,
    WaterKind,
)
from tests.builders import campaign


def levels(level_m):
    return tuple(LevelPoint(minute=float(k), level_m=level_m) for k in (0, 120))


SERIES = Water(
    kind=WaterKind.LEVELS, datum_m=0.5, levels=((None, levels(1.0)), ("dock", levels(2.0)))
)


def at(water, section, minute=60.0):
    source = source_for(campaign(water=water), section)
    assert source is not None
    return float(source.level_m(np.array([minute]))[0])


def test_without_water_there_is_no_source():
    assert source_for(campaign(), "A") is None


def test_a_section_with_its_own_series_uses_it_and_others_the_common_one():
    assert at(SERIES, "dock") == 2.5
    assert at(SERIES, "quay") == at(SERIES, None) == 1.5
    assert source_key(SERIES, "dock") == "dock"
    assert source_key(SERIES, "quay") is None


def test_without_a_common_series_other_sections_know_no_level():
    only = Water(kind=WaterKind.LEVELS, levels=(("dock", levels(2.0)),))
    assert np.isnan(at(only, "quay"))
    assert np.isnan(at(only, None))


def test_a_tide_stands_on_datum_and_mean_level_for_every_section():
    tide = Water(
        kind=WaterKind.TIDE,
        datum_m=-2.0,
        mean_level_m=0.5,
        constituents=(Constituent(name="S2", amplitude_m=1.0, phase_deg=0.0),),
    )
    # London in March is UTC: S2 is at its top at midnight
    assert at(tide, "A", 0.0) == pytest.approx(-0.5)
    assert source_key(tide, "A") is None


def test_high_and_low_waters_are_shifted_scaled_and_lifted():
    table = Water(
        kind=WaterKind.HIGHLOW,
        datum_m=-1.0,
        high_shift_min=10.0,
        range_factor=0.5,
        extremes=(
            Extreme(minute=0.0, level_m=0.0, is_high=False),
            Extreme(minute=350.0, level_m=4.0, is_high=True),
        ),
    )
    assert at(table, None, 360.0) == pytest.approx(-1.0 + 0.5 * 4.0)


def test_a_sewer_has_a_level_for_its_own_sections_only():
    pipe = SewerSection(
        section="A", diameter_m=0.9, slope=0.002, manning_n=0.013, mean_flow_m3_s=0.1
    )
    pattern = FlowPattern(weekday=(1.0,) * 24, weekend=(1.0,) * 24)
    water = Water(kind=WaterKind.SEWER, datum_m=7.0, sewer=(pipe,), patterns=(pattern,))
    assert 0.1 < at(water, "A") < 0.3  # above the invert: no datum
    assert np.isnan(at(water, "B"))
    assert np.isnan(at(water, None))


def test_a_sewer_takes_only_the_positive_allowance():
    sewer = Water(kind=WaterKind.SEWER, allowance_m=0.2, allowance_low_m=0.1)
    assert allowances_m(sewer) == (0.2, 0.0)
    assert allowances_m(replace(sewer, kind=WaterKind.TIDE)) == (0.2, 0.1)


def test_an_unknown_constituent_is_refused():
    water = Water(
        kind=WaterKind.TIDE,
        constituents=(Constituent(name="M99", amplitude_m=1.0, phase_deg=0.0),),
    )
    with pytest.raises(ValueError, match="M99"):
        source_for(campaign(water=water), None)
