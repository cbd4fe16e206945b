"""Records: what each cell becomes, and what an empty one stands for."""

import dataclasses

import pytest

from planner.model.campaign import Campaign
from planner.model.identifiers import (
    CrewId,
    CrewKind,
    Goal,
    MixId,
    Orientation,
    Process,
    RigId,
    ShiftId,
    ZoneId,
)
from planner.model.limits import ApartKind, Closure, ClosureScope
from planner.model.rig import Rig
from planner.model.rules import Prices, ReachBy, Rules
from planner.model.water import Constituent, Extreme, LevelPoint, Water, WaterKind
from planner.model.zone import Zone
from tests.unit.scenario.scenes import (
    MIX,
    PLACE,
    SECTION,
    TABLES,
    pattern,
    read,
    scene,
    sewer,
    tidal,
    zones,
)

DAY = 1440
RIG, CREW = TABLES["rigs"][0], TABLES["crews"][0]


def test_empty_cells_stand_for_the_defaults_of_the_contract():
    campaign = read(scene())
    assert campaign.goals == (Goal.FINISH, Goal.RELOCATIONS, Goal.COST)
    assert campaign.may_worsen == (0.0, 0.0)
    assert campaign.rules == Rules()
    assert campaign.prices == Prices()
    assert campaign.water == Water(kind=WaterKind.NONE)
    assert (campaign.reach_by, campaign.reach_slack) == (ReachBy.ROUTES, 1.15)
    assert campaign.zones[0] == Zone(
        zone_id=ZoneId("Z1"),
        x_m=0.0,
        y_m=0.0,
        z_m=0.0,
        area_m2=10.0,
        depth_mm=40.0,
        orientation=Orientation.OVERHEAD,
    )
    assert campaign.rigs[0] == Rig(
        rig_id=RigId("R1"),
        process=Process.DRY,
        hose_max_m=60.0,
        rate_m3_h=4.0,
        available_from_min=0,
        available_to_min=7 * DAY,
    )


def defaults_of(record):
    """Return the default of each field of a record that has one."""
    return {
        field.name: field.default
        for field in dataclasses.fields(record)
        if field.default is not dataclasses.MISSING
    }


@pytest.mark.parametrize("name", ["zones", "positions", "rigs", "crews", "routes"])
def test_the_defaults_of_dictionary_and_records_are_the_same(name):
    record = getattr(read(scene()), name)[0]
    required = {"area_m2", "depth_mm"}  # given in the scene
    for field, default in defaults_of(record).items():
        if field not in required:
            assert getattr(record, field) == default, field


def test_every_key_of_the_campaign_file_arrives():
    campaign = read(
        tidal(
            keys={
                "campaign.goal": "cost;late",
                "campaign.may_worsen": "0.05",
                "water.datum_m": "-2",
                "water.mean_level_m": "2.5",
                "water.allowance_m": "0.3",
                "water.allowance_low_m": "0.1",
                "rules.window_min_min": "50",
                "rules.get_in_min": "11",
                "rules.get_out_min": "12",
                "rules.zone_change_min": "13",
                "rules.spell_min_min": "14",
                "rules.overbreak": "0.2",
                "rules.waste": "0.05",
                "rules.relocation_shift": "day",
                "rules.prepare_min_h": "24",
                "rules.panel_days": "7",
                "rules.panel_min": "70",
                "rules.strength_hold_h": "48",
                "rules.max_open_days": "20",
                "reach.by": "grid",
                "reach.slack": "1.2",
                "prices.day": "1",
                "prices.relocation": "2",
                "prices.rebound_m3": "3",
                "prices.rig_day.R1": "4",
                "prices.crew_shift.A": "5",
                "prices.crew_standby_day.A": "6",
                "prices.material_m3.dry": "7",
                "prices.line_waste_m3.dry": "0.1",
                "prices.load_min_m3.dry": "0.5",
                "prices.load_step_m3.wet": "0.25",
                "prices.hose_m3.wet": "8",
            }
        )
    )
    assert campaign.goals == (Goal.COST, Goal.LATE)
    assert campaign.may_worsen == (0.05,)
    assert campaign.water == Water(
        kind=WaterKind.TIDE,
        datum_m=-2.0,
        mean_level_m=2.5,
        allowance_m=0.3,
        allowance_low_m=0.1,
        constituents=(Constituent(name="M2", amplitude_m=2.0, phase_deg=30.0),),
    )
    assert campaign.rules == Rules(
        window_min_min=50,
        get_in_min=11,
        get_out_min=12,
        zone_change_min=13,
        spell_min_min=14,
        overbreak=0.2,
        waste=0.05,
        relocation_shift=ShiftId("day"),
        prepare_min_h=24.0,
        panel_days=7.0,
        panel_min=70,
        strength_hold_h=48.0,
        max_open_days=20.0,
    )
    assert (campaign.reach_by, campaign.reach_slack) == (ReachBy.GRID, 1.2)
    assert campaign.prices == Prices(
        day=1.0,
        relocation=2.0,
        rebound_m3=3.0,
        rig_day={RigId("R1"): 4.0},
        crew_shift={CrewId("A"): 5.0},
        crew_standby_day={CrewId("A"): 6.0},
        material_m3={MixId("dry"): 7.0},
        line_waste_m3={Process.DRY: 0.1},
        load_min_m3={Process.DRY: 0.5},
        load_step_m3={Process.WET: 0.25},
        hose_m3={Process.WET: 8.0},
    )


