"""The auditor keeps work out of the dark, of waves, and of air unfit for spraying."""

from planner.model.conditions import (
    AirTemperature,
    Conditions,
    Daylight,
    MonthNormal,
    Reading,
    Twilight,
    Waves,
)
from tests.builders import HORIZON_MIN, campaign, zone
from tests.unit.checks.plans import only, plan, rules, spell

H = 60


def scene(**changes):
    return campaign(zones=(zone(),), conditions=Conditions(**changes))


def series(*pairs):
    return tuple(Reading(minute=60.0 * hour, value=value) for hour, value in pairs)


def test_work_in_the_dark_breaks_rule_1():
    # London on 2 March: dark until 06:45, so people are at the face from 06:55 or so
    place = Daylight(latitude_deg=51.5, longitude_deg=-0.13)
    found = only(scene(daylight=place), plan(spell(395)))
    assert found.rule == "1"
    assert 8 <= found.amount <= 11
    assert "it is dark" in found.message
    assert rules(scene(daylight=place), plan(spell(430))) == set()


def test_civil_twilight_may_count_as_daylight():
    # it begins 32 min before sunrise there
    place = Daylight(latitude_deg=51.5, longitude_deg=-0.13, twilight=Twilight.CIVIL)
    assert rules(scene(daylight=place), plan(spell(396))) == set()


def test_work_that_ends_too_soon_before_the_waves_breaks_rule_1():
    # calm until 10:00; planned 2 h, reference 4 h: out by 08:00, so done by 07:50
    waves = Waves(
        height_max_m=1.0,
        planned_min=120,
        reference_min=240,
        series=series((0, 1.0), (3, 1.0), (6, 1.0), (9, 1.0), (10, 1.0), (12, 2.0)),
    )
    assert rules(scene(waves=waves), plan(spell(404))) == set()  # 66 min long
    late = only(scene(waves=waves), plan(spell(405)))
    assert (late.rule, late.amount) == ("1", 1)
    inside = only(scene(waves=waves), plan(spell(424)))
    assert inside.amount == 10
    assert "waves pass 1 m then or too soon after" in inside.message


def test_waves_that_are_not_known_close():
    waves = Waves(height_max_m=1.0, planned_min=60, reference_min=60, series=())
    assert rules(scene(waves=waves), plan(spell(480))) == {"1"}


def test_spraying_in_cold_air_breaks_rule_1():
    # normals 0 to 10: 5 degrees at 10:30
    normals = (MonthNormal(month=3, low_c=0.0, high_c=10.0),)
    air = AirTemperature(min_c=5.0, max_c=None, normals=normals)
    assert rules(scene(air=air), plan(spell(650))) == set()
    found = only(scene(air=air), plan(spell(620)))
    assert (found.rule, found.amount) == ("1", 10)
    assert "too cold or too warm" in found.message


def test_a_series_of_temperatures_counts_before_normals():
    normals = (MonthNormal(month=3, low_c=0.0, high_c=4.0),)
    warm = tuple(Reading(minute=float(m), value=6.0) for m in range(0, HORIZON_MIN + 1, 180))
    air = AirTemperature(min_c=5.0, max_c=None, series=warm, normals=normals)
    assert rules(scene(air=air), plan(spell(480))) == set()
    assert rules(
        scene(air=AirTemperature(min_c=5.0, max_c=None, normals=normals)), plan(spell(480))
    ) == {"1"}
