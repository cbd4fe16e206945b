"""What a post offers to the knapsack."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from planner.optimise.bounds import offers as offers_module
from planner.optimise.bounds.knapsack import Item, most_worth
from planner.optimise.bounds.packing import Packing, Prices
from planner.optimise.bounds.posts import Site
from planner.optimise.bounds.work import Work
from tests import builders as make
from tests.unit.optimise.scenes import DAY, problem, rules, zones


def packing(**changes: Any) -> Packing:
    return Packing(Site(Work(problem(**changes)), DAY), ())


def items(of: Packing, worth: int, longest: int) -> list[Item]:
    return of.items(0, Prices(np.full(len(of.kinds), worth), np.zeros(0, np.int64)), longest)


def test_of_like_zones_no_more_are_offered_than_a_cell_holds():
    of = packing(zones=zones(30))
    (one,) = items(of, 5, 685)
    assert (one.minutes, one.worth, one.copies, one.part) == (76, 5, 9, None)
    assert items(of, 5, 75) == []
    assert items(of, 0, 685) == []


def test_a_layer_that_may_be_split_leaves_a_piece_for_another_cell():
    of = packing(zones=zones(1, joint_allowed=True), rules=rules(spell_min_min=30))
    (one,) = items(of, 66_000, 685)
    assert one.part is not None
    # a piece lasts 30 min at least, and leaves more than 29 of 66: 37 min at most
    assert (one.part.change, one.part.least, one.part.most) == (10, 30, 37)
    assert one.part.slope == pytest.approx(1000, abs=1)


def test_a_split_layer_is_offered_where_the_whole_does_not_fit():
    of = packing(zones=zones(1, joint_allowed=True), rules=rules(spell_min_min=30))
    (one,) = items(of, 66_000, 60)
    assert one.minutes > 60
    caps = np.array([[45]], dtype=np.int64)
    # 45 min: 10 change and 35 of 66 min
    assert int(most_worth(caps, caps, [one])[0]) == pytest.approx(35_000, rel=1e-2)


def test_parts_put_together_are_worth_no_less(monkeypatch: pytest.MonkeyPatch):
    patches = tuple(make.zone(f"Z{k}", area_m2=20.0 + k, joint_allowed=True) for k in range(6))
    of = packing(zones=patches, rules=rules(spell_min_min=20))
    caps = np.arange(0, 300, 7, dtype=np.int64)[None, :]
    alone = most_worth(caps, caps, items(of, 70_000, 300))
    monkeypatch.setattr(offers_module, "MOST_PARTS", 2)
    together = most_worth(caps, caps, items(of, 70_000, 300))
    assert (together >= alone).all()
