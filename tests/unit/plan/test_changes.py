"""What counts as a change from an old plan to a new one."""

from dataclasses import replace

from planner.model.identifiers import CrewId, PositionId, RigId
from planner.plan.changes import Baseline, open_spells
from planner.plan.plan import Plan
from tests import builders as make

DAY = 24 * 60
OLD = Plan(
    spells=(make.spell(), make.spell("2", zone="Z2", start_min=390 + DAY, end_min=456 + DAY)),
    runs=(make.run(), make.run("2", start_min=360 + DAY, end_min=471 + DAY)),
)
SCENE = make.campaign(zones=(make.zone("Z1"), make.zone("Z2")))


def changes(after, *, scene=SCENE, before=OLD, now=0):
    return Baseline(scene, before, now).of(after)


def test_the_same_plan_changes_nothing():
    assert changes(OLD).count == 0


def test_a_spell_at_another_minute_is_moved():
    later = replace(OLD.spells[1], start_min=391 + DAY, end_min=457 + DAY)
    found = changes(replace(OLD, spells=(OLD.spells[0], later)))
    assert found.moved == (OLD.spells[1],)
    assert found.count == 1


def test_another_crew_position_or_length_is_no_change_but_another_rig_is():
    same = replace(OLD.spells[1], crew=CrewId("C2"), position=PositionId("P2"), end_min=500 + DAY)
    assert changes(replace(OLD, spells=(OLD.spells[0], same))).count == 0
    other = replace(OLD.spells[1], rig=RigId("R2"))
    assert changes(replace(OLD, spells=(OLD.spells[0], other))).count == 1


def test_what_began_before_now_or_is_done_is_not_asked_for():
    assert [spell.zone for spell in open_spells(SCENE, OLD, 391)] == ["Z2"]
    all_of_z2 = make.done("Z2", done_m3=2.2, at_min=300)
    scene = make.campaign(zones=SCENE.zones, done=(all_of_z2,))
    assert [spell.zone for spell in open_spells(scene, OLD, 300)] == ["Z1"]


def test_a_layer_done_in_part_is_still_open():
    scene = make.campaign(zones=SCENE.zones, done=(make.done("Z2", done_m3=1.0, at_min=300),))
    assert [spell.zone for spell in open_spells(scene, OLD, 300)] == ["Z1", "Z2"]


def test_relocations_count_where_the_old_plan_has_none_left_of_that_rig_to_that_position():
    moved = replace(OLD, relocations=(make.relocation(),))
    assert changes(moved).added == (make.relocation(),)
    assert changes(moved, before=moved).count == 0
    later = replace(moved, relocations=(make.relocation(start_min=900, end_min=960),))
    assert changes(later, before=moved).count == 0
    assert changes(later, before=moved, now=481).added == later.relocations
    twice = replace(OLD, relocations=(*moved.relocations, *later.relocations))
    assert changes(twice, before=moved).count == 1
