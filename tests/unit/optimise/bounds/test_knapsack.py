"""The most worth of one run, against trying every choice."""

from __future__ import annotations

from itertools import product

import numpy as np

from planner.optimise.bounds.knapsack import Item, Part, good_choices, most_worth


def item(minutes: int, worth: int, band: int = 0, copies: int = 1, part: Part | None = None):
    return Item(kind=0, band=band, minutes=minutes, worth=worth, copies=copies, part=part)


def most(caps: list[int], items: list[Item], own: list[int] | None = None) -> int:
    """Most worth in one cell, its bands' capacities given from the narrowest."""
    rows = np.array(caps, dtype=np.int64)[:, None]
    alone = rows if own is None else np.array(own, dtype=np.int64)[:, None]
    return int(most_worth(rows, alone, items)[0])


def test_the_better_half_is_taken_where_not_all_fits():
    items = [item(60, 10), item(50, 9), item(40, 8)]
    assert most([100], items) == 18  # 60 + 40
    assert most([90], items) == 17  # 50 + 40
    assert most([150], items) == 27
    assert most([39], items) == 0


def test_no_more_copies_are_taken_than_there_are():
    assert most([100], [item(20, 3, copies=3)]) == 9
    assert most([50], [item(20, 3, copies=3)]) == 6


def test_a_narrow_band_holds_little_and_what_it_leaves_goes_to_the_wide_one():
    narrow, wide = item(30, 10, 0, copies=4), item(30, 6, 1, copies=4)
    assert most([60, 120], [narrow, wide]) == 2 * 10 + 2 * 6
    assert most([60, 60], [narrow, wide]) == 20


def test_a_band_without_minutes_of_its_own_takes_nothing():
    assert most([60, 120], [item(30, 10, 0), item(30, 6, 1)], own=[60, 0]) == 10


def test_a_part_is_worth_its_minutes():
    # 10 min change, then 20 to 50 min worth 2 each
    split = item(100, 150, part=Part(change=10, least=20, most=50, slope=2, base=0))
    assert most([29], [split]) == 0
    assert most([30], [split]) == 40
    assert most([45], [split]) == 70
    assert most([99], [split]) == 100
    assert most([100], [split]) == 150


def test_many_cells_are_filled_at_once_as_one_by_one():
    items = [item(7, 5, copies=2), item(4, 3, 1), item(3, 2, 1)]
    caps = np.array([[0, 7, 14, 8], [5, 7, 20, 15]], dtype=np.int64)
    together = most_worth(caps, caps, items).tolist()
    assert together == [most(caps[:, k].tolist(), items) for k in range(4)] == [3, 5, 13, 10]


def test_the_most_is_that_of_trying_every_choice():
    rng = np.random.default_rng(1)
    for _ in range(200):
        caps = np.sort(rng.integers(0, 40, size=2)).tolist()
        items = [
            item(int(m), int(w), int(b))
            for m, w, b in zip(
                rng.integers(1, 20, 6), rng.integers(1, 20, 6), rng.integers(0, 2, 6), strict=True
            )
        ]
        best = 0
        for taken in product((False, True), repeat=len(items)):
            chosen = [one for one, yes in zip(items, taken, strict=True) if yes]
            narrow = sum(one.minutes for one in chosen if one.band == 0)
            if narrow <= caps[0] and sum(one.minutes for one in chosen) <= caps[1]:
                best = max(best, sum(one.worth for one in chosen))
        assert most(caps, items) == best


def test_a_good_choice_fits_and_has_the_most_worth_where_nothing_is_split():
    items = [Item(k, 0, m, w, 1) for k, (m, w) in enumerate([(60, 10), (50, 9), (40, 8)])]
    caps = np.array([[100, 90, 30]], dtype=np.int64)
    choices = good_choices(caps, caps, items)
    assert [sorted(taken.kind for taken in choice) for choice in choices] == [[0, 2], [1, 2], []]
