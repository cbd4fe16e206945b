"""Windows of zones, and the open hours of positions, rigs and crews."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from planner.access.manning import Pipe
from planner.access.windows import Access
from planner.model.identifiers import Process, ShiftId
from planner.model.limits import ClosureScope
from planner.model.rules import Rules
from planner.model.water import (
    Extreme,
    FlowPattern,
    LevelPoint,
    SewerSection,
    Water,
    WaterKind,
)
from tests.builders import campaign, clock, closure, crew, mix, position, rig, shift, zone

H = 60
DAY = 24 * H
ONE_DAY = clock(last_day=date(2026, 3, 2))


def points(*pairs):
    return tuple(LevelPoint(minute=float(m), level_m=level) for m, level in pairs)


def saw(until=2 * DAY):
    """Level 0 at midnight and noon, 6 at 06:00 and 18:00, straight between: 1 m an hour."""
    steps = [(k * 3 * H, (0.0, 3.0, 6.0, 3.0)[k % 4]) for k in range(until // (3 * H) + 1)]
    return points(*steps)


def saw_water(**changes):
    return Water(kind=WaterKind.LEVELS, levels=((None, saw()),), **changes)


def scene(*zones, water=None, calendar=ONE_DAY, **changes):
    return campaign(clock=calendar, water=water or saw_water(), zones=zones, **changes)


def windows(spot, **changes):
    return list(Access(scene(spot, **changes)).windows(spot))


def test_a_zone_is_open_while_the_water_is_at_or_below_its_limit():
    # 2 m: from 04:00 after high water at 06:00 down again at 10:00
    assert windows(zone(water_max_m=2.0)) == [(0, 2 * H), (10 * H, 14 * H), (22 * H, 24 * H)]


def test_the_allowance_counts_on_top_of_the_level():
    found = windows(zone(water_max_m=2.0), water=saw_water(allowance_m=0.5))
    assert found == [(0, 90), (10 * H + 30, 13 * H + 30), (22 * H + 30, 24 * H)]


def test_the_datum_lifts_the_level():
    found = windows(zone(water_max_m=2.0), water=saw_water(datum_m=1.0))
    assert found == [(0, H), (11 * H, 13 * H), (23 * H, 24 * H)]


def test_floating_access_needs_a_least_level_less_its_own_allowance():
    spot = zone(water_max_m=5.0, water_min_m=2.0)
    assert windows(spot) == [(2 * H, 5 * H), (7 * H, 10 * H), (14 * H, 17 * H), (19 * H, 22 * H)]
    lower = saw_water(allowance_low_m=1.0)
    assert windows(spot, water=lower)[0] == (3 * H, 5 * H)


def test_edges_round_inwards():
    # 2.51 m is passed at 150.6 min and at 720 - 150.6 = 569.4
    assert windows(zone(water_max_m=2.51))[:2] == [(0, 150), (570, 870)]


def test_short_windows_are_left_out_by_their_length_before_rounding():
    # below 0.375 m from 697.5 to 742.5: 45 min, of which 44 are whole
    assert (698, 742) in windows(zone(water_max_m=0.375))
    assert windows(zone(water_max_m=0.374)) == []
    assert windows(zone(water_max_m=0.374), rules=Rules(window_min_min=0)) == [
        (0, 22),
        (698, 742),
        (1418, 1440),
    ]


def test_without_limits_a_zone_is_open_all_the_time():
    assert windows(zone()) == [(0, DAY)]
    assert windows(zone(water_max_m=2.0), water=Water(kind=WaterKind.NONE)) == [(0, DAY)]


def test_an_unknown_level_closes_a_zone_that_has_a_limit():
    water = Water(kind=WaterKind.LEVELS, levels=((None, points((0, 0.0), (3 * H, 0.0))),))
    assert windows(zone(water_max_m=2.0), water=water) == [(0, 3 * H)]
    assert windows(zone(), water=water) == [(0, DAY)]


def test_closures_of_site_section_and_zone_are_taken_out():
    closures = (
        closure(from_min=0, to_min=H),
        closure(ClosureScope.SECTION, "A", from_min=11 * H, to_min=12 * H),
        closure(ClosureScope.ZONE, "Z1", from_min=23 * H, to_min=24 * H),
        closure(ClosureScope.ZONE, "Z2", from_min=12 * H, to_min=13 * H),
        closure(ClosureScope.RIG, "Z1", from_min=12 * H, to_min=13 * H),
    )
    assert windows(zone(water_max_m=2.0, section="A"), closures=closures) == [
        (H, 2 * H),
        (10 * H, 11 * H),
        (12 * H, 14 * H),
        (22 * H, 23 * H),
    ]


def test_what_a_closure_leaves_must_be_long_enough_too():
    closures = (closure(from_min=10 * H + 44, to_min=11 * H),)
    assert windows(zone(water_max_m=2.0), closures=closures)[1] == (11 * H, 14 * H)


def test_windows_do_not_reach_beyond_the_campaign():
    found = windows(zone(water_max_m=2.0))
    assert found[0][0] == 0
    assert found[-1][1] == DAY


def test_shortened_windows_lose_getting_in_and_out():
    spot = zone(water_max_m=2.0)
    rules = Rules(get_in_min=15, get_out_min=20)
    access = Access(scene(spot, rules=rules))
    assert list(access.shortened(spot))[1] == (10 * H + 15, 14 * H - 20)


def test_a_zone_may_have_its_own_way_in_and_out():
    spot = zone(water_max_m=2.0, get_in_min=0, get_out_min=119)
    access = Access(scene(spot))
    # of 2 h and 2 h at the ends one minute is left
    assert list(access.shortened(spot)) == [(0, 1), (600, 721), (22 * H, 22 * H + 1)]


def test_zones_with_the_same_limits_share_their_windows():
    twins = zone("Z1", water_max_m=2.0), zone("Z2", water_max_m=2.0)
    access = Access(scene(*twins))
    assert access.windows(twins[0]) is access.windows(twins[1])


def test_dry_hours_end_before_the_water_reaches_the_surface():
    spot = zone(water_max_m=2.0, wets_at_m=3.0)
    access = Access(scene(spot, mixes=(mix(protect_h=6.0),)))
    # reached at 03:00; at 09:00 it stands at the level still, so dry from 09:01
    assert list(access.dry(spot)) == [
        (0, 3 * H),
        (9 * H + 1, 15 * H),
        (21 * H + 1, 27 * H),
    ]


def test_the_allowance_wets_too():
    spot = zone(water_max_m=2.0, wets_at_m=3.0)
    access = Access(scene(spot, water=saw_water(allowance_m=1.0)))
    assert access.dry(spot).around(0) == (0, 2 * H)


def test_a_level_that_only_touches_the_surface_wets_it():
    spot = zone(water_max_m=2.0, wets_at_m=6.0)
    access = Access(scene(spot, mixes=(mix(protect_h=None),)))
    assert list(access.dry(spot)) == [(0, 6 * H), (6 * H + 1, 18 * H), (18 * H + 1, 24 * H)]


def test_a_surface_that_is_never_reached_is_dry_until_the_last_protection_ends():
    never, high = zone("Z1", water_max_m=2.0), zone("Z2", water_max_m=2.0, wets_at_m=9.0)
    access = Access(scene(never, high, mixes=(mix(protect_h=6.5),)))
    assert list(access.dry(never)) == list(access.dry(high)) == [(0, DAY + 390)]
    none = scene(high, water=Water(kind=WaterKind.NONE))
    assert list(Access(none).dry(high)) == [(0, DAY + 360)]


def test_an_unknown_level_counts_as_wet():
    water = Water(kind=WaterKind.LEVELS, levels=((None, points((0, 0.0), (3 * H, 0.0))),))
    spot = zone(water_max_m=2.0, wets_at_m=9.0)
    assert list(Access(scene(spot, water=water)).dry(spot)) == [(0, 3 * H)]


def sewer_water(**changes):
    night = FlowPattern(weekday=(1.0, 0.6, 0.2, 0.2, 0.6, *(1.0,) * 19), weekend=(1.0,) * 24)
    pipe = SewerSection(
        section="A",
        diameter_m=0.9,
        slope=0.002,
        manning_n=0.013,
        mean_flow_m3_s=0.1,
        **changes,
    )
    return Water(kind=WaterKind.SEWER, sewer=(pipe,), patterns=(night,))


def sewer_depth_m(flow_m3_s):
    pipe = Pipe(diameter_m=0.9, slope=0.002, manning_n=0.013)
    return float(pipe.depth_m(np.array([flow_m3_s]))[0])


def test_a_sewer_is_open_while_the_flow_is_low():
    # 0.6 of the mean at 01:30 and 04:30; 0.4 at 02:00 and 04:00
    assert windows(zone(section="A", water_max_m=sewer_depth_m(0.06)), water=sewer_water()) == [
        (90, 270)
    ]
    higher = replace(sewer_water(), allowance_m=0.02)
    spot = zone(section="A", water_max_m=sewer_depth_m(0.04) + 0.02)
    assert windows(spot, water=higher) == [(120, 240)]


def test_a_sewer_that_runs_too_fast_is_closed_even_without_a_depth_limit():
    spot = zone(section="A")
    assert windows(spot, water=sewer_water()) == [(0, DAY)]
    pipe = Pipe(diameter_m=0.9, slope=0.002, manning_n=0.013)
    speed = pipe.velocity_m_s(sewer_depth_m(0.04))
    assert windows(spot, water=sewer_water(velocity_max_m_s=speed)) == [(120, 240)]
    product = speed * sewer_depth_m(0.04)
    assert windows(spot, water=sewer_water(depth_velocity_max_m2_s=product)) == [(120, 240)]


def test_a_position_is_open_between_its_water_limits_and_closures():
    stand = position(water_max_m=5.0, water_min_m=1.0)
    closures = (
        closure(from_min=0, to_min=2 * H),
        closure(ClosureScope.POSITION, "P1", from_min=4 * H, to_min=7 * H + 30),
        closure(ClosureScope.ZONE, "P1", from_min=3 * H, to_min=4 * H),
    )
    access = Access(scene(zone(), positions=(stand,), closures=closures))
    assert list(access.position_open(stand)) == [
        (2 * H, 4 * H),
        (7 * H + 30, 11 * H),
        (13 * H, 17 * H),
        (19 * H, 23 * H),
    ]


def test_short_openings_of_a_position_count():
    stand = position(water_max_m=0.25)
    access = Access(scene(zone(), positions=(stand,)))
    assert list(access.position_open(stand)) == [(0, 15), (705, 735), (1425, 1440)]


def test_a_position_without_limits_only_heeds_closures():
    access = Access(scene(zone(), closures=(closure(from_min=0, to_min=H),)))
    assert list(access.position_open(position())) == [(H, DAY)]


def test_a_rig_is_open_on_site_and_while_neither_it_nor_its_process_is_closed():
    machine = rig(available_from_min=H, available_to_min=20 * H)
    closures = (
        closure(ClosureScope.RIG, "R1", from_min=2 * H, to_min=3 * H),
        closure(ClosureScope.PROCESS, "dry", from_min=4 * H, to_min=5 * H),
        closure(ClosureScope.PROCESS, "wet", from_min=6 * H, to_min=7 * H),
        closure(from_min=19 * H, to_min=24 * H),
    )
    access = Access(scene(zone(), rigs=(machine,), closures=closures))
    assert list(access.rig_open(machine)) == [(H, 2 * H), (3 * H, 4 * H), (5 * H, 19 * H)]
    wet = rig(process=Process.WET, available_from_min=H)
    assert (7 * H, 19 * H) in set(access.rig_open(wet))


def test_a_crew_is_open_on_site_whatever_its_shift():
    gang = crew(available_to_min=99 * DAY)
    closures = (closure(ClosureScope.CREW, "C1", from_min=6 * H, to_min=8 * H),)
    access = Access(scene(zone(), crews=(gang,), closures=closures))
    assert list(access.crew_open(gang)) == [(0, 6 * H), (8 * H, DAY)]


def test_shifts_are_told_by_their_name():
    access = Access(scene(zone(), shifts=(shift(), shift("late", start_tod=14 * H))))
    assert access.shifts(ShiftId("late")) == ((14 * H, 18 * H),)
    with pytest.raises(KeyError):
        access.shifts(ShiftId("early"))


def test_every_lost_stretch_has_its_causes():
    spot = zone(water_max_m=2.0, water_min_m=0.5, section="A")
    closures = (
        closure(from_min=11 * H, to_min=11 * H + 30, why="lifting over the site"),
        closure(ClosureScope.SECTION, "A", from_min=22 * H, to_min=23 * H),
    )
    water = saw_water(allowance_m=0.5)
    found = Access(scene(spot, water=water, closures=closures)).lost(spot)
    # open: level 0.5 to 1.5 m, that is 00:30-01:30, 10:30-11:30, 12:30-13:30, 22:30-23:30
    assert found == [
        (0, 30, "water below 0.5 m"),
        (90, 630, "water above 2 m with 0.5 m allowance"),
        (630, 660, "window shorter than 45 min"),
        (660, 690, "site closed: lifting over the site"),
        (690, 750, "water below 0.5 m"),
        (810, 1320, "water above 2 m with 0.5 m allowance"),
        (1320, 1350, "section A closed; water above 2 m with 0.5 m allowance"),
        (1350, 1380, "section A closed"),
        (1380, 1410, "window shorter than 45 min"),
        (1410, 1440, "water below 0.5 m"),
    ]


def test_lost_time_in_a_sewer_tells_full_bore_from_speed():
    pipe = SewerSection(
        section="A",
        diameter_m=0.3,
        slope=0.002,
        manning_n=0.013,
        mean_flow_m3_s=0.02,
        velocity_max_m_s=0.6,
    )
    surge = FlowPattern(weekday=(*(1.0,) * 8, 4.0, *(1.0,) * 15), weekend=(1.0,) * 24)
    water = Water(kind=WaterKind.SEWER, sewer=(pipe,), patterns=(surge,))
    spot = zone(section="A", water_max_m=0.3)
    causes = {cause for _, _, cause in Access(scene(spot, water=water)).lost(spot)}
    assert causes == {"water too fast", "flow above full bore or not known"}


def test_an_unknown_level_is_told():
    water = Water(kind=WaterKind.LEVELS, levels=((None, points((0, 0.0), (3 * H, 0.0))),))
    spot = zone(water_max_m=2.0)
    assert Access(scene(spot, water=water)).lost(spot) == [(3 * H, DAY, "water level not known")]


@pytest.mark.parametrize(
    ("time_zone", "day", "length"),
    [
        ("Europe/London", date(2026, 3, 29), 23 * H),
        ("Europe/London", date(2026, 10, 25), 25 * H),
        ("Pacific/Auckland", date(2026, 4, 5), 25 * H),
        ("Australia/Lord_Howe", date(2026, 10, 4), 23 * H + 30),
        ("Asia/Kolkata", date(2026, 3, 29), 24 * H),
    ],
)
def test_on_a_day_of_a_clock_change_tides_go_on_and_the_day_ends_when_it_ends(
    time_zone, day, length
):
    calendar = clock(time_zone=time_zone, first_day=day, last_day=day)
    tops = tuple(
        Extreme(minute=float(k * 360), level_m=2.0 * (k % 2), is_high=k % 2 == 1)
        for k in range(-1, 7)
    )
    spot = zone(water_max_m=1.0)
    water = Water(kind=WaterKind.HIGHLOW, extremes=tops)
    # low at 0, 720, 1440 min: at or below the middle 3 h around each
    expected = [(0, 180), (540, 900), (1260, min(1620, length))]
    assert windows(spot, water=water, calendar=calendar) == expected


def test_across_new_year_a_window_is_one():
    calendar = clock(time_zone="UTC", first_day=date(2026, 12, 31), last_day=date(2027, 1, 1))
    spot = zone(water_max_m=1.0)
    water = Water(
        kind=WaterKind.LEVELS, levels=((None, points(*((k * 120, 0.0) for k in range(25)))),)
    )
    assert windows(spot, water=water, calendar=calendar) == [(0, 2 * DAY)]
