"""What a neighbourhood frees, and where it may go."""

from __future__ import annotations

from planner.model.limits import ClosureScope
from planner.optimise.freeing import free, moves_of
from planner.optimise.replay import replay
from tests import builders as make
from tests.unit.optimise.scenes import (
    DAY,
    move,
    panel,
    piece,
    problem,
    rules,
    run,
    script,
    zones,
)

PLACES = (make.position("P1"), make.position("P2", y_m=30.0))
NONE: frozenset[int] = frozenset()


def test_spray_runs_inside_the_stretch_are_freed_and_the_rest_is_kept():
    of = problem(zones=zones(3))
    days = [run(piece(day * DAY + 390, zone=day)) for day in range(3)]
    near = free(replay(of, script(*days)), NONE, (0,), DAY, 2 * DAY)
    assert near is not None
    assert near.freed_runs == (days[1],)
    assert near.kept.runs == [days[0], days[2]]
    assert [(atom.zone, atom.now) for atom in near.atoms] == [(1, piece(DAY + 390, zone=1))]


def test_a_stretch_without_a_whole_run_frees_nothing():
    board = replay(problem(), script(run(piece(390))))
    assert free(board, NONE, (0,), 361, 2 * DAY) is None
    assert free(board, NONE, (0,), 0, 470) is None
    assert free(board, NONE, (), 0, 2 * DAY) is None


def test_panels_and_the_runs_of_other_rigs_are_kept():
    of = problem(
        zones=zones(2),
        rules=rules(panel_days=1.0),
        rigs=(make.rig("R1"), make.rig("R2")),
        crews=(make.crew("C1"), make.crew("C2")),
        positions=PLACES,
    )
    other = run(piece(DAY + 500, zone=1, rig=1, position=1), crew=1)
    second = panel(360, 455, rig=1, crew=1, position=1)
    events = script(panel(360, 455), second, run(piece(DAY + 455)), other)
    near = free(replay(of, events), NONE, (0,), 0, 3 * DAY)
    assert near is not None
    assert [one.rig for one in near.freed_runs] == [0]
    assert [one.panel is not None for one in near.kept.runs] == [True, True, False]


def test_atoms_say_whether_they_end_their_layer_and_their_zone():
    of = problem(zones=zones(1, joint_allowed=True), mixes=(make.mix(layer_max_mm=50.0),))
    parts = run(piece(390, 408, volume=0.6), piece(418, 433, volume=0.5))  # layer 1: 1.1 m³
    second = run(piece(DAY + 390, DAY + 423, number=2, volume=1.1))
    near = free(replay(of, script(parts, second)), NONE, (0,), 0, 3 * DAY)
    assert near is not None
    found = [(atom.layer, atom.number, atom.ends_layer, atom.ends_zone) for atom in near.atoms]
    assert found == [(0, 1, False, False), (0, 1, True, False), (1, 2, True, True)]


def test_a_slot_is_what_the_shift_leaves_beside_kept_work():
    of = problem(zones=zones(2), crews=(make.crew("C1"),))
    kept, freed = run(piece(DAY + 390, zone=1)), run(piece(390))
    near = free(replay(of, script(freed, kept)), NONE, (0,), 0, 2 * DAY)
    assert near is not None
    assert {(slot.start, slot.end) for slot in near.slots} == {
        (360, 1080),
        (DAY + 360, DAY + 1080),
    }
    some = free(replay(of, script(freed, kept)), NONE, (0,), 0, 471)
    assert some is not None
    assert [(slot.start, slot.end) for slot in some.slots] == [(360, 471)]


def test_a_slot_is_cut_to_where_a_freed_zone_is_open():
    shut = (make.closure(ClosureScope.ZONE, "Z1", from_min=600, to_min=900),)
    of = problem(closures=shut)
    near = free(replay(of, script(run(piece(390)))), NONE, (0,), 0, DAY)
    assert near is not None
    # people leave at 590, clean-up until 605; in again at 910, start-up from 890
    assert [(slot.start, slot.end) for slot in near.slots] == [(360, 605), (890, 1080)]


