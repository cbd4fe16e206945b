"""What steers the decoder: a small, copyable description from which it builds a whole plan."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from itertools import product

from planner.optimise.problem import Problem

SCARCE_MIN = (0.0, 90.0, 400.0)
URGENT = 10_000.0


@dataclass(frozen=True, slots=True)
class Weights:
    """How the next spell of a run is chosen; all in minutes of preference.

    ``wait`` per minute of idle nozzle, ``close`` per minute that the zone's span stays open
    after the spell, ``length`` (subtracted) per minute of spell, ``priority`` per priority
    number above 1, ``due`` for zones that come due soon, ``split_wait`` the gap at which a
    run ends, ``patience`` the shifts a rig waits before it leaves unfinished work, ``fill``
    whether the rest of a run is filled as full as whole spells can fill it, ``ahead`` how many
    zones may be broken out and waiting.
    """

    wait: float = 1.0
    close: float = 0.25
    length: float = 0.4
    priority: float = 0.0
    due: float = 0.0
    split_wait: int = 180
    patience: int = 2
    fill: bool = True
    ahead: int = 6


@dataclass(frozen=True)
class Guide:
    """A plan's seed.

    Attributes
    ----------
    keys
        Preference of each zone, added to its score [min]; small comes first.
    stays
        Positions of each rig in order; empty: go to the nearest position with work left.
    share
        For some zones the (rig, position) pairs that may work on them; others are free.
    banned
        Zones left out of the plan.
    weights
        How spells are chosen.
    """

    keys: tuple[float, ...]
    stays: tuple[tuple[int, ...], ...]
    share: dict[int, frozenset[tuple[int, int]]] = field(default_factory=dict)
    banned: frozenset[int] = frozenset()
    weights: Weights = Weights()

    def with_stays(self, stays: tuple[tuple[int, ...], ...]) -> Guide:
        """Return the same guide with other stays."""
        return replace(self, stays=stays)


def plain_guide(zones: int, rigs: int) -> Guide:
    """Return the guide of the hand rule: finish each set-up, then the nearest with work left."""
    return Guide(keys=(0.0,) * zones, stays=((),) * rigs)


def starts(problem: Problem, stays: tuple[tuple[tuple[int, ...], ...], ...]) -> list[Guide]:
    """Return ready guides: each set of stays with scarce windows preferred more or less.

    A zone whose windows are few must be sprayed when one comes; its key is the lower, the
    smaller its share of the longest open time of any zone.  High priorities and early due
    dates come first in some of them.
    """
    minutes = [
        max((job.mid.minutes() for job in jobs.values()), default=0) for jobs in problem.jobs
    ]
    most = max([1, *minutes])
    found = []
    for places, scarce, pressed in product(stays, SCARCE_MIN, (False, True)):
        weights = Weights(
            priority=URGENT if pressed else 0.0,
            due=URGENT if pressed else 0.0,
            close=0.25 if scarce == 0.0 else 0.5,
        )
        keys = tuple(-scarce * (1.0 - count / most) for count in minutes)
        found.append(Guide(keys=keys, stays=places, weights=weights))
    return found
