"""Water as the auditor sees it: noise, sewers, words."""

import numpy as np
import pytest

from planner.checks.closures import Closures
from planner.checks.gauge import Gauge
from planner.checks.openings import Openings
from planner.model.limits import ClosureScope
from planner.model.rules import Rules
from planner.model.water import FlowPattern, LevelPoint, SewerSection, Water, WaterKind
from tests.builders import campaign, closure, position, shift, zone
from tests.unit.checks.plans import broken, plan, rules, sawtooth, spell

AT_NIGHT = tuple(1.0 if hour < 6 else 4.0 for hour in range(24))


def sewer(**limits):
    """1 m pipe at 1 in 1000, n 0.013: full at 0.757 m³/s; 0.05 by night, 0.2 m³/s by day."""
    section = SewerSection(
        section="S1", diameter_m=1.0, slope=0.001, manning_n=0.013, mean_flow_m3_s=0.05, **limits
    )
    pattern = FlowPattern(weekday=AT_NIGHT, weekend=AT_NIGHT)
    return Water(kind=WaterKind.SEWER, sewer=(section,), patterns=(pattern,), allowance_m=0.0)


def in_sewer(water, **face):
    return campaign(
        water=water,
        zones=(zone(section="S1", **face),),
        shifts=(shift(start_tod=0, end_tod=0),),
        rules=Rules(get_in_min=0, get_out_min=0),
    )


@pytest.mark.parametrize(
    ("edge", "start"),
    [
        (3e-7, 400),  # the level falls to the limit at 400.0000003: that is 400
        (8e-7, 401),  # and at 400.0000008 it is 400.000001, so 401
        (-3e-7, 400),
    ],
)
def test_edges_are_taken_to_six_decimals(edge, start):
    # 0 m at 360, one metre lower each 60 min
    scene = campaign(water=sawtooth(), zones=(zone(water_max_m=-(40 + edge) / 60),))
    gauge = Gauge(scene)
    band = gauge.zone_band(scene.zones[0])
    assert band is not None
    is_open = gauge.holds(band, 390, 410)
    assert 390 + int(np.argmax(is_open)) == start
    assert is_open[start - 390 :].all()


def test_a_level_that_stands_at_its_limit_keeps_it():
    points = (LevelPoint(minute=0.0, level_m=0.9), LevelPoint(minute=100.0, level_m=0.9))
    water = Water(kind=WaterKind.LEVELS, levels=((None, points),), allowance_m=0.4)
    scene = campaign(water=water, zones=(zone(water_max_m=1.3, wets_at_m=1.3),))
    gauge, (spot,) = Gauge(scene), scene.zones
    work, dry = gauge.zone_band(spot), gauge.dry_band(spot)
    assert work is not None
    assert dry is not None
    assert gauge.holds(work, 0, 100).all()  # at or below: people can work
    assert not gauge.holds(dry, 0, 100).any()  # at or above: it is wetted


def test_low_flow_opens_a_sewer_by_night():
    # 0.05 m³/s stand at about 0.18 m, 0.2 m³/s at about 0.35 m
    scene = in_sewer(sewer(), water_max_m=0.25)
    assert rules(scene, plan(spell(200))) == set()
    wrong = [one for one in broken(scene, plan(spell(700))) if one.rule == "1"]
    assert [one.amount for one in wrong] == [66]
    assert "against 0.25 m" in wrong[0].message


def test_a_full_pipe_is_closed_to_everyone():
    flood = tuple(1.0 if hour < 6 else 20.0 for hour in range(24))  # 1 m³/s by day
    water = sewer()
    water = Water(
        kind=WaterKind.SEWER,
        sewer=water.sewer,
        patterns=(FlowPattern(weekday=flood, weekend=flood),),
    )
    for face in ({}, {"water_max_m": 5.0}, {"wets_at_m": 5.0}):
        scene = in_sewer(water, **face)
        # more than the full pipe reaches every surface: from 05:34 on, 6 h after the end
        wetted = {"3"} if face.get("wets_at_m") else set()
        assert rules(scene, plan(spell(200))) == wetted
        wrong = broken(scene, plan(spell(700)))
        assert wrong[0].rule == "1"
        assert "the pipe is full" in wrong[0].message


def test_fast_water_closes_a_sewer():
    # about 0.5 m/s by night and 0.8 m/s by day
    scene = in_sewer(sewer(velocity_max_m_s=0.65))
    assert rules(scene, plan(spell(200))) == set()
    wrong = broken(scene, plan(spell(700)))
    assert wrong[0].rule == "1"
    assert "too fast" in wrong[0].message


def test_only_the_positive_allowance_counts_in_a_sewer():
    # 0.18 m by night: floating access needs 0.15 m, whatever the lower allowance says
    water = sewer()
    low = Water(
        kind=WaterKind.SEWER, sewer=water.sewer, patterns=water.patterns, allowance_low_m=0.1
    )
    scene = in_sewer(low, water_max_m=0.9, water_min_m=0.15)
    assert rules(scene, plan(spell(200))) == set()