def test_the_low_allowance_is_the_high_one_where_it_is_not_given():
    assert read(tidal(keys={"water.allowance_m": "0.3"})).water.allowance_low_m == 0.3
    both = {"water.allowance_m": "0.3", "water.allowance_low_m": "0"}
    assert read(tidal(keys=both)).water.allowance_low_m == 0.0


def test_one_goal_needs_no_worsening():
    campaign = read(scene({"campaign.goal": "joints"}))
    assert (campaign.goals, campaign.may_worsen) == ((Goal.JOINTS,), ())


def zone(**change):
    return read(scene(zones=zones(change))).zones[0]


@pytest.mark.parametrize(
    ("text", "minute"),
    [
        ("2027-04-06", DAY),
        ("2027-04-06T07:00", DAY + 420),
        ("2027-04-06T07:00:30", DAY + 421),  # the next whole minute
        ("2027-04-06T07:00+01:00", DAY + 420),  # summer time in London
        ("2027-04-06T07:00Z", DAY + 480),
        ("2027-04-01", -4 * DAY),
    ],
)
def test_a_zone_is_ready_from_the_first_whole_minute(text, minute):
    assert zone(ready_from=text).ready_from_min == minute


def test_a_zone_is_due_at_the_end_of_the_day():
    assert zone(due="2027-04-06").due_min == 2 * DAY


def test_part_minutes_are_rounded_against_the_plan():
    changed = zone(get_in_min="7.2", get_out_min="7.000001")
    assert (changed.get_in_min, changed.get_out_min) == (8, 8)
    row = RIG | {"start_up_min": "7.5", "clean_up_min": "0.1", "idle_max_min": "30.9"}
    rig = read(scene(rigs=[row])).rigs[0]
    assert (rig.start_up_min, rig.clean_up_min, rig.idle_max_min) == (8, 1, 30)
    row = CREW | {"duty_max_h": "10.01", "rest_min_h": "8.01", "week_max_h": "40.01"}
    crew = read(scene(crews=[row])).crews[0]
    # 600.6, 480.6 and 2400.6 minutes
    assert (crew.duty_max_min, crew.rest_min_min, crew.week_max_min) == (600, 481, 2400)


def test_never_and_dry_land_are_no_limits():
    wet = read(tidal({"water_max_m": "never", "wets_at_m": "1.5"}, mixes=[MIX])).zones[0]
    assert (wet.water_max_m, wet.wets_at_m) == (None, 1.5)
    dry = zone(water_max_m="1.5", wets_at_m="1.0")
    assert (dry.water_max_m, dry.wets_at_m) == (None, None)


