"""What fills a gap, minute by minute, in small scenes with sums done by hand."""

import pytest

from planner.explain.cause import CauseKind
from planner.explain.gap import gaps, why_gap
from planner.explain.ground import Ground
from planner.explain.left_out import why_left_out
from planner.explain.parts import run_parts
from planner.model.identifiers import CrewId, PositionId, RigId, ZoneId
from planner.model.limits import ClosureScope
from planner.plan.plan import Plan
from tests import builders as make

DAY = 24 * 60
R1 = RigId("R1")


def filled(ground, start, end, rig=R1):
    return [(p.kind, p.minutes) for p in why_gap(ground, rig, start, end)]


def small(**changes):
    return Ground(make.campaign(**changes), Plan(runs=(make.run(),), spells=(make.spell(),)))


def test_before_the_first_shift_nobody_is_there():
    ground = small()
    (gap,) = gaps(ground, R1)
    assert (gap.start_min, gap.end_min, gap.after) == (0, 360, "run 1")
    assert filled(ground, 0, 360) == [(CauseKind.SHIFT, 360)]


def test_after_the_last_zone_nothing_is_left():
    assert filled(small(), 471, 600) == [(CauseKind.DONE, 129)]


def test_closures_come_before_shifts():
    closed = make.closure(from_min=0, to_min=100, why="holiday")
    found = why_gap(small(closures=(closed,)), R1, 0, 360)
    assert [(p.kind, p.minutes) for p in found] == [
        (CauseKind.CLOSURE, 100),
        (CauseKind.SHIFT, 260),
    ]
    assert found[0].text == "the site is closed (holiday)"


def test_a_gap_between_two_runs_waits_then_is_too_short():
    spells = (make.spell(), make.spell("2", zone=ZoneId("Z2"), start_min=640, end_min=706))
    runs = (make.run(), make.run("2", start_min=610, end_min=721))
    campaign = make.campaign(zones=(make.zone(), make.zone("Z2", ready_from_min=600)))
    ground = Ground(campaign, Plan(runs=runs, spells=spells))
    # Z2 is ready from 10:00; a run of its own takes 20 + 10 + 66 + 15 = 111 min
    found = why_gap(ground, R1, 471, 610)
    assert [(p.kind, p.minutes) for p in found] == [
        (CauseKind.READY, 129),
        (CauseKind.TOO_SHORT, 10),
    ]
    assert "the shortest needs 111 min" in found[1].text


def test_room_that_the_plan_did_not_need_is_spare():
    spells = (make.spell(), make.spell("2", zone=ZoneId("Z2"), start_min=840, end_min=906))
    runs = (make.run(), make.run("2", start_min=810, end_min=921))
    ground = Ground(
        make.campaign(zones=(make.zone(), make.zone("Z2"))), Plan(runs=runs, spells=spells)
    )
    assert filled(ground, 471, 810) == [(CauseKind.SPARE, 339)]


def test_a_crew_that_works_elsewhere_is_named_and_a_relocation_too():
    spells = (
        make.spell(),
        make.spell("2", rig=RigId("R2"), zone=ZoneId("Z2"), start_min=501, end_min=567),
        make.spell("3", zone=ZoneId("Z3"), position=PositionId("P2"), start_min=700, end_min=766),
    )
    runs = (
        make.run(),
        make.run("2", rig=RigId("R2"), start_min=471, end_min=582),
        make.run("3", position=PositionId("P2"), start_min=670, end_min=781),
    )
    campaign = make.campaign(
        zones=(make.zone(), make.zone("Z2"), make.zone("Z3")),
        positions=(make.position(rigs_max=2), make.position("P2")),
        rigs=(make.rig(), make.rig("R2")),
    )
    move = make.relocation(start_min=600, end_min=660)
    ground = Ground(campaign, Plan(runs=runs, spells=spells, relocations=(move,)))
    found = why_gap(ground, R1, 471, 670)
    assert [(p.kind, p.minutes) for p in found] == [
        (CauseKind.CREW, 111),  # R2 until 09:42
        (CauseKind.TOO_SHORT, 18),
        (CauseKind.RELOCATION, 60),
        (CauseKind.TOO_SHORT, 10),
    ]
    assert "rig R2 at P1" in found[0].text
    assert sum(piece.minutes for piece in found) == 670 - 471


def test_a_shut_zone_says_what_shuts_it():
    spells = (make.spell(), make.spell("2", zone=ZoneId("Z2"), start_min=750, end_min=816))
    runs = (make.run(), make.run("2", start_min=720, end_min=831))
    shut = make.closure(ClosureScope.ZONE, "Z2", from_min=0, to_min=720, why="nesting")
    campaign = make.campaign(zones=(make.zone(), make.zone("Z2")), closures=(shut,))
    found = why_gap(Ground(campaign, Plan(runs=runs, spells=spells)), R1, 471, 720)
    assert [(p.kind, p.minutes) for p in found] == [(CauseKind.CLOSURE, 249)]
    assert "nesting" in found[0].text


def test_a_stretch_with_a_run_is_no_gap():
    with pytest.raises(ValueError, match="works between"):
        why_gap(small(), R1, 300, 400)


def test_a_run_is_cut_into_its_parts():
    spells = (make.spell(), make.spell(zone=ZoneId("Z2"), start_min=486, end_min=552))
    ground = Ground(
        make.campaign(zones=(make.zone(), make.zone("Z2"))),
        Plan(runs=(make.run(end_min=570),), spells=spells),
    )
    assert [(p.kind, p.minutes) for p in run_parts(ground, ground.runs["1"])] == [
        (CauseKind.START_UP, 20),
        (CauseKind.CHANGE, 10),
        (CauseKind.SPELL, 66),
        (CauseKind.SPARE, 20),
        (CauseKind.CHANGE, 10),
        (CauseKind.SPELL, 66),
        (CauseKind.CLEAN_UP, 15),
        (CauseKind.SPARE, 3),
    ]


def test_a_zone_that_is_left_out_says_what_lacks():
    far = make.zone("Z2", x_m=120.0)  # 120 m away, the hose is 100 m
    ground = Ground(
        make.campaign(zones=(make.zone(), far)),
        Plan(runs=(make.run(),), spells=(make.spell(),), unplanned=(make.unplanned(),)),
    )
    told = why_left_out(ground, ZoneId("Z2"))
    assert told[0] == "No position reaches it."
    assert "Out of reach: R1 at P1: 120 m of equivalent hose against 100 m." in told
    assert why_left_out(ground, ZoneId("Z1")) == ()


def test_a_zone_that_is_too_slow_says_what_it_takes_and_what_there_is():
    big = make.zone("Z2", area_m2=400.0)  # 44 m³ at 2 m³/h: 1320 min; a shift has 720 min
    ground = Ground(
        make.campaign(zones=(make.zone(), big), crews=(make.crew(CrewId("C1")),)),
        Plan(runs=(make.run(),), spells=(make.spell(),), unplanned=(make.unplanned(),)),
    )
    told = " ".join(why_left_out(ground, ZoneId("Z2")))
    assert "takes 1320 min" in told
    assert "free is 675 min" in told  # 720 - 20 - 10 - 15
