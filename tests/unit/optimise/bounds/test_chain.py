"""Earliest ends by a zone's own chain, worked out by hand.

In the scene of :mod:`tests.builders` the first spell starts at 06:30 (390) at the earliest and
takes 66 min; the last one ends at 17:45 (1065), clean-up follows.
"""

from __future__ import annotations

from typing import Any

import pytest

from planner.model.identifiers import ZoneId
from planner.model.limits import ClosureScope
from planner.optimise.bounds.chain import heads_of, latest_ends, trimmed, zones_in_order
from planner.optimise.bounds.work import Work
from tests import builders as make
from tests.unit.optimise.scenes import DAY, breakers, problem, rules, zones


def ends(**changes: Any) -> list[int | None]:
    return heads_of(Work(problem(**changes))).ends


def latest(minute: int, *, planned: int = 9, **changes: Any) -> list[int] | None:
    """Latest ends where so many zones, the first ones, are planned."""
    return latest_ends(Work(problem(**changes)), minute, frozenset(range(planned)))


def two_layers(**changes: Any) -> Any:
    """100 mm in layers of 50 mm: two spells of 33 min, 12 h apart."""
    return make.mix(layer_max_mm=50.0, **changes)


def test_one_spell_ends_after_start_up_change_and_nozzle_time():
    assert ends() == [360 + 20 + 10 + 66]


def test_a_second_layer_waits_for_the_first():
    # 06:30-07:03, 12 h: 19:03 is too late, so 06:30 the next day
    assert ends(mixes=(two_layers(),)) == [DAY + 390 + 33]
    # 2 h later 09:03-09:36
    assert ends(mixes=(two_layers(layer_gap_min_h=2.0),)) == [423 + 120 + 33]


def test_a_zone_waits_for_those_before_it():
    patches = (make.zone("Z1"), make.zone("Z2", after=(ZoneId("Z1"),)))
    assert ends(zones=patches) == [456, 456 + 66]
    late = (make.zone("Z1", ready_from_min=DAY), patches[1])
    assert ends(zones=late) == [DAY + 456, DAY + 456 + 66]


def test_a_zone_that_no_hose_reaches_never_ends_nor_does_what_waits_for_it():
    patches = (make.zone("Z1", x_m=500.0), make.zone("Z2", after=(ZoneId("Z1"),)))
    assert ends(zones=patches) == [None, None]


def test_break_out_comes_first_with_the_time_to_prepare():
    crews = (make.crew(), breakers(rate_m3_h=2.1))  # 2.2 m³ in 62.9 min from 06:00
    assert ends(crews=crews) == [422 + 66]
    assert ends(crews=crews, rules=rules(prepare_min_h=2.0)) == [422 + 120 + 66]
    assert ends(crews=crews, zones=zones(1, broken_out=True)) == [456]


def test_two_break_out_crews_share_the_work():
    crews = (make.crew(), breakers(), make.crew("B2", kind=breakers().kind, rate_m3_h=2.1))
    # 2.2 m³ at 4.3 m³/h: 30.7 min
    assert ends(crews=crews, rules=rules(prepare_min_h=2.0)) == [390 + 120 + 66]


def test_the_quicker_of_two_rigs_counts():
    rigs = (make.rig("R1"), make.rig("R2", rate_m3_h=10.0))
    assert ends(rigs=rigs) == [390 + 33]


def test_a_panel_delays_the_first_spell_by_its_age():
    # panel run 06:00 + 20 + 30 + 15 = 07:05; a day later the spell
    assert ends(rules=rules(panel_days=1.0, panel_min=30)) == [DAY + 425 + 66]


def test_a_layer_that_may_be_split_counts_open_minutes():
    shut = make.closure(ClosureScope.ZONE, "Z1", from_min=420, to_min=480)
    # open until 06:50 (10 min to get out) and from 08:20 on (10 min to get in, 10 min change)
    assert ends(closures=(shut,)) == [500 + 66]
    assert ends(closures=(shut,), zones=zones(1, joint_allowed=True)) == [500 + 66 - 20]


def test_a_zone_in_the_middle_of_its_work_goes_on():
    done = make.done(done_m3=1.1, at_min=60)
    # half is left: 33 min
    begun = zones(1, joint_allowed=True)
    assert ends(zones=begun, done=(done,)) == [390 + 33]


def test_latest_ends_mirror_the_chain():
    assert latest(1000) == [1000]
    # the second layer ends by 1000 and lasts 33 min, two hours after the first
    mixes = (two_layers(layer_gap_min_h=2.0),)
    assert latest(1000, mixes=mixes) == [1000 - 33 - 120, 1000]
    patches = (make.zone("Z1"), make.zone("Z2", after=(ZoneId("Z1"),)))
    assert latest(1000, zones=patches) == [1000 - 66, 1000]
    assert latest(1000, zones=patches, planned=1) == [1000, 1000]


def test_by_a_minute_that_is_too_early_not_all_can_end():
    assert latest(455) is None
    assert latest(456) == [456]


def test_a_zone_that_is_not_asked_for_may_end_later():
    patches = (make.zone("Z1"), make.zone("Z2", ready_from_min=DAY))
    assert latest(600, zones=patches) is None
    assert latest(600, zones=patches, planned=1) == [600, 0]


def test_spans_are_cut_to_chains_outwards():
    patches = (make.zone("Z1"), make.zone("Z2", after=(ZoneId("Z1"),)))
    work = Work(problem(zones=patches))
    until = 600
    cut = trimmed(work, heads_of(work), latest_ends(work, until, frozenset({0, 1})), until)
    # Z2: its spell not before 456, the change 10 min before, rounded down to 445 - 445 % 15
    assert next(iter(cut[1]))[0] == 435
    # Z1: its spell ends by 534, rounded up to 540
    assert list(cut[0])[-1][1] == 540


def test_zones_come_after_those_they_wait_for():
    of = problem(
        zones=(
            make.zone("Z1", after=(ZoneId("Z3"),)),
            make.zone("Z2"),
            make.zone("Z3", after=(ZoneId("Z2"),)),
        )
    )
    assert zones_in_order(of) == [1, 2, 0]


@pytest.mark.parametrize("hours", [0.0, 6.0])
def test_gaps_are_counted_from_the_end_of_what_was_done(hours: float):
    done = make.done(done_m3=1.1, at_min=420)
    mixes = (two_layers(layer_gap_min_h=hours),)
    # first layer at 07:00, planning starts then
    assert ends(mixes=mixes, done=(done,)) == [max(450, 420 + int(60 * hours)) + 33]
