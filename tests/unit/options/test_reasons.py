"""Why a zone is not planned: one test for each sentence, and for which of them comes first."""

from __future__ import annotations

import pytest

from planner.access.windows import Access
from planner.model.identifiers import CrewKind, MixId, Orientation, Process, ZoneId
from planner.model.limits import ClosureScope
from planner.model.water import LevelPoint, Water, WaterKind
from planner.options.build import Options
from planner.options.reasons import why_unplanned
from planner.reach.hoses import Reach
from tests import builders as make

DAY = 24 * 60


def why(planned: tuple[str, ...] = (), **changes: object) -> str:
    """Why zone Z1 is left out."""
    scene = make.campaign(**changes)
    options = Options(campaign=scene, access=Access(scene), reach=Reach(scene))
    return why_unplanned(options, scene.zones[0], frozenset(ZoneId(name) for name in planned))


def test_no_mix_has_a_row_for_the_face():
    zone = make.zone(orientation=Orientation.FLOOR)
    assert why(zones=(zone,)) == "No mix that the zone may use has a row for floor faces."


def test_no_mix_on_the_zones_list_has_a_row_for_the_face():
    zone = make.zone(mixes=(MixId("fine"),))
    assert why(zones=(zone,)) == "No mix that the zone may use has a row for overhead faces."


def still(level_m: float = 0.0) -> Water:
    """Water that stands still."""
    points = tuple(
        LevelPoint(minute=minute, level_m=level_m) for minute in range(-60, 15 * DAY, 60)
    )
    return Water(kind=WaterKind.LEVELS, levels=((None, points),))


def test_no_mix_says_how_long_it_must_stay_dry():
    zone = make.zone(water_max_m=1.0, wets_at_m=1.0)
    assert why(zones=(zone,), water=still(), mixes=(make.mix(protect_h=None),)) == (
        "No mix for overhead faces says how long it must be kept dry (protect_h), and water "
        "reaches this zone."
    )


def test_no_mix_says_how_long_to_wait_between_layers():
    thin = make.mix(layer_max_mm=50.0, layer_gap_min_h=None)
    assert why(mixes=(thin,)) == (
        "No mix for overhead faces says how long to wait between layers (layer_gap_min_h), and "
        "this zone needs more than one layer."
    )


def test_no_rig_sprays_its_mixes():
    mixes = (make.mix("dry"), make.mix("fine"))
    assert why(mixes=mixes, rigs=(make.rig(process=Process.WET),)) == (
        "No rig sprays dry or fine, the mixes that this zone may use."
    )


def test_no_position_is_near_enough():
    reason = why(zones=(make.zone(x_m=130.0),))
    # 130 m of hose, 100 m at most
    assert reason[0].isupper()
    assert reason.endswith(".")
    assert "130" in reason
    assert "100" in reason


def test_no_crew_may_spray_the_face():
    crews = (make.crew(orientations=(Orientation.FLOOR,)),)
    assert why(crews=crews) == "No spraying crew may spray dry mix on overhead faces."


def test_no_window_is_open():
    zone = make.zone(water_max_m=-1.0)
    assert why(zones=(zone,), water=still()) == (
        "It has no window of 45 min or more in the campaign's days; what keeps it shut, most "
        "first: water."
    )


def test_no_window_is_open_for_several_reasons_and_the_greatest_comes_first():
    # water all the time, a closure of twelve of the fourteen days
    shut = make.closure(from_min=0, to_min=12 * DAY)
    told = why(zones=(make.zone(water_max_m=-1.0),), water=still(), closures=(shut,))
    assert told.endswith("most first: water, closure.")
    told = why(closures=(make.closure(from_min=30, to_min=14 * DAY),))
    assert told.endswith("most first: closure, short window.")


def test_getting_in_and_out_takes_too_long():
    zone = make.zone(get_in_min=13 * DAY, get_out_min=DAY)
    assert why(zones=(zone,)) == "Getting in and out takes longer than its longest window."


def test_the_surface_never_stays_dry_for_long_enough():
    # the water comes over 1 m for an hour in every four
    rows = [(minute, 2.0 if minute % 240 < 60 else 0.0) for minute in range(-240, 15 * DAY, 30)]
    points = tuple(LevelPoint(minute=minute, level_m=level) for minute, level in rows)
    water = Water(kind=WaterKind.LEVELS, levels=((None, points),))
    zone = make.zone(water_max_m=1.0, wets_at_m=1.0)
    assert why(zones=(zone,), water=water) == (
        "In none of its windows does the fresh surface stay dry until it is safe from wetting "
        "(6 h)."
    )


