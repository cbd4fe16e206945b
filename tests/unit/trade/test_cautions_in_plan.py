"""Spells that ask for a second look though no rule is broken."""

import pytest

from planner.model.identifiers import CrewId, Orientation, PositionId, ZoneId
from planner.model.rules import Rules
from planner.trade.cautions_in_plan import cautions_in_plan
from tests.builders import campaign, position, spell, zone
from tests.unit.trade.sites import sewer

HOUR = 60
GIVEN = Rules(no_entry_h=6.0)


def sprayed(name, start_min, end_min=None, run="1", **changes):
    end_min = start_min + 50 if end_min is None else end_min
    return spell(run, zone=ZoneId(name), start_min=start_min, end_min=end_min, **changes)


def seen(site, *spells):
    return [(row.code, row.zone) for row in cautions_in_plan(site, spells)]


def test_a_plan_without_spells_asks_for_nothing():
    assert cautions_in_plan(sewer(), ()) == ()


@pytest.mark.parametrize("rules", [Rules(), GIVEN])
def test_spraying_from_the_far_end_back_to_the_shaft_passes_nothing_fresh(rules):
    site = sewer(rules=rules)
    assert seen(site, sprayed("S50", 0), sprayed("S30", 60), sprayed("S10", 120)) == []


@pytest.mark.parametrize("rules", [Rules(), GIVEN])
def test_spraying_on_beyond_a_fresh_zone_leads_the_way_out_past_it(rules):
    site = sewer(rules=rules)
    assert seen(site, sprayed("S10", 0), sprayed("S50", 60), sprayed("S30", 120)) == [
        ("way-out", "S50"),
        ("way-out", "S30"),
    ]


def test_the_way_out_names_what_is_passed_and_whether_its_time_is_known():
    unknown, given = sewer(), sewer(rules=GIVEN)
    spells = (sprayed("S10", 0), sprayed("S30", 60), sprayed("S50", 120))
    last = cautions_in_plan(unknown, spells)[-1].text
    assert "between P1 and S50 pass fresh overhead concrete of S10, S30" in last
    assert "not given (rules.no_entry_h)" in last
    assert "less than 6 h old" in cautions_in_plan(given, spells)[-1].text


def test_fresh_concrete_of_an_earlier_run_counts_for_the_time_that_is_given():
    # S10 ends at 50 min and is fresh until 410; people enter for S50 at start - 10 - 10
    early = sprayed("S50", 429, run="2", crew=CrewId("C2"))
    late = sprayed("S50", 430, run="2", crew=CrewId("C2"))
    site = sewer(rules=GIVEN)
    assert seen(site, sprayed("S10", 0), early) == [("way-out", "S50")]
    assert seen(site, sprayed("S10", 0), late) == []
    assert seen(sewer(), sprayed("S10", 0), early) == []


def test_ways_in_and_out_of_the_zone_itself_count_before_those_of_the_rules():
    # S50 with 30 min in and 5 min out, instead of 10 and 10
    slow = tuple(
        zone(name, x_m=at, chainage_m=at, section="S1", closed_space=True, **own)
        for name, at, own in (
            ("S10", 10.0, {}),
            ("S50", 50.0, {"get_in_min": 30, "get_out_min": 5}),
        )
    )
    site = sewer(rules=GIVEN, zones=slow)
    crew = {"run": "2", "crew": CrewId("C2")}
    assert seen(site, sprayed("S10", 0), sprayed("S50", 449, **crew)) == [("way-out", "S50")]
    assert seen(site, sprayed("S10", 0), sprayed("S50", 450, **crew)) == []
    assert seen(site, sprayed("S50", 0), sprayed("S10", 54, **crew)) == [("way-out", "S50")]
    assert seen(site, sprayed("S50", 0), sprayed("S10", 55, **crew)) == []


def test_fresh_concrete_of_long_ago_is_still_found_behind_many_shorter_ones():
    # S30 is sprayed in one long spell of ten hours; S10 comes and goes meanwhile
    long_one = sprayed("S30", 0, 600, run="L", crew=CrewId("C9"))
    short = [
        sprayed("S10", 20 * k, 20 * k + 10, run=f"s{k}", crew=CrewId(f"D{k}")) for k in range(9)
    ]
    late = sprayed("S50", 640, run="2", crew=CrewId("C2"))
    found = cautions_in_plan(sewer(rules=Rules(no_entry_h=1.0)), (long_one, *short, late))
    (text,) = [row.text for row in found if row.zone == "S50"]
    assert "fresh overhead concrete of S30, less than 1 h old" in text


def test_people_on_their_way_out_meet_what_another_rig_has_begun():
    # S50 ends at 50 and its people need 10 min to get out; another rig begins S10 at 59 or 60
    def other(start_min):
        return sprayed("S10", start_min, run="2", rig="R2", crew=CrewId("C2"))

    site = sewer(rules=GIVEN)
    assert seen(site, sprayed("S50", 0), other(59)) == [("way-out", "S50")]
    assert seen(site, sprayed("S50", 0), other(60)) == []


def test_zones_on_the_other_side_of_the_shaft_are_not_passed():
    site = sewer(rules=GIVEN, positions=(position(x_m=20.0),))
    assert seen(site, sprayed("S10", 0), sprayed("S30", 60)) == []
    assert seen(site, sprayed("S30", 0), sprayed("S50", 60)) == [("way-out", "S50")]


