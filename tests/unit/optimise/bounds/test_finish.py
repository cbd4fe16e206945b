"""Which finishes are refuted: sums of minutes done by hand.

In the scene of :mod:`tests.builders` a day holds zone work from 06:20 (380) to 17:45 (1065), 685
min, and a zone takes 76 min.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from planner.model.identifiers import Goal, PositionId, ZoneId
from planner.model.limits import ClosureScope
from planner.model.zone import Zone
from planner.optimise.bounds.claims import Claims
from planner.optimise.bounds.finish import Hunt, is_refuted
from planner.optimise.hand_rule import hand_rule
from planner.optimise.score import Scored
from tests import builders as make
from tests.unit.optimise.scenes import DAY, problem, zones

TWO_RIGS = (make.rig("R1"), make.rig("R2"))
TWO_CREWS = (make.crew("C1"), make.crew("C2"))


def finish(volume_m3: float | None = None, **changes: Any) -> int:
    claims = Claims(problem(**changes))
    of = claims.problem
    volume = sum(of.left_volume[z] for z in claims.possible) if volume_m3 is None else volume_m3
    hunt = Hunt(claims.work, claims.possible, volume, of.start, of.end, 40, lambda: False)
    return hunt.run()


def refuted(minute: int, **changes: Any) -> bool:
    claims = Claims(problem(**changes))
    volume = sum(claims.problem.left_volume[z] for z in claims.possible)
    return is_refuted(claims.work, claims.possible, volume, minute)


@pytest.mark.parametrize("count", [1, 2, 5, 9])
def test_zones_of_one_day_follow_each_other_after_start_up(count: int):
    assert finish(zones=zones(count)) == 380 + count * 76


@pytest.mark.parametrize(("count", "on_the_second"), [(10, 1), (12, 3), (18, 9)])
def test_nine_zones_fit_into_a_day_and_the_rest_follows(count: int, on_the_second: int):
    assert finish(zones=zones(count)) == DAY + 380 + on_the_second * 76


def test_layers_are_not_cut_to_fill_a_day():
    # 270 min with the change, two a day though 685 min would hold two and a half
    patches = zones(5, area_m2=None, depth_mm=None, volume_m3=260 / 30)
    assert finish(zones=patches) == 2 * DAY + 380 + 270


def test_layers_that_may_be_split_fill_the_day_but_each_piece_needs_a_change():
    patches = zones(5, area_m2=None, depth_mm=None, volume_m3=260 / 30, joint_allowed=True)
    found = finish(zones=patches)
    # 1300 min of spells and 5 to 6 changes: 685 min today, 665 to 675 tomorrow
    assert DAY + 380 + 655 <= found <= DAY + 380 + 675


def test_two_rigs_work_side_by_side_with_two_crews_only():
    assert finish(zones=zones(6), rigs=TWO_RIGS, crews=TWO_CREWS) == 380 + 3 * 76
    places = (make.position(rigs_max=2),)
    alone = finish(zones=zones(6), rigs=TWO_RIGS, positions=places)
    assert alone == 380 + 6 * 76


def test_of_a_volume_only_as_many_zones_are_needed_as_hold_it():
    assert finish(zones=zones(9), volume_m3=3 * 2.2) == pytest.approx(380 + 3 * 76, abs=1)


def test_a_short_window_holds_what_fits_into_it():
    # open from 06:00 to 10:00, less 10 min to get in and out: 240 - 20 = 220 min, but start-up
    # ends at 06:20: 210 min hold two zones of 76
    shut = tuple(
        make.closure(ClosureScope.SITE, from_min=d * DAY + 600, to_min=(d + 1) * DAY + 360)
        for d in range(13)
    )
    found = finish(zones=zones(5), closures=shut)
    assert 2 * DAY <= found <= 2 * DAY + 400 + 76


def test_zones_that_wait_for_each_other_follow_their_chain():
    chain = tuple(make.zone(f"Z{k}", after=(ZoneId(f"Z{k - 1}"),) if k else ()) for k in range(4))
    found = finish(zones=chain, rigs=TWO_RIGS, crews=TWO_CREWS)
    # two rigs, but one after the other: no change is left in the chain's own times
    assert 390 + 4 * 66 - 15 <= found <= 380 + 4 * 76


def test_a_relocation_lies_between_zones_of_two_positions():
    positions = (make.position("P1"), make.position("P2", x_m=300.0))
    patches = (make.zone("Z1"), make.zone("Z2", x_m=300.0))
    found = finish(zones=patches, positions=positions)
    # 76 + clean-up 15 + move 60 + start-up 20 + 76
    assert found == 380 + 76 + 15 + 60 + 20 + 76


def test_a_minute_is_refuted_exactly_before_the_finish():
    assert refuted(380 + 76 - 1)
    assert not refuted(380 + 76)
    assert refuted(DAY, zones=zones(10))
    assert not refuted(DAY + 380 + 76, zones=zones(10))


def test_from_too_few_places_all_is_refuted():
    here = (make.rig(at=PositionId("P1")),)
    assert not refuted(DAY, zones=zones(2), rigs=here)


def test_nothing_later_than_what_is_known_is_claimed():
    claims = Claims(problem(zones=zones(3)))
    hunt = Hunt(claims.work, claims.possible, 6.6, 0, 500, 40, lambda: False)
    assert hunt.run() == 500


def test_a_stopped_search_claims_only_what_it_had():
    claims = Claims(problem(zones=zones(12)))
    of = claims.problem
    hunt = Hunt(claims.work, claims.possible, 12 * 2.2, of.start, of.end, 40, lambda: True)
    assert of.start <= hunt.run() <= DAY + 380 + 3 * 76


def chained(*more: Zone) -> tuple[Zone, ...]:
    """Two zones, one after the other, and others."""
    return (make.zone("Z1"), make.zone("Z2", after=(ZoneId("Z1"),)), *more)


def test_a_zone_that_no_plan_can_hold_delays_nothing():
    # Z3 is out of reach, so Z4, ready ten days later, waits for ever
    beyond = make.zone("Z3", x_m=500.0)
    waits = make.zone("Z4", after=(ZoneId("Z3"),), ready_from_min=10 * DAY)
    assert finish(zones=chained(beyond, waits)) == 380 + 2 * 76


def test_of_zones_due_early_the_finish_does_not_wait_for_those_due_later():
    later = make.zone("Z3", after=(ZoneId("Z2"),), ready_from_min=5 * DAY, due_min=9 * DAY)
    first = tuple(replace(zone, due_min=500) for zone in chained())
    scored = Scored(hand_rule(problem(zones=(*first, later)), lambda: False)[0])
    assert scored.board.is_done(2)
    # 07:36 and, after change and spell, 08:52: 32 min after 500
    late = 32 / DAY
    assert scored.value(Goal.LATE) == pytest.approx(late, abs=1e-6)
    assert Claims(scored.problem).bound(Goal.LATE, {}, scored) == pytest.approx(late, abs=1e-6)
