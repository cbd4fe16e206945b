"""When rigs and crews can spray at all, and how long each zone takes at least."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from planner.core.spans import Spans
from planner.optimise.bounds.cells import first_spray
from planner.optimise.bounds.tasks import Place, Task, Zones, by_zone, tasks_at, tasks_of
from planner.optimise.problem import Problem


@dataclass(frozen=True)
class Work:
    """Tasks of a problem, and the hours of its rigs and crews.

    Attributes
    ----------
    places
        Given: rigs stand nowhere else.
    """

    problem: Problem
    places: frozenset[Place] | None = None

    @cached_property
    def tasks(self) -> tuple[Task, ...]:
        """Return every task that some plan might hold."""
        every = tasks_of(self.problem)
        return every if self.places is None else tasks_at(every, self.places)

    @cached_property
    def zones(self) -> Zones:
        """Return the tasks' indices by zone and mix."""
        return by_zone(self.tasks)

    @cached_property
    def known_spans(self) -> dict[tuple[int, Spans], Spans]:
        """Return the spray spans met with a mix's working time, filled as they are asked for."""
        return {}

    @cached_property
    def rooms(self) -> list[Spans]:
        """Return when a run of each rig is possible at any position it works from."""
        problem = self.problem
        found = []
        for r in range(len(problem.rigs)):
            places = {place for task in self.tasks for place in task.minutes if place[0] == r}
            rooms = {id(problem.room[place]): problem.room[place] for place in sorted(places)}
            found.append(Spans([pair for room in rooms.values() for pair in room]))
        return found

    @cached_property
    def rig_time(self) -> list[Spans]:
        """Return when each rig can work on a zone: start-up and clean-up off every piece.

        A run lies in one piece of one crew and in the rig's (and some position's) open time, so
        zone changes and spells lie in such a stretch less start-up and clean-up.
        """
        problem = self.problem
        found = []
        for r, rig in enumerate(problem.rigs):
            spans = []
            for c in self.crews_of((r,)):
                first = first_spray(problem, c, r)
                for a, b, _ in problem.crews[c].pieces:
                    for low, high in self.rooms[r].clip(a, b):
                        spans.append((max(low + rig.start_up, first), high - rig.clean_up))
            found.append(Spans(spans))
        return found

    @cached_property
    def first_spray(self) -> list[int]:
        """Return before which minute a crew cannot begin a zone with any rig."""
        return [
            min(
                (
                    first_spray(self.problem, c, r)
                    for r in range(len(self.problem.rigs))
                    if c in self.crews_of((r,))
                ),
                default=self.problem.start,
            )
            for c in range(len(self.problem.crews))
        ]

    @cached_property
    def spray_time(self) -> dict[int, Spans]:
        """Return for each mix when any rig that sprays it can be at a spell, zone change off."""
        change = self.problem.zone_change
        mixes = {m for rig in self.problem.rigs for m in rig.mixes}
        return {
            m: Spans(
                pair
                for r, rig in enumerate(self.problem.rigs)
                if m in rig.mixes
                for pair in self.rig_time[r].shrink(first=change)
            )
            for m in sorted(mixes)
        }

    def crews_of(self, rigs: tuple[int, ...]) -> tuple[int, ...]:
        """Return the spraying crews that may work any of some rigs."""
        problem = self.problem
        mixes = {m for r in rigs for m in problem.rigs[r].mixes}
        return tuple(
            c
            for c, crew in enumerate(problem.crews)
            if crew.sprays and any(m in mixes for m, _ in crew.can)
        )

    def overhead(self, c: int) -> tuple[int, int]:
        """Return the least start-up and clean-up of the rigs that a crew may work [min]."""
        rigs = [rig for r, rig in enumerate(self.problem.rigs) if c in self.crews_of((r,))]
        return min(rig.start_up for rig in rigs), min(rig.clean_up for rig in rigs)


def count_steps(sets: Sequence[Spans]) -> list[tuple[int, int, int]]:
    """Return ``(start, end, count)``: how many of several sets hold each minute, where any."""
    edges: dict[int, int] = {}
    for spans in sets:
        for start, end in spans:
            edges[start] = edges.get(start, 0) + 1
            edges[end] = edges.get(end, 0) - 1
    found = []
    count = 0
    at = 0
    for minute in sorted(edges):
        if count > 0:
            found.append((at, minute, count))
        at = minute
        count += edges[minute]
    return found
