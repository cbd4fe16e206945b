"""Zones are taken out whole, and what no longer serves anything goes with them."""

from __future__ import annotations

from planner.model.identifiers import ZoneId
from planner.optimise.replay import replay
from planner.optimise.strip import regroup, strip
from tests import builders as make
from tests.unit.optimise.scenes import (
    DAY,
    breakers,
    broken,
    broken_rules,
    move,
    panel,
    piece,
    problem,
    rules,
    run,
    script,
    spell_times,
    whole,
    zones,
)

PLACES = (make.position("P1"), make.position("P2", y_m=30.0))


def test_the_rest_keeps_its_times():
    of = problem(zones=zones(3))
    board = replay(of, script(run(piece(390), piece(466, zone=1), piece(542, zone=2))))
    rest = strip(board, frozenset({0}))
    assert rest is not None
    assert spell_times(whole(rest)) == [("Z2", 466, 532), ("Z3", 542, 608)]
    (only,) = rest.runs
    assert (only.start, only.end) == (436, 623)  # the start-up comes later: 466 - 30


def test_a_run_without_a_spell_goes():
    of = problem(zones=zones(2))
    board = replay(of, script(run(piece(390)), run(piece(600, zone=1))))
    rest = strip(board, frozenset({1}))
    assert rest is not None
    assert len(rest.runs) == 1


def test_a_run_is_cut_where_the_rig_would_idle_too_long():
    of = problem(zones=zones(3), rigs=(make.rig(idle_max_min=30),))
    board = replay(of, script(run(piece(390), piece(466, zone=1), piece(542, zone=2))))
    rest = strip(board, frozenset({1}))
    assert rest is not None
    # from 456 to 542 are 86 min; 471 + 30 = 501 leaves time to start up again
    assert [(one.start, one.end) for one in rest.runs] == [(360, 471), (512, 623)]
    assert broken_rules(of, whole(rest)) == []


def test_where_no_second_start_up_fits_the_rest_does_not_stand():
    small = piece(466, 478, zone=1, volume=0.4)
    row = (make.zone("Z1"), make.zone("Z2", volume_m3=0.4), make.zone("Z3"))
    of = problem(zones=row, rigs=(make.rig(idle_max_min=30),))
    board = replay(of, script(run(piece(390), small, piece(488, zone=2))))
    # a gap of 32 min may not be idled away and holds no clean-up and start-up (45 min)
    assert strip(board, frozenset({1})) is None


def test_a_relocation_after_a_rigs_last_run_goes():
    of = problem(zones=zones(2), positions=PLACES, rigs=(make.rig(at="P1"),))
    there = run(piece(600, zone=1, position=1))
    board = replay(of, script(run(piece(390)), there, moves=[move(480, 540)]))
    rest = strip(board, frozenset({1}))
    assert rest is not None
    assert rest.moves == []
    kept = strip(board, frozenset({0}))
    assert kept is not None
    assert len(kept.moves) == 1


def test_its_break_out_goes_with_a_zone():
    of = problem(zones=zones(2), crews=(make.crew(), breakers()))
    events = script(
        run(piece(600), piece(676, zone=1)), breaks=[broken(360, 420), broken(420, 480, zone=1)]
    )
    rest = strip(replay(of, events), frozenset({0}))
    assert rest is not None
    assert [row.zone for row in rest.breaks] == [1]


def test_panels_stay():
    of = problem(zones=zones(2), rules=rules(panel_days=1.0))
    board = replay(
        of, script(panel(360, 455), run(piece(DAY + 455)), run(piece(DAY + 600, zone=1)))
    )
    rest = strip(board, frozenset({0}))
    assert rest is not None
    assert [one.panel is not None for one in rest.runs] == [True, False]


def test_a_plan_in_which_something_waits_for_the_zone_does_not_stand_without_it():
    row = (make.zone("Z1"), make.zone("Z2", after=(ZoneId("Z1"),)))
    of = problem(zones=row)
    board = replay(of, script(run(piece(390), piece(466, zone=1))))
    assert strip(board, frozenset({0})) is None


def test_spells_are_grouped_into_runs_in_time_order():
    of = problem(zones=zones(3), rigs=(make.rig(idle_max_min=60),))
    board = replay(of, script())
    pieces = [piece(700, zone=2), piece(390), piece(466, zone=1)]
    found = regroup(board, run(*pieces), pieces)
    assert [[one.start for one in row.pieces] for row in found] == [[390, 466], [700]]
    assert regroup(board, run(), []) == []
