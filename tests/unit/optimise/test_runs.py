"""Drafting one run: what comes next, how long, and what is left for later."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from planner.model.identifiers import MixId, Orientation, ZoneId
from planner.model.limits import Apart, ApartKind, ClosureScope
from planner.optimise.board import Board, DraftRun
from planner.optimise.guide import Guide, Weights
from planner.optimise.problem import Problem
from planner.optimise.runs import Stretch, draft_run, live_ways
from tests import builders as make
from tests.unit.optimise.scenes import DAY, plain, problem, rules, zones


def draft(
    of: Problem, start: int = 360, end: int = 1080, guide: Guide | None = None, **where: int
) -> DraftRun | None:
    """The run that greed finds in a stretch."""
    fields = {"crew": 0, "rig": 0, "position": 0, "mix": 0, "start": start, "end": end}
    stretch = Stretch(**(fields | where))
    return draft_run(Board(of), plain(of) if guide is None else guide, stretch)


def times(found: DraftRun | None) -> list[tuple[int, int, int]]:
    """Zone, start and end of each spell."""
    return [] if found is None else [(one.zone, one.start, one.end) for one in found.pieces]


def keyed(of: Problem, *keys: float, **weights: Any) -> Guide:
    """A guide with preferences of zones."""
    return replace(plain(of), keys=keys, weights=replace(Weights(), **weights))


def test_a_run_begins_as_late_as_its_first_spell_allows_and_ends_after_clean_up():
    found = draft(problem(zones=zones(1, ready_from_min=500)))
    assert found is not None
    assert times(found) == [(0, 500, 566)]
    assert (found.start, found.end) == (470, 581)


def test_a_stretch_too_short_for_any_spell_gives_no_run():
    # 20 + 10 + 66 + 15 = 111
    assert times(draft(problem(), 360, 471)) == [(0, 390, 456)]
    assert draft(problem(), 360, 470) is None


def test_small_keys_come_first():
    of = problem(zones=zones(3))
    found = draft(of, guide=keyed(of, 300.0, 100.0, 200.0))
    assert [zone for zone, _, _ in times(found)] == [1, 2, 0]


def test_a_zone_of_a_later_priority_comes_later_where_that_weighs():
    of = problem(zones=(make.zone("Z1", priority=2), make.zone("Z2", priority=1)))
    found = draft(of, guide=keyed(of, 0.0, 1.0, priority=50.0))
    assert [zone for zone, _, _ in times(found)] == [1, 0]


def test_a_zone_that_is_due_soon_comes_first_where_that_weighs():
    of = problem(zones=(make.zone("Z1"), make.zone("Z2", due_min=DAY)))
    found = draft(of, guide=keyed(of, 0.0, 1.0, due=50.0))
    assert [zone for zone, _, _ in times(found)] == [1, 0]


def test_the_longer_spell_comes_first_where_all_else_is_equal():
    of = problem(zones=(make.zone("Z1"), make.zone("Z2", area_m2=40.0)))
    found = draft(of, guide=keyed(of, 0.0, 0.0))
    assert times(found)[0] == (1, 390, 522)


def test_a_zone_whose_window_closes_soon_comes_first_where_that_weighs():
    shut = (make.closure(ClosureScope.ZONE, "Z2", from_min=600, to_min=1200),)
    of = problem(zones=zones(2), closures=shut)
    found = draft(of, guide=keyed(of, 0.0, 1.0, close=1.0, fill=False))
    assert [zone for zone, _, _ in times(found)] == [1, 0]
    careless = draft(of, guide=keyed(of, 0.0, 1.0, close=0.0, fill=False))
    assert [zone for zone, _, _ in times(careless)] == [0, 1]


def test_a_zone_that_can_start_at_once_comes_before_one_that_has_to_wait():
    row = (make.zone("Z1", ready_from_min=420), make.zone("Z2"))
    of = problem(zones=row)
    # 30 min of waiting against a preference of 29, or 31, min
    for preference, order in ((29.0, [1, 0]), (31.0, [0, 1])):
        guide = keyed(of, 0.0, preference, wait=1.0, close=0.0, length=0.0, fill=False)
        assert [zone for zone, _, _ in times(draft(of, guide=guide))] == order


def test_a_layer_that_may_soon_come_too_late_comes_first():
    mixes = (make.mix(layer_max_mm=50.0, layer_gap_min_h=1.0, layer_gap_max_h=4.0),)
    row = (make.zone("Z1"), make.zone("Z2", depth_mm=50.0, area_m2=400.0))
    of = problem(zones=row, mixes=mixes)
    board = Board(of)
    first = draft_run(board, plain(of), Stretch(0, 0, 0, 0, 360, 438))  # 33 min and no more
    assert times(first) == [(0, 390, 423)]
    assert first is not None
    board.commit_run(first)
    again = draft_run(board, keyed(of, 500.0, 0.0), Stretch(0, 0, 0, 0, 460, 1080))
    assert times(again)[0][0] == 0


def test_the_latest_start_of_a_layer_is_still_in_time():
    mixes = (make.mix(layer_max_mm=50.0, layer_gap_min_h=1.0, layer_gap_max_h=2.0),)
    of = problem(mixes=mixes)
    for start, spells in ((513, [(0, 543, 576)]), (514, [])):  # 423 + 120 = 543
        board = Board(of)
        first = draft_run(board, plain(of), Stretch(0, 0, 0, 0, 360, 438))
        assert first is not None
        board.commit_run(first)
        assert times(draft_run(board, plain(of), Stretch(0, 0, 0, 0, start, 1080))) == spells


def test_work_in_a_run_waits_for_that_in_a_zone_kept_apart():
    pair = (Apart(zone_a=ZoneId("Z1"), zone_b=ZoneId("Z2"), kind=ApartKind.WORK),)
    for joint in (False, True):
        of = problem(zones=zones(2, joint_allowed=joint), apart=pair)
        board = Board(of)
        board.work[1].append((380, 456))
        guide = replace(plain(of), banned=frozenset({1}))
        found = draft_run(board, guide, Stretch(0, 0, 0, 0, 360, 520))
        # the zone change may begin at 456; the spell from 466 until 505 at most
        assert times(found) == ([(0, 466, 505)] if joint else [])
        whole = draft_run(board, guide, Stretch(0, 0, 0, 0, 360, 1080))
        assert joint or times(whole) == [(0, 466, 532)]


def test_the_rest_of_a_run_is_filled_as_full_as_whole_spells_can_fill_it():
    # 2 m³/h without overbreak: 60, 50 and 40 min; after the first there is room for 100 with
    # a change each: 50 + 40 fill it, 60 alone does not
    row = (
        make.zone("Z1", volume_m3=1.0),  # 30 min
        make.zone("Z2", volume_m3=2.0),  # 60
        make.zone("Z3", volume_m3=5 / 3),  # 50
        make.zone("Z4", volume_m3=4 / 3),  # 40
    )
    of = problem(zones=row)
    first_then = (-1000.0, 0.0, 1.0, 2.0)
    end = 360 + 30 + 30 + 10 + 50 + 10 + 40 + 15
    filled = draft(of, end=end, guide=keyed(of, *first_then, fill=True))
    greedy = draft(of, end=end, guide=keyed(of, *first_then, fill=False))
    assert [zone for zone, _, _ in times(filled)] == [0, 2, 3]
    assert [zone for zone, _, _ in times(greedy)] == [0, 1]


def test_a_long_wait_ends_a_run():
    row = (make.zone("Z1"), make.zone("Z2", ready_from_min=700))
    of = problem(zones=row)
    # from 456 to 700 are 244 min; a run waits 180 and the zone change
    assert [zone for zone, _, _ in times(draft(of))] == [0]
    patient = keyed(of, 0.0, 0.0, split_wait=234)
    assert [zone for zone, _, _ in times(draft(of, guide=patient))] == [0, 1]


def test_a_duty_cuts_a_run():
    of = problem(zones=zones(3), crews=(make.crew(duty_max_min=187, rest_min_min=600),))
    # 20 + 10 + 66 + 10 + 66 + 15 = 187
    assert len(times(draft(of))) == 2
    shorter = problem(zones=zones(3), crews=(make.crew(duty_max_min=186, rest_min_min=600),))
    assert len(times(draft(shorter))) == 1


def test_a_layer_that_does_not_fit_is_split_where_a_joint_is_allowed():
    of = problem(zones=zones(1, joint_allowed=True))
    found = draft(of, 360, 450)  # 45 min left for spraying
    assert found is not None
    (one,) = found.pieces
    assert (one.start, one.end) == (390, 435)
    assert one.volume == pytest.approx(1.5)  # 45 min at 2 m³/h


def test_a_split_leaves_at_least_the_shortest_spell():
    of = problem(zones=zones(1, joint_allowed=True))
    (one,) = times(draft(of, 360, 470))  # 65 of 66 min would fit; 51 leave 15
    assert one == (0, 390, 441)


def test_a_stretch_shorter_than_the_shortest_spell_is_not_used():
    of = problem(zones=zones(1, joint_allowed=True))
    assert times(draft(of, 360, 420)) == [(0, 390, 405)]  # 15 min
    assert draft(of, 360, 419) is None


def test_a_crew_or_mix_that_does_not_fit_drafts_nothing():
    of = problem(
        crews=(make.crew(orientations=(Orientation.FLOOR,)), make.crew("C2")),
        mixes=(make.mix("dry"), make.mix("fine")),
        zones=zones(1, mixes=(MixId("dry"),)),
    )
    assert draft(of, crew=0) is None
    assert draft(of, crew=1, mix=1) is None
    assert draft(of, crew=1, mix=0) is not None


def test_before_its_panel_is_old_enough_a_crew_does_not_spray():
    of = problem(rules=rules(panel_days=1.0))
    assert draft(of) is None
    board = Board(of)
    board.panels[0, 0, Orientation.OVERHEAD] = 400
    found = draft_run(board, plain(of), Stretch(0, 0, 0, 0, DAY + 360, DAY + 1080))
    assert times(found) == [(0, 400 + DAY, 466 + DAY)]


def test_live_ways_are_those_of_zones_that_are_neither_done_banned_dead_nor_anothers():
    of = problem(zones=zones(4), positions=(make.position("P1"), make.position("P2", y_m=1.0)))
    board = Board(of)
    board.dead.add(0)
    guide = replace(plain(of), banned=frozenset({1}), share={2: frozenset({(0, 1)})})
    assert [way.zone for way in live_ways(board, guide, (0, 0, 0))] == [3]
    assert [way.zone for way in live_ways(board, guide, (0, 1, 0))] == [2, 3]


def test_a_zone_whose_latest_start_has_gone_by_is_dead():
    of = problem(mixes=(make.mix(layer_max_mm=50.0, layer_gap_max_h=13.0),))
    board = Board(of)
    first = draft_run(board, plain(of), Stretch(0, 0, 0, 0, 360, 1080))
    assert first is not None
    board.commit_run(first)
    again = draft_run(board, plain(of), Stretch(0, 0, 0, 0, 2 * DAY, 2 * DAY + 700))
    assert again is None
    assert board.dead == {0}


def test_drafting_counts_the_spells_it_looked_at():
    of = problem(zones=zones(2))
    board = Board(of)
    draft_run(board, plain(of), Stretch(0, 0, 0, 0, 360, 1080))
    # two for the first spell, one for the second, and nothing is left to look at
    assert board.drafted == 3


def test_zones_that_wait_are_not_drafted():
    row = (make.zone("Z1", after=(ZoneId("Z2"),)), make.zone("Z2", ready_from_min=5 * DAY))
    assert draft(problem(zones=row)) is None
