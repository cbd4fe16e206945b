"""What the phone page asks for."""

from datetime import date

import pytest

from planner.plan.plan import Plan
from planner.site.entry import Entry
from planner.workflow.site_form import (
    clock_text,
    entry_line,
    suggestion,
    token_of,
    with_times,
    zone_order,
)
from tests import builders as make
from tests.unit.site.scenes import at, found, sprayed, stored

DAY = date(2026, 3, 2)


def plan():
    return Plan(
        runs=(make.run(), make.run("2", start_min=1800, end_min=1911)),
        spells=(
            make.spell(zone="Z2", start_min=390, end_min=456),
            make.spell("2", zone="Z2", layer=2, start_min=1830, end_min=1896),
            make.spell("2", zone="Z1", start_min=1900, end_min=1905),
        ),
    )


def campaign():
    return make.campaign(zones=tuple(make.zone(f"Z{k}") for k in (1, 2, 3)))


def test_zones_to_come_stand_first_then_those_seen_then_the_rest():
    assert zone_order(campaign(), plan(), ()) == ["Z2", "Z1", "Z3"]
    assert zone_order(campaign(), None, stored(sprayed("Z3"))) == ["Z3", "Z1", "Z2"]


def test_the_next_layer_without_a_record_is_suggested():
    assert suggestion(campaign(), plan(), "Z2", (), DAY).layer == 1
    told = suggestion(campaign(), plan(), "Z2", stored(sprayed("Z2")), DAY)
    assert (told.layer, told.rig, told.crew, told.position) == (2, "R1", "C1", "P1")
    assert suggestion(campaign(), plan(), "Z3", (), DAY).rig == ""


def test_the_day_stays_within_the_campaign():
    early, late = date(2025, 1, 1), date(2030, 1, 1)
    assert suggestion(campaign(), None, "Z1", (), early).day == DAY
    assert suggestion(campaign(), None, "Z1", (), late).day == date(2026, 3, 15)


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("905", "09:05"),
        ("9:05", "09:05"),
        ("9.05", "09:05"),
        ("2130", "21:30"),
        ("25:00", "25:00"),
    ],
)
def test_times_are_read_as_people_type_them(typed, read):
    assert clock_text(typed) == read


def test_a_stop_before_the_start_is_next_day():
    assert with_times({}, DAY, "22:30", "01:10") == {
        "start": "2026-03-02T22:30",
        "stop": "2026-03-03T01:10",
    }
    assert with_times({}, DAY, "", "11:00") == {"stop": "2026-03-02T11:00"}
    assert with_times({"zone": "Z1"}, DAY, "", "") == {"zone": "Z1"}


def test_the_same_record_has_the_same_token_and_another_writer_another():
    cells = {"zone": "Z1", "layer": "1"}
    assert token_of(cells, "Ann", None) == token_of(dict(reversed(cells.items())), "Ann", None)
    assert token_of(cells, "Bo", None) != token_of(cells, "Ann", None)
    assert token_of(cells, "Ann", 3) != token_of(cells, "Ann", None)


def test_an_entry_is_told_in_one_line():
    rows = stored(
        sprayed(left_m3=0.0, lost_min=5.0, lost_reason="machine"),
        found(depth=70.0, area=3.0),
        Entry(item="position P1", stop=at(60)),
    )
    assert [entry_line(make.clock(), row) for row in rows] == [
        "1 · Mon 2 Mar 10:00 · Z1 layer 1 · 1 m³ · complete · lost 5 min (machine) · Ann",
        "2 · Mon 2 Mar 10:00 · Z1 · found 70 mm · found 3 m² · Ann",
        "3 · Mon 2 Mar 01:00 · ready: position P1 · Ann",
    ]