def test_its_longest_layer_fits_nowhere_and_may_not_be_split():
    # a shift of 90 min leaves 90 - 20 - 10 - 15 = 45 for spraying
    assert why(shifts=(make.shift(end_tod=450),)) == (
        "Its longest layer needs 66 min in one spell and may not be split; its longest window "
        "is 20140 min for people, of which a crew and a rig can spray 45 min."
    )


def test_the_rig_and_place_that_come_nearest_to_fitting_are_named():
    # 2 and 1 m³/h: 66 and 132 min; a shift of 90 min leaves 45, and for the rig that takes
    # 40 min to start up 25
    rigs = (
        make.rig("R1", rate_m3_h=2.5),
        make.rig("R2"),
        make.rig("R3", start_up_min=40),
    )
    for order in (rigs, rigs[::-1]):
        reason = why(shifts=(make.shift(end_tod=450),), rigs=order)
        assert "needs 66 min" in reason
        assert reason.endswith("can spray 45 min.")


def test_the_longest_window_is_named_and_not_the_shortest():
    shut = (make.closure(ClosureScope.ZONE, "Z1", from_min=100, to_min=14 * DAY - 300),)
    # 100 and 300 min, 20 of each to get in and out; nobody works at night
    assert "its longest window is 280 min for people" in why(closures=shut)


def test_not_even_the_shortest_spell_fits_anywhere():
    # a shift of 50 min leaves 5
    zone = make.zone(joint_allowed=True)
    assert why(zones=(zone,), shifts=(make.shift(end_tod=410),)) == (
        "No stretch of 15 min, the shortest spell, is open to a crew, a rig and this zone at "
        "once: the longest is 5 min."
    )


def test_nobody_can_break_it_out():
    crews = (
        make.crew(),
        make.crew("B1", kind=CrewKind.BREAK_OUT, rate_m3_h=1.0, shift_id="night"),
    )
    shut = (
        make.closure(ClosureScope.ZONE, "Z1", start_tod=22 * 60, end_tod=6 * 60, to_min=15 * DAY),
    )
    shifts = (make.shift(), make.shift("night", start_tod=22 * 60, end_tod=6 * 60))
    assert why(crews=crews, shifts=shifts, closures=shut) == (
        "No break-out crew has a shift inside any of its windows."
    )


def test_a_zone_broken_out_already_asks_for_nobody():
    crews = (
        make.crew(),
        make.crew(
            "B1", kind=CrewKind.BREAK_OUT, rate_m3_h=1.0, available_from_min=0, available_to_min=0
        ),
    )
    assert why(crews=crews) == "No break-out crew has a shift inside any of its windows."
    reason = why(crews=crews, zones=(make.zone(broken_out=True),))
    assert reason.startswith("It could be sprayed")


def test_it_waits_for_a_zone_that_is_not_planned():
    row = (make.zone("Z1", after=("Z2", "Z3")), make.zone("Z2"), make.zone("Z3"))
    assert why(zones=row, planned=("Z2",)) == "It must wait for Z3, which is not planned."


def test_it_does_not_wait_for_a_zone_that_is_done():
    row = (make.zone("Z1", after=("Z2",)), make.zone("Z2"))
    reason = why(zones=row, done=(make.done("Z2", done_m3=2.2),))
    assert reason.startswith("It could be sprayed")


def test_nothing_stands_in_the_way_but_the_other_zones():
    assert why() == (
        "It could be sprayed, but no room was found for it in the campaign's days beside the "
        "zones that are planned."
    )


@pytest.mark.parametrize(
    ("changes", "start"),
    [
        ({"rigs": (make.rig(process=Process.WET),)}, "No mix"),
        ({"zones": (make.zone(x_m=900.0, mixes=(MixId("none"),)),)}, "No mix"),
    ],
)
def test_the_first_cause_from_mix_to_calendar_is_named(changes, start):
    fields = {"mixes": (make.mix("other", orientation=Orientation.FLOOR),)} | changes
    assert why(**fields).startswith(start)


def test_a_zone_without_any_volume_says_so():
    zone = make.zone(area_m2=None, volume_m3=0.0)
    assert why(zones=(zone,)) == (
        "It holds nothing to spray: less than a cubic centimetre in place."
    )