def test_a_rig_keeps_where_it_stood_before_and_is_wanted_after():
    of = problem(zones=zones(3), positions=PLACES, rigs=(make.rig(at="P1"),))
    events = script(
        run(piece(390)),
        run(piece(600, zone=1, position=1)),
        run(piece(DAY + 390, zone=2, position=1)),
        moves=[move(480, 540)],
    )
    board = replay(of, events)
    near = free(board, NONE, (0,), 471, DAY)
    assert near is not None
    assert (near.first_place, near.last_place) == ({0: 0}, {0: 1})
    assert moves_of(near, board) == [move(480, 540)]
    last = free(board, NONE, (0,), DAY, 2 * DAY)
    assert last is not None
    assert (last.first_place, last.last_place) == ({0: 1}, {0: None})
    assert moves_of(last, board) == []


def test_a_rig_that_stood_nowhere_before_may_be_set_up_anywhere():
    near = free(replay(problem(), script(run(piece(390)))), NONE, (0,), 0, DAY)
    assert near is not None
    assert near.first_place == {0: None}


def test_other_rigs_say_nothing_about_where_a_rig_stands():
    of = problem(
        zones=zones(3),
        positions=PLACES,
        rigs=(make.rig("R1", at="P1"), make.rig("R2", at="P2")),
        crews=(make.crew("C1"), make.crew("C2")),
    )
    events = script(
        run(piece(390, zone=1, rig=1, position=1), crew=1),
        run(piece(DAY + 390)),
        run(piece(2 * DAY + 390, zone=2, rig=1, position=1), crew=1),
    )
    near = free(replay(of, events), NONE, (0,), DAY, 2 * DAY)
    assert near is not None
    assert (near.first_place, near.last_place) == ({0: 0}, {0: None})


def test_a_stretch_between_two_runs_begins_and_ends_with_them():
    of = problem(zones=zones(3), positions=PLACES, rigs=(make.rig(at="P1"),))
    events = script(
        run(piece(390)),
        run(piece(601, zone=1, position=1)),  # begins at 571
        run(piece(800, zone=2, position=1)),  # begins at 770
        moves=[move(471, 531)],
    )
    near = free(replay(of, events), NONE, (0,), 471, 770)
    assert near is not None
    assert [atom.zone for atom in near.atoms] == [1]
    assert (near.first_place, near.last_place) == ({0: 0}, {0: 1})
    assert near.kept.moves == []


def test_a_slot_leaves_room_for_start_up_change_and_clean_up():
    shut = (
        make.closure(ClosureScope.CREW, "C1", from_min=500, to_min=600),
        make.closure(ClosureScope.CREW, "C1", from_min=645, to_min=700),
    )
    near = free(replay(problem(closures=shut), script(run(piece(390)))), NONE, (0,), 0, DAY)
    assert near is not None
    # 45 min are used up by 20 + 10 + 15
    assert [(slot.start, slot.end) for slot in near.slots] == [(360, 500), (700, 1080)]


def test_late_runs_may_be_freed_as_well_and_stay_where_they_are_or_come_forward():
    of = problem(zones=zones(3))
    days = [run(piece(day * DAY + 390, zone=day)) for day in range(3)]
    board = replay(of, script(*days))
    near = free(board, NONE, (0,), 0, DAY, extra=(days[2],))
    assert near is not None
    assert near.freed_runs == (days[0], days[2])
    assert near.kept.runs == [days[1]]
    assert [atom.zone for atom in near.atoms] == [0, 2]
    late = near.slots[-1]
    assert (late.start, late.end, late.fixed) == (days[2].start, days[2].end, 0)
    assert all(slot.fixed is None for slot in near.slots[:-1])
    assert (near.end, near.horizon) == (DAY, days[2].end)


def test_a_crew_keeps_the_rig_it_runs_and_an_idle_one_gets_the_rig_it_works_most():
    of = problem(
        zones=zones(3),
        positions=PLACES,
        rigs=(make.rig("R1"), make.rig("R2")),
        crews=(make.crew("C1"), make.crew("C2")),
    )
    events = script(
        run(piece(390)),
        run(piece(390, zone=1, rig=1, position=1), crew=1),
        run(piece(DAY + 390, zone=2)),
    )
    near = free(replay(of, events), NONE, (0, 1), 0, 2 * DAY)
    assert near is not None
    pairs = {(slot.start // DAY, slot.crew, slot.rig) for slot in near.slots}
    # on the second day the second crew is idle, and so is its rig
    assert pairs == {(0, 0, 0), (0, 1, 1), (1, 0, 0), (1, 1, 1)}
