"""What figures share: windows of a rig's faces, shifts, hours worth drawing."""

import pytest

from planner.model.identifiers import RigId
from planner.plan.plan import Plan
from planner.reports.scene import scene_of
from tests import builders as make
from tests.unit.reports.plans import DAY, night_scene, two_rigs, two_rigs_scene


def test_positions_in_use_have_a_look_and_others_have_none():
    assert list(two_rigs_scene().looks) == ["P1", "P2"]


def test_every_height_is_open_only_while_the_lowest_is():
    scene = two_rigs_scene()
    zones = [zone for zone in scene.campaign.zones if zone.water_max_m is not None]
    # 1.0 m is passed at 11:30 and 18:30, 0.5 m at 11:15 and 18:45
    assert list(scene.any_open(zones).clip(0, DAY)) == [(0, 690), (1110, DAY)]
    assert list(scene.all_open(zones).clip(0, DAY)) == [(0, 675), (1125, DAY)]


def test_without_zones_nothing_is_open():
    scene = two_rigs_scene()
    assert not scene.any_open([])
    assert not scene.all_open([])


def test_a_rig_works_on_the_zones_that_it_sprays():
    scene = two_rigs_scene()
    assert [zone.zone_id for zone in scene.zones_of(RigId("R2"))] == ["Z3"]


def test_shifts_are_those_of_crews_that_may_serve_the_rig():
    wet_crew = make.crew("C9", processes=(make.mix().process,), available_to_min=DAY)
    scene = scene_of(make.campaign(crews=(wet_crew,)), Plan())
    assert list(scene.on_shift(RigId("R1"))) == [(360, 1080)]


def test_hours_without_shift_or_work_are_not_drawn():
    # shifts 06:00 to 18:00, half an hour of room, then even hours outwards
    assert two_rigs_scene().hours_shown() == (4.0, 20.0)
    # from noon: shift 22:00 to 06:00 lies at 10 to 18 h
    assert night_scene().hours_shown() == (8.0, 20.0)


def test_a_section_before_a_zone_s_name_is_left_out():
    scene = two_rigs_scene()
    assert scene.short(scene.campaign.zones[3].zone_id) == "Z4"
    assert scene.short(scene.campaign.zones[0].zone_id) == "Z1"


def test_water_is_sampled_between_two_minutes_both_included():
    minutes, levels = scene_of(two_rigs(), Plan()).levels(None, 660, 720)
    assert minutes[0] == 660
    assert minutes[-1] == 720
    assert levels == pytest.approx([2.0 * (minute - 660) / 60 for minute in minutes])


def test_a_campaign_without_water_has_no_levels():
    scene = scene_of(make.campaign(), Plan())
    assert not scene.has_water()
    assert scene.levels(None, 0, 60) == ([], [])
