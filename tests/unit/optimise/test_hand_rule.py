"""The plain hand rule: zones in table order, the nearest set-up next, no look ahead."""

from __future__ import annotations

from planner.optimise.hand_rule import hand_rule
from tests import builders as make
from tests.unit.optimise.scenes import broken_rules, problem, spell_times, whole, zones


def test_zones_are_taken_in_table_order():
    row = (make.zone("Z3"), make.zone("Z1", area_m2=60.0), make.zone("Z2"))
    board, _ = hand_rule(problem(zones=row))
    assert [zone for zone, _, _ in spell_times(whole(board))] == ["Z3", "Z1", "Z2"]


def test_a_rig_goes_to_the_nearest_set_up_that_has_work_left():
    places = (
        make.position("P1"),
        make.position("P2", x_m=600.0),
        make.position("P3", x_m=300.0),
    )
    row = (
        make.zone("Z1"),
        make.zone("Z2", x_m=610.0),
        make.zone("Z3", x_m=310.0),
    )
    rigs = (make.rig(at="P1", move_min_per_100m=10.0),)
    board, _ = hand_rule(problem(zones=row, positions=places, rigs=rigs))
    plan = whole(board)
    assert [spell.position for spell in plan.spells] == ["P1", "P3", "P2"]
    assert broken_rules(board.problem, plan) == []


def test_its_guide_names_what_cannot_be_planned():
    board, guide = hand_rule(problem(zones=(make.zone("Z1"), make.zone("Z2", x_m=900.0))))
    assert guide.banned == {1}
    assert board.is_done(0)


def test_it_stops_when_asked_and_keeps_a_valid_plan():
    crowd = range(1, 7)
    of = problem(
        zones=zones(70, area_m2=120.0),
        positions=(make.position(rigs_max=6),),
        rigs=tuple(make.rig(f"R{k}") for k in crowd),
        crews=tuple(make.crew(f"C{k}") for k in crowd),
    )
    board, guide = hand_rule(of, stop=lambda: True)
    plan = whole(board)
    assert broken_rules(of, plan) == []
    assert 0 < len(plan.spells) < 70
    assert len(guide.banned) == 70 - len(plan.spells)