def test_a_wall_that_is_fresh_is_passed_without_a_word():
    walls = tuple(
        zone(f"S{at}", x_m=float(at), chainage_m=float(at), closed_space=True, section="S1")
        for at in (30, 50)
    )
    wall = zone(
        "W10",
        x_m=10.0,
        chainage_m=10.0,
        closed_space=True,
        section="S1",
        orientation=Orientation.VERTICAL,
    )
    site = sewer(rules=GIVEN, zones=(wall, *walls))
    assert seen(site, sprayed("W10", 0), sprayed("S50", 60)) == []


def test_in_the_open_there_is_more_than_one_way_out():
    open_zones = tuple(
        zone(f"S{at}", x_m=float(at), chainage_m=float(at), area_m2=1.0) for at in (10, 30)
    )
    site = campaign(rules=GIVEN, zones=open_zones)
    assert seen(site, sprayed("S10", 0), sprayed("S30", 60)) == []


def test_a_spell_in_the_open_or_without_a_chainage_hides_none_that_follow():
    nowhere = zone("NO", x_m=0.0, section="S1", closed_space=True)
    outside = zone("OUT", x_m=20.0, chainage_m=20.0, section="S1")
    stray = zone("STRAY", x_m=5.0, chainage_m=5.0, section="S9")
    site = sewer(rules=GIVEN, zones=(*sewer().zones, nowhere, outside, stray))
    order = ("S10", "NO", "OUT", "STRAY", "S50")
    spells = [sprayed(name, 60 * turn) for turn, name in enumerate(order)]
    assert seen(site, *spells) == [("way-out", "S50")]


def test_work_below_a_fresh_soffit_is_seen_as_far_as_its_square_reaches():
    # 20 m2 is a square of 4.47 m, so 2.24 m to each side of its middle at (10, 0)
    def below(x_m, z_m=-2.0):
        pile = zone("PILE", x_m=x_m, z_m=z_m, orientation=Orientation.VERTICAL)
        site = campaign(rules=GIVEN, zones=(zone(), pile))
        return seen(site, sprayed("Z1", 0), sprayed("PILE", 60))

    assert below(12.2) == [("below-fresh", "PILE")]
    assert below(12.3) == []
    assert below(10.0, z_m=0.0) == []


def test_a_soffit_reaches_to_its_very_edge_in_both_directions():
    # 16 m2 is a square of 4 m: 2 m to each side of (10, 6)
    def below(x_m, y_m):
        soffit = zone(area_m2=16.0, y_m=6.0)
        pile = zone("PILE", x_m=x_m, y_m=y_m, z_m=-2.0, orientation=Orientation.VERTICAL)
        site = campaign(rules=GIVEN, zones=(soffit, pile))
        return bool(seen(site, sprayed("Z1", 0), sprayed("PILE", 60)))

    assert below(10.0, 8.0)
    assert below(12.0, 6.0)
    assert not below(10.0, 8.1)
    assert not below(10.0, -6.0)


def test_a_layer_on_fresh_overhead_concrete_is_seen_until_its_time_is_over():
    def layers(gap_min, rules=GIVEN, **changes):
        site = campaign(rules=rules, zones=(zone(**changes),))
        first = sprayed("Z1", 0, 60)
        return seen(site, first, sprayed("Z1", 60 + gap_min, run="2", layer=2))

    assert layers(6 * HOUR - 1) == [("next-layer", "Z1"), ("short-rest", "Z1")]
    assert layers(12 * HOUR) == []
    assert layers(3 * HOUR, Rules()) == []
    assert layers(3 * HOUR, orientation=Orientation.VERTICAL) == []


def test_pieces_of_one_layer_are_no_next_layer():
    site = campaign(rules=GIVEN)
    assert seen(site, sprayed("Z1", 0, 60), sprayed("Z1", 120, 180, run="2")) == []


@pytest.mark.parametrize(
    ("gap_min", "is_short"),
    [(4 * HOUR - 1, False), (4 * HOUR, True), (11 * HOUR - 1, True), (11 * HOUR, False)],
)
def test_a_rest_between_a_pause_and_eleven_hours_is_short(gap_min, is_short):
    site = campaign(zones=(zone(), zone("Z2", x_m=50.0)))
    found = seen(site, sprayed("Z1", 0, 60), sprayed("Z2", 60 + gap_min, run="2"))
    assert (found == [("short-rest", "Z2")]) == is_short


def test_the_rest_of_one_crew_is_not_that_of_another():
    site = campaign(zones=(zone(), zone("Z2", x_m=50.0)))
    other = sprayed("Z2", 8 * HOUR, run="2", crew=CrewId("C2"), position=PositionId("P1"))
    assert seen(site, sprayed("Z1", 0, 60), other) == []


def test_cautions_come_in_time_order_with_the_spell_that_they_are_about():
    found = cautions_in_plan(sewer(), (sprayed("S50", 60), sprayed("S30", 120), sprayed("S10", 0)))
    assert [row.start_min for row in found] == [60, 120]
    assert {(row.rig, row.crew) for row in found} == {("R1", "C1")}
    assert all("local code" in row.follow for row in found)
