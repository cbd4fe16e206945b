"""The least nozzle time of every zone, and the time there is for it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from planner.core.spans import Spans
from planner.optimise.problem import Problem


@dataclass(frozen=True)
class Work:
    """What every valid plan needs at least, and has at most.

    ``minutes[z][m][r]`` is the least time of zone ``z`` on mix ``m`` by rig ``r``, layer by
    layer: zone change and spell from the quickest position.  Splitting a layer only adds
    (each piece is rounded up and has its own zone change).
    """

    problem: Problem

    @cached_property
    def known_spans(self) -> dict[tuple[int, Spans], Spans]:
        """Return the spray spans met with a mix's working time, filled as they are asked for."""
        return {}

    @cached_property
    def minutes(self) -> list[dict[int, dict[int, tuple[int, ...]]]]:
        """Return the least minutes by zone, mix, rig and layer [min]."""
        change = self.problem.zone_change
        found: list[dict[int, dict[int, tuple[int, ...]]]] = []
        for ways in self.problem.ways:
            by_mix: dict[int, dict[int, tuple[int, ...]]] = {}
            for way in ways:
                need = tuple(m + change for m in way.minutes)
                rigs = by_mix.setdefault(way.mix, {})
                known = rigs.get(way.rig)
                rigs[way.rig] = need if known is None else tuple(map(min, known, need))
            found.append(by_mix)
        return found

    @cached_property
    def where(self) -> list[Spans]:
        """Return for each zone the minutes in which it can be worked at all, zone change in."""
        change = self.problem.zone_change
        found = []
        for z, jobs in enumerate(self.problem.jobs):
            mixes = self.minutes[z]
            spans = [job.mid for m, job in jobs.items() if m in mixes]
            pairs = [pair for one in dict.fromkeys(spans) for pair in one.grow(before=change)]
            found.append(Spans(pairs))
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
            rooms = {problem.room[r, p] for (k, p) in problem.reach_sets if k == r}
            room = Spans([pair for one in rooms for pair in one])
            found.append(
                Spans(
                    (max(low + rig.start_up, self.first_spray[c]), high - rig.clean_up)
                    for c in self.crews_of((r,))
                    for a, b, _ in problem.crews[c].pieces
                    for low, high in room.clip(a, b)
                )
            )
        return found

    @cached_property
    def first_spray(self) -> list[int]:
        """Return before which minute a crew cannot begin a zone: its panels must be old enough.

        Rule 12: a panel lies in a piece of the crew, then panel_days pass before the spell;
        the zone change before it may still lie in them.
        """
        problem = self.problem
        found = []
        for c, crew in enumerate(problem.crews):
            rigs = [rig for rig in problem.rigs if any(m in rig.mixes for m, _ in crew.can)]
            at = problem.start
            if problem.panel_wait and rigs and crew.sprays:
                length = min(rig.panel for rig in rigs)
                ends = [a + length for a, b, _ in crew.pieces if a + length <= b]
                first = min(ends, default=problem.end)
                at = max(at, first + problem.panel_wait - problem.zone_change)
            found.append(at)
        return found

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
