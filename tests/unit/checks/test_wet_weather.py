"""The auditor keeps work out of wet weather."""

from typing import Any

from planner.model.wet_weather import WetRow, WetWeather
from tests.builders import campaign, zone
from tests.unit.checks.plans import only, plan, rules, spell


def scene(**changes):
    """Rain of 5 mm between 06:00 and 07:00; 2 mm in an hour is the limit; 1 h to recede."""
    rows = (WetRow(minute=360.0, rain_mm=0.0), WetRow(minute=420.0, rain_mm=5.0))
    fields: dict[str, Any] = {
        "series": ((None, rows),),
        "rain_limit_mm": 2.0,
        "rain_window_min": 60.0,
        "recession_min": 60,
    }
    return campaign(zones=(zone(),), wet_weather=WetWeather(**(fields | changes)))


def test_work_in_wet_weather_breaks_rule_1():
    found = only(scene(), plan(spell(470)))
    assert found.rule == "1"
    assert found.amount == 10  # 07:50 to 08:00
    assert "wet weather: 5 mm of rain" in found.message


def test_work_may_begin_when_people_can_be_there_again():
    # the window opens at 480; 10 min to get in, 10 min zone change
    assert rules(scene(), plan(spell(500))) == set()
    assert rules(scene(), plan(spell(499))) == {"2"}
    assert rules(scene(), plan(spell(489))) == {"1"}


def test_rain_at_the_limit_and_rain_of_another_section_close_nothing():
    assert rules(scene(rain_limit_mm=5.0), plan(spell(390))) == set()
    other = (("A", scene().wet_weather.series[0][1]),)
    assert rules(scene(series=other), plan(spell(390))) == set()


def test_a_gauge_at_its_trigger_closes_too():
    rows = (WetRow(minute=360.0, level_m=0.1), WetRow(minute=420.0, level_m=0.4))
    gauge = {"series": ((None, rows),), "rain_limit_mm": None}
    told = only(scene(**gauge, trigger_level_m=0.4), plan(spell(470))).message
    assert "the gauge stands at 0.4 m" in told
    assert rules(scene(**gauge, trigger_level_m=0.41), plan(spell(390))) == set()
