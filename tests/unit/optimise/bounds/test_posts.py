"""Cases of what a team can do in a cell."""

from __future__ import annotations

from typing import Any

import pytest

from planner.model.limits import ClosureScope
from planner.optimise.bounds import posts
from planner.optimise.bounds.posts import NEVER, Post, Site, joined
from planner.optimise.bounds.work import Work
from tests import builders as make
from tests.unit.optimise.scenes import DAY, problem, zones

TWO_PLACES = (make.position("P1"), make.position("P2", x_m=150.0))
APART = (make.zone("Z1"), make.zone("Z2", x_m=160.0), make.zone("Z3", x_m=75.0))


def site(*, crews_count: bool = False, **changes: Any) -> Site:
    return Site(Work(problem(**changes)), DAY, crews_count=crews_count)


def minutes(post: Post) -> list[int | None]:
    return [None if m == NEVER else int(m) for m in post.minutes]


def test_a_rig_at_one_position_is_one_post():
    (post,) = site(zones=zones(2)).posts
    assert (post.rig, post.loss, minutes(post)) == (0, 0, [76, 76])
    assert (post.low.tolist(), post.high.tolist()) == ([380], [1065])


def test_work_from_two_positions_loses_a_relocation_between():
    found = site(zones=APART, positions=TWO_PLACES).posts
    assert [(minutes(post), post.loss) for post in found] == [
        ([76, None, 76], 0),
        ([None, 76, 76], 0),
        ([76, 76, 76], 15 + 60 + 20),
    ]


def test_one_crew_with_two_rigs_loses_clean_up_and_start_up_between():
    rigs = (make.rig("R1"), make.rig("R2", start_up_min=5, rate_m3_h=10.0))
    found = site(rigs=rigs).posts
    assert [(post.rig, post.loss, minutes(post)) for post in found] == [
        (0, 0, [76]),
        (1, 0, [43]),
        (None, 5 + 15, [43]),
    ]


def test_with_a_crew_for_each_rig_two_rigs_in_one_run_of_crews_matter_for_counts_only():
    rigs = (make.rig("R1"), make.rig("R2"))
    crews = (make.crew("C1"), make.crew("C2"))
    assert [post.rig for post in site(rigs=rigs, crews=crews).posts] == [0, 1]
    counted = site(rigs=rigs, crews=crews, crews_count=True)
    assert [post.rig for post in counted.posts] == [0, 1, None]


def test_two_posts_joined_can_do_what_either_can():
    one, other, _ = site(
        zones=APART,
        positions=TWO_PLACES,
        closures=(make.closure(ClosureScope.POSITION, "P2", from_min=0, to_min=600),),
    ).posts
    assert (one.low.tolist(), other.low.tolist()) == ([380], [620])
    both = joined(one, other, 0)
    assert minutes(both) == [76, 76, 76]
    assert (both.low.tolist(), both.high.tolist()) == ([380], [1065])


def test_many_positions_that_see_the_same_share_a_post(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(posts, "MOST_POSTS", 1)
    gathered = site(zones=APART, positions=TWO_PLACES).posts
    assert minutes(gathered[0]) == [76, 76, 76]
    assert gathered[0].loss == 0


def test_spans_that_are_given_stand_for_the_tasks_own():
    of = site(zones=zones(2))
    first = Site(Work(of.problem), DAY, spans=[task.spans.clip(0, 500) for task in of.tasks])
    assert [(a, b) for a, b in first.groups[0]][-1][1] == 500
