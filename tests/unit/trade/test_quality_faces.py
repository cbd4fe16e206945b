"""Bond by area, and inspections."""

from planner.model.identifiers import Orientation, ZoneId
from planner.model.quality import Hold
from planner.trade.quality_faces import bond, inspections
from tests.unit.trade.quality_scenes import DAY, placed, quality


def zone(name, day, area_m2, **changes):
    return placed(day, zone=ZoneId(name), area_m2=area_m2, **changes)


def test_a_set_belongs_to_each_area_and_one_to_the_rest():
    rows = [zone("Z1", 0, 150.0), zone("Z2", 1, 150.0), zone("Z3", 2, 250.0)]
    found = bond(rows, quality())  # 550 / 250: 3 sets; 250 in Z2, 500 and 550 in Z3
    assert [one.name for one in found] == [f"BOND/dry/overhead/{k}" for k in (1, 2, 3)]
    assert [one.zone for one in found] == ["Z2", "Z3", "Z3"]
    assert found[0].due_min == DAY + 540 + 28 * DAY


def test_layers_that_finish_nothing_and_zones_without_area_ask_for_no_bond():
    assert bond([placed(0)], quality()) == []


def test_orientations_are_tested_apart():
    rows = [zone("Z1", 0, 10.0), zone("Z2", 0, 10.0, orientation=Orientation.VERTICAL)]
    assert [one.name for one in bond(rows, quality())] == [
        "BOND/dry/overhead/1",
        "BOND/dry/vertical/1",
    ]


def test_pulls_are_held_against_the_bond_asked_for():
    (one,) = bond([zone("Z1", 0, 10.0)], quality(bond_mpa=1.5, bond_pulls=5, bond_age_d=14.0))
    assert (one.specified_mpa, one.pieces, one.age_d) == (1.5, 5, 14.0)


def test_without_the_stop_there_are_no_inspections():
    assert inspections([placed(0)], {}, quality()) == []


def test_an_inspection_lies_between_break_out_and_the_first_layer():
    rows = [placed(3, layer=2), placed(1), placed(2, zone=ZoneId("Z2"))]
    found = inspections(rows, {ZoneId("Z1"): 300}, quality(holds=(Hold.INSPECTION,)))
    assert [(one.name, one.made_min, one.due_min) for one in found] == [
        ("INSP/Z1", 300, DAY + 480),
        ("INSP/Z2", None, 2 * DAY + 480),
    ]
