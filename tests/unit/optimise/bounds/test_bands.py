"""Nested capacities of a post: never less than what one rig can do there."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from planner.model.limits import ClosureScope
from planner.optimise.bounds.bands import MOST_BANDS, Bands, bands_of
from planner.optimise.bounds.claims import Claims
from planner.optimise.bounds.posts import Post, Site
from planner.optimise.bounds.work import Work
from tests import builders as make
from tests.unit.optimise.scenes import DAY, problem


def shut(zone: str, *stretches: tuple[int, int]) -> tuple[Any, ...]:
    """Closures of a zone on the first day; 10 min before and after each are lost to people."""
    return tuple(make.closure(ClosureScope.ZONE, zone, from_min=a, to_min=b) for a, b in stretches)


def bands(**changes: Any) -> tuple[Site, Post, Bands]:
    site = Site(Work(problem(**changes)), DAY)
    return site, site.posts[0], bands_of(site, site.posts[0])


def capacities(
    most: int | None = None, **changes: Any
) -> tuple[list[int], list[int], list[list[int]]]:
    site, post, found = bands(**changes)
    if most is not None:
        found = bands_of(site, post, most)
    chain, own, more = found.caps(site.rulers, post.low, post.high)
    return chain[:, 0].tolist(), own[:, 0].tolist(), more.tolist()


NESTED: dict[str, Any] = {
    "zones": (make.zone("Z1"), make.zone("Z2")),
    "closures": shut("Z1", (0, 590), (730, DAY)),  # Z1 open from 10:00 to 12:00
}


def test_zones_with_one_window_share_a_band():
    _, _, found = bands(zones=(make.zone("Z1"), make.zone("Z2")))
    assert len(found.parts) == 1
    assert found.orders == ()


def test_the_narrow_window_comes_first_and_the_wide_one_holds_both():
    chain, own, _ = capacities(**NESTED)
    # 120 min for Z1; 380 to 1065 for both
    assert chain == [120, 685]
    assert own == [120, 685]


def test_windows_side_by_side_hold_their_hull_together():
    patches = (*NESTED["zones"], make.zone("Z3"))
    closures = (*shut("Z1", (590, DAY)), *shut("Z2", (0, 710)))
    # Z1 until 09:40 (200 min), Z2 from 12:00 on (345 min), Z3 all day
    chain, own, _ = capacities(zones=patches, closures=closures)
    assert own == [200, 345, 685]
    assert chain == [200, 685, 685]


def test_what_lies_between_runs_is_lost_to_all_bands():
    site, post, found = bands(**NESTED)
    losing = Bands(found.parts, found.of_group, found.orders, 600)
    chain, own, _ = losing.caps(site.rulers, post.low, post.high)
    assert chain[:, 0].tolist() == [85, 85]
    assert own[:, 0].tolist() == [85, 85]


def test_bands_put_together_hold_no_less():
    parted, _, _ = capacities(**NESTED)
    together, _, _ = capacities(1, **NESTED)
    assert together == [685]
    assert parted[-1] <= together[-1]


def test_each_row_names_the_bands_that_it_holds():
    site, post, found = bands(**NESTED)
    rows = found.rows(*found.caps(site.rulers, post.low, post.high))
    assert [(sorted(mine), minutes.tolist()) for mine, minutes in rows[:3]] == [
        ([0], [120]),
        ([0, 1], [685]),
        ([1], [685]),
    ]


def many_windows() -> dict[str, Any]:
    """More zones, each with a window of its own, than a post has bands."""
    names = [f"Z{k}" for k in range(18)]
    return {
        "zones": tuple(make.zone(name) for name in names),
        "closures": tuple(
            make.closure(ClosureScope.ZONE, name, from_min=3 * DAY + 10 * k, to_min=4 * DAY)
            for k, name in enumerate(names)
        ),
    }


def test_a_crew_that_comes_after_the_finish_has_a_post_without_cells():
    crews = (make.crew("C1"), make.crew("C2", available_from_min=8 * DAY))
    of = problem(**many_windows(), crews=crews)
    site = Site(Work(of), 2 * DAY)
    assert [len(cells) for cells in site.cells] == [2, 0]
    assert len(bands_of(site, site.posts[1]).parts) == MOST_BANDS
    # 18 zones of 76 min in two days of 685, of which the last ends on the second at 17:44
    claims = Claims(of)
    finish = claims.finish_min(18 * 2.2, of.end, whole=True)
    assert finish == DAY + 380 + 9 * 76


def open_minutes(site: Site, groups: tuple[int, ...]) -> NDArray[np.bool_]:
    """Say of every minute of the first day whether some window of some groups holds it."""
    found = np.zeros(DAY, dtype=bool)
    for g in groups:
        for start, end in site.groups[g]:
            found[max(0, start) : max(0, end)] = True
    return found


@pytest.mark.parametrize("seed", range(12))
def test_no_work_in_the_windows_of_some_bands_exceeds_their_row(seed: int):
    rng = np.random.default_rng(seed)
    names = ("Z1", "Z2", "Z3")
    closures: tuple[Any, ...] = ()
    for name in names:
        a, b = sorted(rng.integers(300, 1100, 2).tolist())
        closures += shut(name, (a, b + 1))
    patches = tuple(make.zone(name) for name in names)
    site, post, _ = bands(zones=patches, closures=closures)
    found = bands_of(site, post, 2)
    stretches = list(zip(post.low.tolist(), post.high.tolist(), strict=True))
    for mine, capacity in found.rows(*found.caps(site.rulers, post.low, post.high)):
        minutes = open_minutes(site, tuple(g for band in mine for g in found.parts[band]))
        assert all(
            minutes[low:high].sum() <= most
            for (low, high), most in zip(stretches, capacity.tolist(), strict=True)
        )