@pytest.mark.parametrize(
    ("first", "last", "stay"),
    [
        ("", "", (0, 7 * DAY)),
        ("2027-04-06", "2027-04-06", (DAY, 2 * DAY)),  # both included
        ("2027-01-01", "2027-12-31", (0, 7 * DAY)),
        ("2027-05-01", "", (7 * DAY, 7 * DAY)),
        ("", "2027-03-01", (0, 0)),
    ],
)
def test_days_on_site_are_both_included_and_cut_to_the_campaign(first, last, stay):
    days = {"from": first, "to": last}
    campaign = read(scene(rigs=[RIG | days], crews=[CREW | days]))
    for record in (campaign.rigs[0], campaign.crews[0]):
        assert (record.available_from_min, record.available_to_min) == stay


def closure(**cells):
    return read(scene(closures=[{"scope": "site", **cells}])).closures[0]


@pytest.mark.parametrize(
    ("first", "last", "span"),
    [
        ("2027-04-06", "2027-04-06", (DAY, 2 * DAY)),  # a date as end: the end of that day
        ("2027-04-06T10:00", "2027-04-06T12:00", (DAY + 600, DAY + 720)),
        ("2027-04-06T10:00:30", "2027-04-06T12:00:30", (DAY + 600, DAY + 721)),
        ("2027-04-06", "2027-04-06T00:30", (DAY, DAY + 30)),
        ("", "2027-04-05", (0, DAY)),
        ("2027-04-06", "", (DAY, 7 * DAY)),
        ("2027-01-01", "2027-12-31", (-94 * DAY + 60, 265 * DAY + 60 + 6 * DAY)),
    ],
)
def test_a_closure_is_rounded_outwards_and_may_reach_beyond_the_campaign(first, last, span):
    found = closure(**{"from": first, "to": last, "days": "Mon"})
    # 1 January 2027 is 94 days before 5 April, and its midnight was told in winter time (+60 min
    # on campaign minutes); 31 December ends 271 days after 5 April, in winter time again.
    assert (found.from_min, found.to_min) == span


def test_a_closure_keeps_its_days_hours_and_reason():
    assert closure(
        **{"from": "2027-04-06", "to": "2027-04-07", "days": "Sat;Sun"},
        start="22:00",
        end="06:00",
        why="noise",
    ) == Closure(
        scope=ClosureScope.SITE,
        target="",
        from_min=DAY,
        to_min=3 * DAY,
        weekdays=frozenset({5, 6}),
        start_tod=22 * 60,
        end_tod=6 * 60,
        why="noise",
    )
    plain = closure(**{"from": "2027-04-06", "to": "2027-04-07"})
    assert (plain.weekdays, plain.start_tod, plain.end_tod) == (None, None, None)


def test_midnight_as_the_start_of_closed_hours_is_not_lost():
    found = closure(**{"from": "2027-04-06", "to": "2027-04-07"}, start="00:00", end="24:00")
    assert (found.start_tod, found.end_tod) == (0, 0)


def test_limits_mixes_and_progress_arrive():
    campaign = read(
        scene(
            zones=zones({"depth_mm": "90"}),
            mixes=[MIX | {"rate_factor": "0.9", "finish_min_m2": "2", "layer_gap_max_h": "48"}],
            apart=[{"zone_a": "Z1", "zone_b": "Z2", "kind": "work", "why": "edge"}],
            open_limits=[{"group": "bay", "zones": "Z1;Z2", "open_max": "1"}],
            waypoints=[{"waypoint": "W", **PLACE}],
            progress=[
                {
                    "zone": "Z1",
                    "layer": "1",
                    "done_m3": "0.2",
                    "at": "2027-04-05T12:00:20",
                    "rig": "R1",
                }
            ],
        )
    )
    assert campaign.apart[0].kind is ApartKind.WORK
    assert campaign.open_limits[0].zones == ("Z1", "Z2")
    face = campaign.mixes[0]
    assert (face.layer_gap_max_h, face.rate_factor, face.finish_min_m2) == (48.0, 0.9, 2.0)
    done = campaign.done[0]
    assert (done.at_min, done.rig_id, done.crew_id, done.left_m3) == (721, "R1", None, None)
    assert campaign.start_min == 721


