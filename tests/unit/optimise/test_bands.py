"""Windows nested in one run: what narrow ones need is kept for them."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from planner.core.spans import Spans
from planner.model.limits import Closure, ClosureScope
from planner.optimise.bands import Band, bands_of, inner_bands
from planner.optimise.board import Board
from planner.optimise.guide import Weights
from planner.optimise.problem import Problem
from planner.optimise.runs import Stretch, draft_run
from tests import builders as make
from tests.unit.optimise.scenes import DAY, plain, problem


def shut(zone: str, start: int, end: int) -> Closure:
    """A zone that cannot be worked in a stretch."""
    return make.closure(ClosureScope.ZONE, zone, from_min=start, to_min=end)


def low_water(**wide: Any) -> Problem:
    """Z1 is open all day; Z2 only from 09:50 to 12:10, less 10 min to get in and to get out."""
    return problem(
        zones=(
            make.zone("Z1", volume_m3=9.0, **wide),
            make.zone("Z2", volume_m3=3.0, joint_allowed=True),
        ),
        closures=(shut("Z2", 0, 590), shut("Z2", 730, 10 * DAY)),
    )


def sprayed(of: Problem, inner: float) -> list[tuple[int, int, int]]:
    """Zone, start and end of each spell of a run from 06:00 on that dislikes waiting."""
    guide = replace(plain(of), weights=Weights(wait=4.0, inner=inner, begun=0.0))
    found = draft_run(Board(of), guide, Stretch(0, 0, 0, 0, 360, 1080))
    return [] if found is None else [(one.zone, one.start, one.end) for one in found.pieces]


def test_a_band_counts_the_work_that_has_no_wider_window():
    of = low_water()
    wide, narrow = bands_of(Board(of), 0, of.at[0, 0, 0], 380, 1065)
    # 30 min a cubic metre and 10 min of change each: 280 + 100
    assert (wide.start, wide.end, wide.need) == (20, 1065, 380)
    # get-in, then the change: 590 + 10 + 10; out at 730 - 10
    assert narrow == Band(610, 720, 100)


def test_nothing_is_lost_while_the_narrow_work_still_fits():
    band = Band(610, 720, 100)
    assert [band.lost(minute) for minute in (500, 610, 620, 630, 720, 900)] == [
        0,
        0,
        0,
        10,
        100,
        100,
    ]


def test_bands_inside_a_window_are_narrower_than_it():
    bands = (Band(0, 100, 0), Band(20, 80, 0), Band(50, 150, 0))
    assert inner_bands(bands, Spans([(0, 100)]), 10, 500) == [Band(20, 80, 0)]
    # a run that ends at 80 cuts the window: nothing is narrower at its end, all at its start
    assert inner_bands(bands, Spans([(20, 100)]), 30, 80) == []


def test_a_long_spell_is_cut_short_before_the_narrow_window_needs_the_rig():
    # Z2 needs 90 min and a change before 720: the rig is free for it at 620
    of = low_water(joint_allowed=True)
    first, second, *_ = sprayed(of, inner=1.0)
    assert first == (0, 390, 620)
    assert second == (1, 630, 720)


def test_without_that_weight_the_long_spell_takes_the_window():
    first, second, *_ = sprayed(low_water(joint_allowed=True), inner=0.0)
    assert first == (0, 390, 660)
    # of 90 min 50 fit
    assert second == (1, 670, 720)


def test_a_spell_that_may_not_be_cut_waits_for_the_narrow_window():
    of = low_water(joint_allowed=False)
    assert sprayed(of, inner=30.0)[0][0] == 1
    assert sprayed(of, inner=0.0)[0] == (0, 390, 660)
