"""Shared resources on a board: who takes how much of what, and when there is some left (rule 16).

A *thing* is a zone, a position, a rig or a crew.  While it is in use it takes its needs, once,
however many runs or crews use it at that minute.  When a thing is in use:

- a zone from the zone change before a spell to the spell's end, after its last spell also while
  it is trimmed, and while it is broken out;
- a position while a run goes on there;
- a rig in its runs and relocations;
- a crew in its runs, relocations and break-out pieces.
"""

from __future__ import annotations

from bisect import bisect_left, insort
from collections import Counter, defaultdict
from collections.abc import Collection, Mapping
from dataclasses import dataclass

from planner.core.spans import Span, Spans
from planner.model.campaign import Campaign
from planner.model.resource import Need

Thing = tuple[str, int]
"""What takes resources: one of the kinds below, and its index in its table."""
Row = tuple[int, int, Thing, int]
"""Start, end, who takes, how much."""

ZONE, POSITION, RIG, CREW = "zone", "position", "rig", "crew"
FOREVER = 1 << 60


@dataclass(frozen=True)
class Needs:
    """What things take, in integers; resources that can never run short are left out.

    Attributes
    ----------
    numbers
        How many there are of each resource [1].
    of
        What each thing takes: resource and count.
    """

    numbers: tuple[int, ...]
    of: Mapping[Thing, tuple[tuple[int, int], ...]]

    def __bool__(self) -> bool:
        """Return whether anything can run short at all."""
        return bool(self.of)

    def wanted(self, things: Collection[Thing]) -> dict[int, int]:
        """Return how much some things take together, by resource."""
        found: dict[int, int] = {}
        for thing in things:
            for resource, count in self.of.get(thing, ()):
                found[resource] = found.get(resource, 0) + count
        return found


def needs_of(campaign: Campaign) -> Needs:
    """Return the needs of a campaign."""
    rows: dict[Thing, tuple[Need, ...]] = {}
    for kind, owners in (
        (ZONE, [one.needs for one in campaign.zones]),
        (POSITION, [one.needs for one in campaign.positions]),
        (RIG, [one.needs for one in campaign.rigs]),
        (CREW, [one.needs for one in campaign.crews]),
    ):
        rows |= {(kind, k): needs for k, needs in enumerate(owners) if needs}
    total = Counter[str]()
    for needs in rows.values():
        for need in needs:
            total[need.resource_id] += need.count
    short = [one for one in campaign.resources if total[one.resource_id] > one.number]
    index = {one.resource_id: k for k, one in enumerate(short)}
    found = {
        thing: tuple(
            (index[need.resource_id], need.count) for need in needs if need.resource_id in index
        )
        for thing, needs in rows.items()
    }
    return Needs(
        numbers=tuple(one.number for one in short),
        of={thing: taken for thing, taken in found.items() if taken},
    )


class Usage:
    """What is taken of each resource, minute by minute."""

    def __init__(self, needs: Needs) -> None:
        self.needs = needs
        self._rows: list[list[Row]] = [[] for _ in needs.numbers]
        self._longest = [0] * len(needs.numbers)
        self._wanted: dict[tuple[Thing, ...], tuple[tuple[int, int], ...]] = {}

    def take(self, thing: Thing, start: int, end: int) -> None:
        """Let a thing be in use in ``[start, end)``."""
        for resource, count in self.needs.of.get(thing, ()):
            insort(self._rows[resource], (start, end, thing, count))
            self._longest[resource] = max(self._longest[resource], end - start)

    def give_back(self, thing: Thing, start: int, end: int) -> None:
        """Undo :meth:`take`."""
        for resource, count in self.needs.of.get(thing, ()):
            rows = self._rows[resource]
            del rows[bisect_left(rows, (start, end, thing, count))]

    def free(self, things: Collection[Thing], start: int, end: int) -> list[Span]:
        """Return the stretches of ``[start, end)`` in which some things may be in use together."""
        blocked = self._blocked(things, start, end)
        if not blocked:
            return [(start, end)]
        return list(Spans.whole(start, end) - Spans(blocked))

    def first_fit(self, things: Collection[Thing], start: int, length: int, last: int) -> int:
        """Return the first minute from which things may be in use so long, or ``FOREVER``.

        Parameters
        ----------
        last
            No later start is looked for [min].
        """
        numbers = self.needs.numbers
        if any(count > numbers[resource] for resource, count in self._wanted_by(things)):
            return FOREVER
        while start <= last:
            blocked = self._blocked(things, start, start + length)
            if not blocked:
                return start
            start = max(end for _, end in blocked)
        return FOREVER

    def is_kept(self) -> bool:
        """Return whether never more is in use than there is."""
        return not any(
            self._over(resource, number, (), -FOREVER, FOREVER)
            for resource, number in enumerate(self.needs.numbers)
        )

    def _blocked(self, things: Collection[Thing], start: int, end: int) -> list[Span]:
        """Return where others take so much that too little is left for some things together."""
        found: list[Span] = []
        for resource, count in self._wanted_by(things):
            left = self.needs.numbers[resource] - count
            found += self._over(resource, left, things, start, end)
        return found

    def _wanted_by(self, things: Collection[Thing]) -> tuple[tuple[int, int], ...]:
        """Return what some things take together, remembered."""
        key = tuple(things)
        found = self._wanted.get(key)
        if found is None:
            found = self._wanted[key] = tuple(self.needs.wanted(key).items())
        return found

    def _over(
        self, resource: int, most: int, without: Collection[Thing], start: int, end: int
    ) -> list[Span]:
        """Return the stretches in which more than ``most`` is taken, by others than some."""
        if most < 0:
            return [(start, end)]
        found: list[Span] = []
        steps = self._steps(resource, without, start, end)
        if sum(count for _, step, _, count in steps if step > 0) <= most:
            return found
        uses: defaultdict[Thing, int] = defaultdict(int)
        load, since = 0, start
        for minute, step, thing, count in sorted(steps):
            if load > most and minute > since:
                found.append((since, minute))
            since = minute
            was = uses[thing]
            uses[thing] += step
            load += count * ((was + step > 0) - (was > 0))
        return found

    def _steps(
        self, resource: int, without: Collection[Thing], start: int, end: int
    ) -> list[tuple[int, int, Thing, int]]:
        """Return starts (+1) and ends (-1) of use inside a stretch; sorted, ends come first."""
        rows = self._rows[resource]
        steps: list[tuple[int, int, Thing, int]] = []
        for k in range(bisect_left(rows, (start - self._longest[resource],)), len(rows)):
            low, high, thing, count = rows[k]
            if low >= end:
                break
            if high > start and thing not in without:
                steps += [
                    (max(low, start), 1, thing, count),
                    (min(high, end), -1, thing, count),
                ]
        return steps
