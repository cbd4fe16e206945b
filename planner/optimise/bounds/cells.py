"""Where work can lie: teams of like crews and their cells.

A *team* is a set of spraying crews with the same hours, skills and limits; in any valid plan
their runs may be handed round among them, so only their number counts.  A *cell* is a maximal
stretch of one of their pieces in which some task can be worked at all, by some rig from some
position, start-up and clean-up taken off.  Zone change and spell lie in one span of their zone
and in one run, so in one cell.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from planner.core.spans import Spans
from planner.optimise.bounds.ruler import Minutes
from planner.optimise.bounds.tasks import Task
from planner.optimise.problem import CrewJob, Problem

Hours = tuple[tuple[int, int, int], ...]
"""``(start, end, piece)``: when a team can be at a zone, in time order [min]."""


@dataclass(frozen=True, slots=True)
class Team:
    """Spraying crews of one kind, by index; ``pieces`` are those of each of them."""

    crews: tuple[int, ...]
    pieces: tuple[tuple[int, int, int], ...]
    rigs: tuple[int, ...]

    @property
    def count(self) -> int:
        """Return how many crews there are [1]."""
        return len(self.crews)


@dataclass(frozen=True, slots=True)
class Cells:
    """Stretches of work of one team, in time order: ``[start, end)`` and its piece."""

    start: Minutes
    end: Minutes
    piece: Minutes

    def __len__(self) -> int:
        return len(self.start)

    def before(self, minute: int) -> Cells:
        """Return the cells that start before a minute."""
        k = int(np.searchsorted(self.start, minute))
        return Cells(self.start[:k], self.end[:k], self.piece[:k])


def teams_of(problem: Problem) -> tuple[Team, ...]:
    """Return the teams, in the order of their first crews; crews that no rig suits left out."""
    alike: dict[tuple[object, ...], list[int]] = {}
    for c, crew in enumerate(problem.crews):
        if crew.sprays and crew.pieces and rigs_of(problem, crew):
            limits = (crew.crew.duty_max_min, crew.crew.rest_min_min, crew.crew.week_max_min)
            alike.setdefault((crew.pieces, crew.can, limits), []).append(c)
    found = []
    for crews in alike.values():
        first = problem.crews[crews[0]]
        found.append(Team(tuple(crews), first.pieces, rigs_of(problem, first)))
    return tuple(found)


def rigs_of(problem: Problem, crew: CrewJob) -> tuple[int, ...]:
    """Return the rigs that a crew may work."""
    mixes = {m for m, _ in crew.can}
    return tuple(r for r, rig in enumerate(problem.rigs) if mixes.intersection(rig.mixes))


def first_spray(problem: Problem, c: int, r: int) -> int:
    """Return before which minute a crew cannot begin a zone with a rig: the panels' age.

    Rule 12: the crew's panel of that process lies in one of its pieces, with a rig of that
    process on site, then ``panel_days`` pass before the spell; the zone change before the spell
    may still lie in them.
    """
    if not problem.panel_wait or c in problem.panelled_crews:
        return problem.start
    process = problem.rigs[r].rig.process
    ends = [
        low + rig.panel
        for k, rig in enumerate(problem.rigs)
        if rig.rig.process is process
        for room in _rooms(problem, k)
        for a, b, _ in problem.crews[c].pieces
        for low, high in room.clip(a, b)
        if low + rig.panel <= high
    ]
    first = min(ends, default=problem.end)
    return max(problem.start, first + problem.panel_wait - problem.zone_change)


def _rooms(problem: Problem, r: int) -> list[Spans]:
    """Return the different open times of a rig at the positions."""
    rooms = [problem.room[r, p] for p in range(len(problem.campaign.positions))]
    return list({id(room): room for room in rooms}.values())


def hours_in(problem: Problem, team: Team, r: int, room: Spans) -> Hours:
    """Return when a team can be at a zone with a rig in an open time of rig and position.

    A run lies in one piece and in the open time; start-up comes before its first zone change,
    clean-up after its last spell (rules 4 and 5).
    """
    rig = problem.rigs[r]
    first = first_spray(problem, team.crews[0], r)
    found = []
    for number, (a, b, _) in enumerate(team.pieces):
        for low, high in room.clip(a, b):
            start, end = max(low + rig.start_up, first), high - rig.clean_up
            if start < end:
                found.append((start, end, number))
    return tuple(found)


def cells_of(hours: Iterable[Hours], tasks: Sequence[Task]) -> Cells:
    """Return the cells of a team from its hours at every place and the tasks it can do."""
    wanted = dict.fromkeys(task.spans for task in tasks)
    open_at_all = Spans([pair for spans in wanted for pair in spans])
    by_piece: dict[int, list[tuple[int, int]]] = {}
    for start, end, number in sorted({row for rows in hours for row in rows}):
        by_piece.setdefault(number, []).append((start, end))
    rows = [
        (start, end, number)
        for number in sorted(by_piece)
        for low, high in Spans(by_piece[number])
        for start, end in open_at_all.clip(low, high)
    ]
    table = np.array(sorted(rows), dtype=np.int64).reshape(-1, 3)
    return Cells(table[:, 0], table[:, 1], table[:, 2])
