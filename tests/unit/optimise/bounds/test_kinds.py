"""Tasks that are alike, put together."""

from __future__ import annotations

from typing import Any

import numpy as np

from planner.model.limits import ClosureScope
from planner.optimise.bounds import kinds as kinds_module
from planner.optimise.bounds.kinds import Kinds, kinds_of
from planner.optimise.bounds.posts import Site
from planner.optimise.bounds.work import Work
from tests import builders as make
from tests.unit.optimise.scenes import DAY, problem, zones


def kinds(**changes: Any) -> Kinds:
    return kinds_of(Site(Work(problem(**changes)), DAY))


def test_zones_alike_are_one_kind():
    found = kinds(zones=zones(3))
    assert (len(found), found.count.tolist(), found.minutes.tolist()) == (1, [3], [[76]])


def test_zones_of_other_lengths_windows_or_with_joints_are_other_kinds():
    patches = (
        *zones(2),
        make.zone("Z3", area_m2=40.0),
        make.zone("Z4", joint_allowed=True),
        make.zone("Z5"),
    )
    shut = (make.closure(ClosureScope.ZONE, "Z5", from_min=600, to_min=700),)
    found = kinds(zones=patches, closures=shut)
    assert len(found) == 4
    assert sorted(found.count.tolist()) == [1, 1, 1, 2]
    assert sorted(found.least.tolist()) == [76, 76, 76, 142]
    assert found.of_task[0] == found.of_task[1]


def test_minutes_stand_for_each_post_and_the_least_of_them_counts():
    found = kinds(rigs=(make.rig("R1"), make.rig("R2", rate_m3_h=10.0)))
    assert found.minutes[:, 0].tolist() == [76, 43, 43]
    assert found.least.tolist() == [43]
    assert found.longest_spell.tolist() == [66.0]


def test_rough_kinds_put_together_those_that_differ_by_little(monkeypatch: Any):
    # 66, 69.3 and 132 min of spells
    patches = (make.zone("Z1"), make.zone("Z2", area_m2=21.0), make.zone("Z3", area_m2=40.0))
    assert len(set(kinds(zones=patches).rough.tolist())) == 3
    monkeypatch.setattr(kinds_module, "MOST_ROUGH", 2)
    rough = kinds(zones=patches)
    of_zone = rough.rough[rough.of_task]
    assert of_zone[0] == of_zone[1] != of_zone[2]
    assert np.array_equal(rough.minutes, kinds(zones=patches).minutes)
