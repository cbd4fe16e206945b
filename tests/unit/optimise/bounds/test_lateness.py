"""Days late of zones that are due together."""

from __future__ import annotations

from planner.optimise.bounds.lateness import least_late_days
from tests import builders as make
from tests.unit.optimise.scenes import DAY, zones


def never(_: frozenset[int], low: int) -> int:
    return low


def test_a_zone_is_late_by_its_own_chain():
    patches = (make.zone("Z1", due_min=DAY), make.zone("Z2", due_min=3 * DAY))
    # 1/2 day late; the other ends a day before it is due
    assert least_late_days(patches, {0: DAY + DAY // 2, 1: 2 * DAY}, never) == 0.5


def test_zones_without_a_date_are_never_late():
    assert least_late_days(zones(2), {0: 5 * DAY, 1: 5 * DAY}, never) == 0.0


def test_the_last_of_zones_due_together_is_late_by_their_finish_in_place_of_its_own():
    patches = zones(2, due_min=DAY)
    ends = {0: DAY + 120, 1: DAY + 240}
    # own: 2 h + 4 h; both together end 10 h late, so the last adds 10 - 4 at least
    found = least_late_days(patches, ends, lambda _, low: max(low, DAY + 600))
    assert found == (120 + 240 + 600 - 240) / DAY


def test_the_finish_is_asked_of_the_zones_due_by_a_date_only():
    patches = (make.zone("Z1", due_min=DAY), make.zone("Z2", due_min=2 * DAY))
    asked = []

    def finish(some: frozenset[int], low: int) -> int:
        asked.append((some, low))
        return low

    assert least_late_days(patches, {0: 60, 1: 90}, finish) == 0.0
    assert asked == [(frozenset({0}), 60), (frozenset({0, 1}), 90)]
