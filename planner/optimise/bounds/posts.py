"""Posts: a team, a rig and the positions it works from, with all that can be done there.

A run stands at one position.  So what one rig does in one cell is done from one position, or
it is done from several and at least a clean-up, a relocation and a start-up lie between; and
what one crew does in one cell is done with one rig, or at least a clean-up and a start-up lie
between.  The posts of a team list these cases; positions that are alike share a post.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from planner.core.rounding import up
from planner.core.spans import Spans
from planner.optimise.bounds.cells import Cells, Hours, Team, cells_of, hours_in, teams_of
from planner.optimise.bounds.ruler import Minutes, Ruler
from planner.optimise.bounds.tasks import Place
from planner.optimise.bounds.work import Work

MOST_POSTS = 90
"""More posts than this and positions that see the same windows share one [1]."""
MOST_PAIRED = 60
"""More positions than this and the shortest relocation is taken to cover no distance [1]."""
NEVER = np.int64(1 << 40)


@dataclass(frozen=True)
class Post:
    """One case of what a team may do in a cell.

    Attributes
    ----------
    team
        Index of the team.
    rig
        Index of the rig; None: several rigs.
    loss
        Minutes of a cell lost to what lies between two runs [min].
    minutes, spell
        Least minutes of each task here, with zone change, and least unsplit spell before
        rounding; ``NEVER`` where it cannot be done [min].
    low, high
        Hull of the hours here in each cell of the team [min].
    """

    team: int
    rig: int | None
    loss: int
    minutes: Minutes
    spell: NDArray[np.float64]
    low: Minutes
    high: Minutes


class Site:
    """Tasks, teams, cells and posts of a problem.

    Parameters
    ----------
    work
        What has to be done.
    until
        Cells that start later are left out [min].
    spans
        Given: spans of each task that are narrower than its own.
    crews_count
        Whether posts of one crew with several rigs are wanted even where there are crews
        enough, because crews are counted.
    """

    def __init__(
        self,
        work: Work,
        until: int,
        *,
        spans: Sequence[Spans] | None = None,
        crews_count: bool = False,
    ) -> None:
        problem = work.problem
        self.problem = problem
        self.until = until
        self.crews_count = crews_count
        self.tasks = work.tasks
        self.places = sorted({place for task in self.tasks for place in task.minutes})
        mine = [task.spans for task in self.tasks] if spans is None else spans
        self.groups = tuple(dict.fromkeys(mine))
        index = {one: g for g, one in enumerate(self.groups)}
        self.group = np.array([index[one] for one in mine], dtype=np.int64)
        self.rulers = tuple(Ruler(spans) for spans in self.groups)
        self.teams = teams_of(problem)
        self.cells: list[Cells] = []
        self.posts: list[Post] = []
        for t, team in enumerate(self.teams):
            self._add_team(t, team)

    def _add_team(self, t: int, team: Team) -> None:
        problem = self.problem
        can = problem.crews[team.crews[0]].can
        able = np.array(
            [(task.mix, problem.zones[task.zone].orientation) in can for task in self.tasks],
            dtype=bool,
        )
        places = [place for place in self.places if place[0] in team.rigs]
        hours: dict[Place, Hours] = {}
        of_place = {}
        for place in places:
            room = problem.room[place]
            key = (place[0], id(room))
            if key not in hours:
                hours[key] = hours_in(problem, team, place[0], room)
            of_place[place] = key
        mine = [task for task, can_do in zip(self.tasks, able, strict=True) if can_do]
        cells = cells_of(hours.values(), mine).before(self.until)
        self.cells.append(cells)
        hulls = {}
        for key, rows in hours.items():
            ruler = Ruler(Spans((start, end) for start, end, _ in rows))
            hulls[key] = ruler.hull(cells.start, cells.end)
        table, spells = self._minutes(places, able)
        single = [
            Post(t, place[0], 0, table[k], spells[k], *hulls[of_place[place]])
            for k, place in enumerate(places)
            if (table[k] < NEVER).any()
        ]
        self.posts += [*self._gathered(single), *self._several(team, single)]

    def _minutes(
        self, places: Sequence[Place], able: NDArray[np.bool_]
    ) -> tuple[Minutes, NDArray[np.float64]]:
        table = np.full((len(places), len(self.tasks)), NEVER)
        spells = np.full(table.shape, float(NEVER))
        row = {place: k for k, place in enumerate(places)}
        for i, task in enumerate(self.tasks):
            if able[i]:
                for place, minutes in task.minutes.items():
                    if place in row:
                        table[row[place], i] = minutes
                        spells[row[place], i] = task.spell[place]
        return table, spells

    def _gathered(self, single: list[Post]) -> list[Post]:
        """Return the posts, those that see the same windows at the same hours joined if many."""
        if len(single) <= MOST_POSTS:
            return single
        alike: dict[tuple[object, ...], Post] = {}
        for post in single:
            seen = tuple(np.unique(self.group[post.minutes < NEVER]).tolist())
            key = (post.rig, post.low.tobytes(), post.high.tobytes(), seen)
            alike[key] = joined(alike[key], post, 0) if key in alike else post
        if len(alike) <= MOST_POSTS:
            return list(alike.values())
        by_rig: dict[int | None, Post] = {}
        for post in single:
            by_rig[post.rig] = joined(by_rig[post.rig], post, 0) if post.rig in by_rig else post
        return list(by_rig.values())

    def _least_move(self, r: int) -> int:
        """Return the shortest relocation of a rig [min]."""
        mine = [p for k, p in self.places if k == r]
        if len(mine) > MOST_PAIRED:
            return up(self.problem.rigs[r].rig.move_min)
        return min(self.problem.moves[r, a, b] for a in mine for b in mine if a != b)

    def _several(self, team: Team, single: list[Post]) -> list[Post]:
        """Return the posts of runs at several positions, and with several rigs."""
        found = []
        for r in team.rigs:
            mine = [post for post in single if post.rig == r]
            if len(mine) > 1:
                rig = self.problem.rigs[r]
                loss = rig.start_up + rig.clean_up + self._least_move(r)
                found.append(_all_of(mine, loss))
        rigs = {post.rig for post in single}
        if team.count < len(rigs) or (self.crews_count and len(rigs) > 1):
            jobs = [self.problem.rigs[r] for r in team.rigs]
            loss = min(job.start_up for job in jobs) + min(job.clean_up for job in jobs)
            found.append(replace(_all_of(single, loss), rig=None))
        return found


def joined(one: Post, other: Post, loss: int) -> Post:
    """Return one post for two: at least as much can be done there in every cell."""
    none, shut = one.low >= one.high, other.low >= other.high
    low = np.where(none, other.low, np.where(shut, one.low, np.minimum(one.low, other.low)))
    high = np.where(none, other.high, np.where(shut, one.high, np.maximum(one.high, other.high)))
    return replace(
        one,
        loss=loss,
        minutes=np.minimum(one.minutes, other.minutes),
        spell=np.minimum(one.spell, other.spell),
        low=low,
        high=high,
    )


def _all_of(posts: list[Post], loss: int) -> Post:
    found = posts[0]
    for post in posts[1:]:
        found = joined(found, post, loss)
    return replace(found, loss=loss)
