"""What progress leaves; Z1 has 2.2 m³."""

import pytest

from planner.checks.record import Record
from planner.model.identifiers import (
    CrewId,
    MixId,
    Orientation,
    PositionId,
    Process,
    RigId,
    ZoneId,
)
from tests.builders import campaign, done, mix, rig, zone

HALF = mix(layer_max_mm=50.0)


def left(*rows, face=HALF):
    scene = campaign(done=rows, mixes=(face,))
    return Record(scene).left_m3(scene.zones[0], face)


@pytest.mark.parametrize(
    ("rows", "expected"),
    [
        ((), (1.1, 1.1)),
        ((done(done_m3=0.4),), (0.7, 1.1)),
        ((done(done_m3=1.1),), (0.0, 1.1)),
        ((done(done_m3=5.0),), (0.0, 1.1)),
        ((done(done_m3=1.1 - 9e-7),), (0.0, 1.1)),  # a cubic centimetre is nothing
        ((done(done_m3=1.1 - 5e-6),), (5e-6, 1.1)),
        ((done(done_m3=0.4, left_m3=0.9),), (0.9, 1.1)),
        ((done(done_m3=0.4, left_m3=0.9, at_min=60), done(done_m3=0.2, at_min=50)), (0.9, 1.1)),
        ((done(done_m3=0.4, left_m3=0.9, at_min=60), done(done_m3=0.2, at_min=70)), (0.7, 1.1)),
        ((done(layer=2, done_m3=0.1),), (1.1, 1.0)),
        ((done(layer=3, done_m3=0.1),), (1.1, 1.1)),
        ((done(layer=0, done_m3=0.1),), (1.1, 1.1)),
        ((done("Z9", done_m3=0.4),), (1.1, 1.1)),
    ],
)
def test_each_layer_has_its_share_less_what_is_done(rows, expected):
    assert left(*rows) == pytest.approx(expected, abs=1e-12)


def test_a_layer_is_begun_when_something_of_it_is_gone():
    scene = campaign(
        mixes=(HALF,), done=(done(done_m3=0.1, at_min=70), done(layer=2, done_m3=0.0, at_min=90))
    )
    record, spot = Record(scene), scene.zones[0]
    assert record.layer_at(spot, HALF, 1) == 70
    assert record.layer_at(spot, HALF, 2) is None
    assert record.layer_at(spot, HALF, 3) is None
    assert record.last_at(spot.zone_id) == 90
    assert record.last_at(ZoneId("Z9")) is None


def test_a_zone_may_be_finished_by_one_of_its_mixes():
    scene = campaign(mixes=(HALF, mix("thick")), done=(done(done_m3=2.2),))
    assert Record(scene).is_finished(scene.zones[0])  # thick goes on in one layer
    only_thin = campaign(
        mixes=(HALF, mix("thick")),
        done=(done(done_m3=2.2),),
        zones=(zone(mixes=(MixId("dry"),)),),
    )
    assert not Record(only_thin).is_finished(only_thin.zones[0])
    assert not Record(campaign()).is_finished(zone())


def test_a_zone_that_no_mix_fits_is_left_whole():
    floor = zone(orientation=Orientation.FLOOR)
    scene = campaign(zones=(floor,), done=(done(),))
    assert Record(scene).left_range_m3(floor) == pytest.approx((2.2, 2.2))
    assert not Record(scene).is_finished(floor)


def test_the_crews_that_have_sprayed_are_known_by_process_and_orientation():
    row = done(rig_id=RigId("R1"), crew_id=CrewId("C1"), position_id=PositionId("P1"))
    record = Record(campaign(done=(row,), rigs=(rig(),)))
    assert record.has_sprayed(CrewId("C1"), Process.DRY, Orientation.OVERHEAD)
    assert not record.has_sprayed(CrewId("C1"), Process.WET, Orientation.OVERHEAD)
    assert not record.has_sprayed(CrewId("C1"), Process.DRY, Orientation.FLOOR)
    assert not record.has_sprayed(CrewId("C2"), Process.DRY, Orientation.OVERHEAD)
    assert record.stands_at(RigId("R1")) == "P1"
    assert record.stands_at(RigId("R2")) is None