def test_sections_have_series_of_their_own():
    def flat(level_m):
        return tuple(LevelPoint(minute=180.0 * k, level_m=level_m) for k in range(120))

    water = Water(kind=WaterKind.LEVELS, levels=((None, flat(2.0)), ("low", flat(-2.0))))
    for section, expected in ((None, {"1"}), ("elsewhere", {"1"}), ("low", set())):
        scene = campaign(water=water, zones=(zone(water_max_m=0.0, section=section),))
        assert rules(scene, plan()) == expected


def test_a_position_outside_the_series_is_closed():
    water = Water(kind=WaterKind.LEVELS)
    scene = campaign(water=water, positions=(position(water_max_m=0.0),))
    wrong = broken(scene, plan())
    assert [(one.rule, one.amount) for one in wrong] == [("5", 111)]
    assert "not known" in wrong[0].message


def test_a_peak_between_two_minutes_is_told_without_a_level():
    # open at 400 and at 401, but 3 m high in between: a series every half minute
    points = tuple(
        LevelPoint(minute=float(at), level_m=level)
        for at, level in (
            (0, -1),
            (180, -1),
            (360, -1),
            (400, -1),
            (400.5, 3),
            (401, -1),
            (580, -1),
        )
    )
    water = Water(kind=WaterKind.LEVELS, levels=((None, points),))
    scene = campaign(water=water, zones=(zone(water_max_m=0.0),))
    gauge = Gauge(scene)
    band = gauge.zone_band(scene.zones[0])
    assert band is not None
    assert "within the minute" in gauge.why_not(band, 400)


def test_a_window_is_looked_at_no_further_than_needed():
    scene = campaign(water=sawtooth(), zones=(zone(water_max_m=0.0),))
    openings = Openings(scene, Gauge(scene), Closures(scene))
    near = openings.around(scene.zones[0], 380, 700, before_min=20, after_min=20)
    assert (near.start_min, near.end_min) == (360, 720)
    far = openings.around(scene.zones[0], 500, 560, before_min=20, after_min=20)
    assert (far.start_min, far.end_min, far.is_usable) == (None, None, True)


def test_what_lies_outside_the_campaign_is_outside_every_window():
    scene = campaign()
    openings = Openings(scene, Gauge(scene), Closures(scene))
    early = openings.around(scene.zones[0], -10, 30, before_min=20, after_min=20)
    assert (early.closed_min, early.closed_from_min) == (10, -10)
    assert early.cause == "it lies outside the campaign's days"
    late = openings.around(scene.zones[0], 20150, 20200, before_min=20, after_min=20)
    assert (late.closed_min, late.closed_from_min) == (40, 20160)
    gone = openings.around(scene.zones[0], 20200, 20300, before_min=20, after_min=20)
    assert (gone.closed_min, gone.closed_from_min) == (100, 20200)


def test_a_closure_that_spans_blocks_of_days_counts_once():
    shut = closure(ClosureScope.CREW, "C1", from_min=0, to_min=100 * 1440)
    closures = Closures(campaign(closures=(shut,)))
    assert closures.touching(ClosureScope.CREW, "C1", 10, 90 * 1440)[0] == 90 * 1440 - 10


def test_a_closure_of_later_weeks_does_not_matter_now():
    shut = closure(ClosureScope.CREW, "C1", from_min=60 * 1440, to_min=61 * 1440)
    closures = Closures(campaign(closures=(shut,)))
    assert closures.touching(ClosureScope.CREW, "C1", 0, 1440) == (0, "")
    assert closures.touching(ClosureScope.CREW, "C1", 0, 62 * 1440)[0] == 1440


def test_without_water_no_level_is_known():
    level_m, too_fast = Gauge(campaign()).levels(None, 0, 5)
    assert np.isnan(level_m).all()
    assert not too_fast.any()


@pytest.mark.parametrize(("least", "is_used"), [(68, True), (69, False)])
def test_a_window_between_a_closure_and_the_water_has_one_real_edge(least, is_used):
    # below -2.425 m from 505.5 to 574.5; closed until 506.0: 68.5 min
    shut = closure(ClosureScope.ZONE, "Z1", from_min=400, to_min=506)
    scene = campaign(
        water=sawtooth(),
        zones=(zone(water_max_m=-2.425, volume_m3=1.0),),
        closures=(shut,),
        rules=Rules(window_min_min=least, get_in_min=0, get_out_min=0),
    )
    found = broken(scene, plan(spell(516, 30, volume_m3=1.0)))
    assert [(one.rule, one.amount) for one in found] == ([] if is_used else [("1", 0.5)])


def test_a_daily_closure_outside_its_span_is_open():
    shut = closure(ClosureScope.CREW, "C1", from_min=2880, to_min=4320, start_tod=0, end_tod=0)
    closures = Closures(campaign(closures=(shut,)))
    assert closures.touching(ClosureScope.CREW, "C1", 0, 2880) == (0, "")
    assert closures.touching(ClosureScope.CREW, "C1", 0, 2881)[0] == 1


def test_without_a_section_in_the_table_a_sewer_is_closed():
    scene = campaign(water=sewer(), zones=(zone(section="S9"),))
    assert rules(scene, plan()) == {"1"}
