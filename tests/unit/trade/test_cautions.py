"""Cautions come from the tables, name the code that decides, and approve nothing."""

import re
from dataclasses import replace

import pytest

from planner.model.identifiers import CrewId, Orientation, RigId, ZoneId
from planner.model.limits import Apart, ApartKind
from planner.model.rules import Rules
from planner.model.water import Water, WaterKind
from planner.model.wet_weather import WetRow, WetWeather
from planner.trade.caution import Scope
from planner.trade.cautions import CAUTIONS, cautions_for
from tests.builders import campaign, crew, rig, shift, zone
from tests.unit.trade.sites import deck, every_caution, pipe, sewer


def told(site, **whom):
    return {caution.code: caution for caution in cautions_for(site, **whom)}


def test_the_sites_of_these_tests_show_every_caution_there_is():
    assert len(every_caution()) == len(CAUTIONS) + 1
    codes = [caution.code for caution in every_caution()]
    assert len(set(codes)) == len(codes)


@pytest.mark.parametrize("caution", every_caution(), ids=lambda caution: caution.code)
def test_every_caution_names_a_local_code_and_its_source_and_approves_nothing(caution):
    assert caution.follow.startswith("Follow your local code for ")
    assert caution.source
    words = f"{caution.title} {caution.text} {caution.follow}".lower()
    assert not re.search(r"\b(safe|safely|approved?|permitted|no risk|harmless)\b", words)
    assert (caution.scope is Scope.SITE) == (not caution.subjects)


def test_a_dry_inland_wall_is_told_of_no_water_no_closed_space_and_nothing_overhead():
    site = campaign(zones=(zone(orientation=Orientation.VERTICAL, broken_out=True),))
    assert set(told(site)) == {
        *("not-an-approval", "hose-whip", "coupling", "silica", "eyes-skin", "noise"),
        *("fatigue", "wash-water"),
    }


def test_only_those_asked_for_are_named_and_those_of_the_site_always_come():
    some = told(deck(), zones={ZoneId("PILE")}, rigs={RigId("R1")}, crews=set())
    assert some["propping"].subjects == ("PILE",)
    assert some["silica"].subjects == ("R1",)
    assert "fall-out" not in some
    assert "fatigue" not in some
    assert "arm" not in some
    assert set(told(deck(), zones=(), rigs=(), crews=())) == {"not-an-approval"}


def test_the_weight_of_a_square_metre_is_that_of_the_thickest_layer():
    # 100 mm in one layer of at most 100 mm: 0.1 m x 2243 kg/m3
    assert "up to 100 mm thick: about 224 kg on each m²" in told(campaign())["fall-out"].text
    # 150 mm takes two layers of 75 mm: 168 kg
    thick = campaign(zones=(zone(depth_mm=150.0),))
    assert "up to 75 mm thick: about 168 kg on each m²" in told(thick)["fall-out"].text
    unknown = campaign(zones=(zone(depth_mm=None, area_m2=None, volume_m3=1.0),))
    assert "on each m²" not in told(unknown)["fall-out"].text


def test_the_time_of_no_entry_must_be_obtained_where_it_is_not_given():
    assert "obtain it in writing" in told(campaign())["no-entry"].text
    given = told(campaign(rules=Rules(no_entry_h=8.0)))["no-entry"].text
    assert "says 8 h (rules.no_entry_h)" in given
    assert "obtain" not in given


def test_the_way_out_is_told_of_only_for_overhead_zones_of_closed_spaces():
    assert told(sewer())["way-out"].subjects == ("S10", "S30", "S50")
    assert "way-out" not in told(deck())


def test_limits_that_the_engineer_gave_are_not_asked_for_again():
    assert "ask for them" in told(campaign())["propping"].text
    both = (zone("A"), zone("B"))
    limits = (Apart(zone_a=ZoneId("A"), zone_b=ZoneId("B"), kind=ApartKind.OPEN, why=""),)
    assert "ask for them" not in told(campaign(zones=both, apart=limits))["propping"].text
    assert "propping" not in told(campaign(zones=(zone(broken_out=True),)))


def test_height_is_told_above_two_metres_over_the_lowest_place():
    assert "height" not in told(campaign(zones=(zone(z_m=2.0),)))
    high = told(campaign(zones=(zone("LOW", z_m=-1.0), zone("HIGH", z_m=1.5))))["height"]
    assert high.subjects == ("HIGH",)
    assert "up to 2.5 m above the lowest point" in high.text


