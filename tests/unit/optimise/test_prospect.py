"""What a position offers a roaming rig in the next tides."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from planner.model.identifiers import ZoneId
from planner.model.limits import ClosureScope
from planner.optimise.board import Board, DraftRun
from planner.optimise.decode import decode
from planner.optimise.guide import Weights
from planner.optimise.problem import Problem
from planner.optimise.prospect import Prospect
from tests import builders as make
from tests.unit.optimise.scenes import DAY, broken_rules, piece, plain, problem, whole, zones


def value(of: Problem, board: Board | None = None, minute: int = 0, **weights: Any) -> float:
    """What the first position offers the first rig."""
    guide = replace(plain(of), weights=replace(Weights(), **{"scarce": 0.0, **weights}))
    return Prospect(of, guide).value(Board(of) if board is None else board, 0, 0, minute)


def test_open_work_counts_with_its_zone_changes():
    # 66 + 10 min each
    assert value(problem(zones=zones(3))) == 3 * 76
    thin = problem(mixes=(make.mix(layer_max_mm=50.0),))
    assert value(thin) == 2 * (33 + 10)


def test_no_more_counts_than_is_open_in_the_look_ahead():
    shut = tuple(
        make.closure(ClosureScope.ZONE, zone, from_min=100, to_min=3 * DAY)
        for zone in ("Z1", "Z2")
    )
    of = problem(zones=zones(3), closures=shut)
    # both may be sprayed from minute 20 to 90, 70 min together; the third all day
    assert value(of) == 70 + 76


def test_zones_that_are_not_open_soon_done_or_waiting_count_for_nothing():
    row = (make.zone("Z1"), make.zone("Z2", after=(ZoneId("Z1"),)), make.zone("Z3"))
    shut = (make.closure(ClosureScope.ZONE, "Z3", from_min=0, to_min=3 * DAY),)
    of = problem(zones=row, closures=shut)
    assert value(of) == 76
    board = Board(of)
    board.spray(DraftRun(rig=0, crew=0, position=0, mix=0), piece(390), 0, ends_layer=True)
    assert value(of, board) == 76  # now it is the second that may be sprayed
    assert value(of, minute=3 * DAY) == 76 + 76


def test_zones_of_scarce_windows_count_more():
    shut = (make.closure(ClosureScope.ZONE, "Z1", from_min=7 * DAY, to_min=15 * DAY),)
    of = problem(zones=zones(2), closures=shut)
    # open for half the time: 1 + 4 x 0.5 x 0.5, so twice
    assert value(of, scarce=4.0) == pytest.approx(76 + 2 * 76, rel=0.01)


def test_the_rest_of_a_zone_that_is_begun_counts_three_times():
    of = problem(mixes=(make.mix(layer_max_mm=50.0, layer_gap_min_h=0.0),))
    board = Board(of)
    draft = DraftRun(rig=0, crew=0, position=0, mix=0)
    board.spray(draft, piece(390, 423, volume=1.1), 0, ends_layer=True)
    assert value(of, board) == 3 * 43


@pytest.mark.parametrize(("roam", "done"), [(0.0, False), (1.3, True)])
def test_a_roaming_rig_goes_where_windows_are_scarce_before_they_are_gone(roam, done):
    places = (make.position("P1"), make.position("P2", x_m=300.0))
    common = tuple(make.zone(f"A{k}") for k in range(25))
    scarce = tuple(make.zone(f"B{k}", x_m=300.0) for k in range(4))
    shut = tuple(
        make.closure(ClosureScope.ZONE, zone.zone_id, from_min=2 * DAY, to_min=15 * DAY)
        for zone in scarce
    )
    # from P1 25 x 76 min, of which 1430 are open in a day; from P2 4 x 76 min, open a seventh of
    # the time and so counted 1 + 8 x (6 / 7)² = 6.9 times: 2090 > 1.3 x 1430
    of = problem(
        zones=(*common, *scarce), positions=places, rigs=(make.rig(at="P1"),), closures=shut
    )
    weights = replace(Weights(), roam=roam, look=DAY, scarce=8.0)
    board, _ = decode(of, replace(plain(of), weights=weights))
    assert broken_rules(of, whole(board)) == []
    assert all(board.is_done(z) for z in range(25, 29)) == done
