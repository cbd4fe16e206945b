"""Which mixes a zone may be sprayed with."""

from planner.model.identifiers import Orientation, Process
from planner.trade.faces import begun_process, faces_for
from tests.builders import campaign, done, mix, rig, zone

DRY = mix("dry")
WET = mix("wet", process=Process.WET)


def names(scene, spot, machine=None):
    return list(faces_for(scene, spot, machine))


def test_a_zone_without_a_list_may_use_every_mix_of_its_orientation():
    floor = mix("floor-only", orientation=Orientation.FLOOR)
    scene = campaign(mixes=(DRY, WET, floor))
    assert names(scene, zone()) == ["dry", "wet"]


def test_the_row_of_the_zones_orientation_is_taken():
    rows = (DRY, mix("dry", orientation=Orientation.FLOOR, rebound=0.1))
    faces = faces_for(campaign(mixes=rows), zone(orientation=Orientation.FLOOR))
    assert [face.rebound for face in faces.values()] == [0.1]


def test_a_zone_with_a_list_uses_only_what_it_names():
    assert names(campaign(mixes=(DRY, WET)), zone(mixes=("wet",))) == ["wet"]


def test_more_than_one_layer_needs_a_known_gap():
    scene = campaign(mixes=(mix(layer_gap_min_h=None),))
    assert names(scene, zone(depth_mm=100.0)) == ["dry"]
    assert names(scene, zone(depth_mm=101.0)) == []


def test_a_zone_that_can_be_wetted_needs_a_known_time_of_protection():
    scene = campaign(mixes=(mix(protect_h=None),))
    assert names(scene, zone(wets_at_m=None)) == ["dry"]
    assert names(scene, zone(wets_at_m=1.0)) == []


def test_a_rig_sprays_the_mixes_of_its_process_and_of_its_list():
    second = mix("dry-2")
    scene = campaign(mixes=(DRY, second, WET))
    assert names(scene, zone(), rig()) == ["dry", "dry-2"]
    assert names(scene, zone(), rig(mixes=("dry-2",))) == ["dry-2"]
    assert names(scene, zone(), rig(process=Process.WET)) == ["wet"]


def test_a_zone_that_was_begun_keeps_its_process():
    scene = campaign(
        mixes=(DRY, WET),
        rigs=(rig(), rig("R2", process=Process.WET)),
        done=(
            done(rig_id="R2", at_min=120),
            done(rig_id="R1", at_min=60),
            done("Z9", rig_id="R1", at_min=180),
        ),
    )
    assert begun_process(scene, zone()) is Process.WET
    assert names(scene, zone()) == ["wet"]
    assert names(scene, zone("Z2")) == ["dry", "wet"]


def test_progress_without_a_rig_leaves_the_process_open():
    assert begun_process(campaign(done=(done(),)), zone()) is None