def test_a_live_sewer_is_told_what_the_scenario_does_not_know():
    bare = told(sewer())["sewer-flow"].text
    assert "does not say (water.warning_min)" in bare
    assert "windows know no storm" in bare
    assert "No velocity limit is given for S1" in bare
    water = Water(kind=WaterKind.SEWER, sewer=(pipe(velocity_max_m_s=1.0),), warning_min=25)
    wet = WetWeather(series=((None, (WetRow(minute=0.0, rain_mm=0.0),)),), rain_limit_mm=2.0)
    full = told(sewer(water=water, wet_weather=wet))["sewer-flow"].text
    assert "25 min from alarm" in full
    assert "do not replace the watch" in full
    assert "velocity" not in full


@pytest.mark.parametrize(
    ("diameter_m", "words"),
    [
        (1.0, "In S1 the bore is below 1.067 m"),
        (1.067, "In S1 there is room"),
        (2.3, "but little"),
        (2.4, None),
    ],
)
def test_room_to_spray_depends_on_the_bore(diameter_m, words):
    water = Water(kind=WaterKind.SEWER, sewer=(pipe(diameter_m=diameter_m),))
    caution = told(sewer(water=water)).get("room-to-spray")
    assert (caution is None) == (words is None)
    assert words is None or words in caution.text


def test_floats_are_told_the_least_headroom():
    # soffit at +3.0 m, work up to +1.4 m of water: 1.60 m
    assert "SOFFIT has 1.60 m between water and face" in told(deck())["floats"].text
    assert told(deck())["floats"].subjects == ("SOFFIT",)
    # +3.0 - 1.4 = 1.6 m and +2.0 - 0.5 = 1.5 m: the lower one is told, whatever its name
    zones = (
        zone("A", z_m=3.0, water_min_m=0.0, water_max_m=1.4),
        zone("B", z_m=2.0, water_min_m=0.0, water_max_m=0.5),
    )
    assert "B has 1.50 m" in told(deck(zones=zones))["floats"].text


def test_a_float_without_a_highest_level_is_told_as_such():
    site = campaign(zones=(zone(water_min_m=0.1),))
    assert "No highest level is given" in told(site)["floats"].text


def test_the_allowance_of_the_scenario_is_told_with_the_wash_of_vessels():
    assert "allowance of 0.25 m" in told(deck())["vessel-wash"].text


def test_dry_rigs_are_named_for_dust_and_wet_ones_raise_the_pressure_of_a_plug():
    assert "Dry rigs raise most: R1." in told(deck())["silica"].text
    assert "14 MPa" in told(deck())["hose-whip"].text
    assert "14 MPa" not in told(campaign())["hose-whip"].text


def test_moving_is_told_of_only_where_there_is_somewhere_to_move_to():
    assert "lifting" in told(deck())
    assert "lifting" not in told(campaign())


def test_crews_without_a_longest_duty_are_named():
    text = told(deck())["fatigue"].text
    assert "No longest duty and rest are given for C1 (" in text
    limited = campaign(crews=(crew(duty_max_min=480, rest_min_min=660),))
    assert "are those of crews.csv" in told(limited)["fatigue"].text


@pytest.mark.parametrize(
    ("start", "end", "is_night"),
    [
        ("06:00", "22:00", False),
        ("06:00", "22:01", True),
        ("05:59", "12:00", True),
        ("22:00", "06:00", True),
        ("23:00", "03:00", True),
        ("18:00", "18:00", True),
    ],
)
def test_a_shift_that_touches_the_night_is_night_work(start, end, is_night):
    def minutes(text):
        return int(text[:2]) * 60 + int(text[3:])

    site = campaign(shifts=(shift(start_tod=minutes(start), end_tod=minutes(end)),))
    assert ("night" in told(site)) == is_night


def test_every_subject_is_of_the_kind_that_the_scope_says():
    site = replace(deck(), rigs=(*deck().rigs, rig("R9")))
    ids: dict[Scope, set[str]] = {
        Scope.ZONE: {z.zone_id for z in site.zones},
        Scope.RIG: {r.rig_id for r in site.rigs},
        Scope.CREW: {c.crew_id for c in site.crews},
        Scope.SITE: set(),
    }
    for caution in cautions_for(site):
        assert set(caution.subjects) <= ids[caution.scope], caution.code
    assert told(site, crews={CrewId("B1")})["breaking"].subjects == ("B1",)