def test_progress_before_the_campaign_does_not_start_the_plan_early():
    row = {"zone": "Z1", "layer": "1", "left_m3": "0.1", "at": "2027-04-01"}
    campaign = read(scene(progress=[row]))
    assert campaign.done[0].at_min == -4 * DAY
    assert campaign.done[0].done_m3 == 0.0
    assert campaign.start_min == 0


def test_a_break_out_crew_makes_the_campaign_plan_break_out():
    campaign = read(
        scene(crews=[CREW, {"crew": "B", "kind": "break_out", "shift": "day", "rate_m3_h": "0.3"}])
    )
    assert campaign.crews[1].kind is CrewKind.BREAK_OUT
    assert campaign.plans_break_out


def highlow(*rows):
    return scene(
        {"water.kind": "highlow", "water.high_shift_min": "5", "water.range_factor": "0.9"},
        zones=zones(*({"water_max_m": "0.5", "wets_at_m": "never"} for _ in range(2))),
        highlow=[dict(zip(("time", "level_m", "kind"), row, strict=True)) for row in rows],
    )


def test_high_and_low_waters_are_sorted_and_keep_seconds_and_minutes_outside_the_campaign():
    campaign = read(
        highlow(
            ("2027-04-05T03:41:30", "4.1", "high"),
            ("2027-04-04T21:30", "0.6", "low"),
            ("2027-04-12T03:00", "0.7", "low"),
        )
    )
    assert campaign.water.extremes == (
        Extreme(minute=-150.0, level_m=0.6, is_high=False),
        Extreme(minute=221.5, level_m=4.1, is_high=True),
        Extreme(minute=7 * DAY + 180.0, level_m=0.7, is_high=False),
    )
    assert (campaign.water.high_shift_min, campaign.water.range_factor) == (5.0, 0.9)


def test_series_of_levels_are_kept_by_section_in_time_order():
    campaign = read(
        scene(
            {"water.kind": "levels"},
            zones=zones(*({"water_max_m": "0.5", "wets_at_m": "never"} for _ in range(2))),
            levels=[
                {"time": "2027-04-05T02:00", "level_m": "1.5"},
                {"time": "2027-04-05T00:00", "level_m": "1"},
                {"time": "2027-04-05T01:00", "level_m": "2", "section": "dock"},
                {"time": "2027-04-05T03:00", "level_m": "3", "section": "dock"},
            ],
        )
    )
    assert campaign.water.levels == (
        (None, (LevelPoint(minute=0.0, level_m=1.0), LevelPoint(minute=120.0, level_m=1.5))),
        ("dock", (LevelPoint(minute=60.0, level_m=2.0), LevelPoint(minute=180.0, level_m=3.0))),
    )


def test_a_sewer_has_its_sections_and_patterns_in_the_order_of_the_hours():
    rows = [*reversed(pattern()), *pattern(section="S1", month="4")]
    rows[0] = rows[0] | {"weekday": "1.5", "weekend": "0.5"}  # hour 23
    campaign = read(sewer(sewer=[SECTION | {"velocity_max_m_s": "0.6"}], sewer_pattern=rows))
    assert campaign.water.sewer[0].velocity_max_m_s == 0.6
    assert campaign.water.sewer[0].depth_velocity_max_m2_s is None
    general, own = campaign.water.patterns
    assert (general.section, general.month) == (None, None)
    assert general.weekday == (*(1.0 for _ in range(23)), 1.5)
    assert general.weekend == (*(1.0 for _ in range(23)), 0.5)
    assert (own.section, own.month) == ("S1", 4)


def test_every_field_of_the_campaign_is_set_by_the_reader():
    names = {field.name for field in dataclasses.fields(Campaign)}
    campaign = read(scene())
    assert all(getattr(campaign, name) is not None for name in names)
    assert len(campaign.fingerprint) == 64
