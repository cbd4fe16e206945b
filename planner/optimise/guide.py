"""What steers the decoder: a small, copyable description from which it builds a whole plan."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import product, zip_longest

from planner.optimise.problem import Problem

SCARCE_MIN = (0.0, 90.0, 400.0)
CRITICAL_MIN = 2000.0
BEGUN_MIN = (0.0, 60.0)
URGENT = 10_000.0
ROAM = (1.3, 2.0)
LOOK_MIN = (4320, 1440)
SCARCE_TIMES = (2.0, 8.0)
WAITING = ((4.0, 0.25, 1.0), (1.0, 0.5, 0.0))
"""Weights of waiting, of windows that close, and of narrower windows, of roaming guides."""


@dataclass(frozen=True, slots=True)
class Weights:
    """How the next spell of a run is chosen; all in minutes of preference.

    ``wait`` per minute of idle nozzle, ``close`` per minute that the zone's span stays open
    after the spell, ``length`` (subtracted) per minute of spell, ``priority`` per priority
    number above 1, ``due`` for zones that come due soon, ``begun``
    (subtracted) for zones that are begun, ``split_wait`` the gap at which a
    run ends, ``patience`` the shifts a rig waits before it leaves unfinished work, ``fill``
    whether the rest of a run is filled as full as whole spells can fill it, ``ahead`` how many
    zones may be broken out and waiting.  With ``roam`` above 0 a rig without given stays is
    moved after a run when another position offers so many times more work in the next ``look``
    minutes, zones of scarce windows counted up to ``1 + scarce`` times.  With ``inner`` above 0
    each minute that a zone of a wide window takes from zones of narrower ones counts so much.
    ``leave`` says whether a rig whose stays are worked out goes on to others.
    """

    wait: float = 1.0
    close: float = 0.25
    length: float = 0.4
    priority: float = 0.0
    due: float = 0.0
    split_wait: int = 180
    begun: float = 60.0
    patience: int = 2
    fill: bool = True
    roam: float = 0.0
    scarce: float = 2.0
    look: int = 1440
    ahead: int = 6
    inner: float = 0.0
    leave: bool = True


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


def starts(
    problem: Problem, stays: tuple[tuple[tuple[int, ...], ...], ...], ends: Sequence[int | None]
) -> list[Guide]:
    """Return ready guides: each set of stays with scarce windows preferred more or less.

    Settled and roaming guides take turns.  A zone whose windows are few must be sprayed when
    one comes; its key is the lower, the smaller its share of the longest open time of any
    zone.  High priorities and early due dates come first in some of them.
    """
    most = max([1, *problem.open_minutes])
    keys = {
        scarce: tuple(-scarce * (1.0 - count / most) for count in problem.open_minutes)
        for scarce in SCARCE_MIN
    }
    critical = _critical(ends)
    settled = [
        Guide(
            keys=keys[scarce],
            stays=places,
            weights=Weights(
                priority=URGENT if pressed else 0.0,
                due=URGENT if pressed else 0.0,
                close=0.25 if scarce == 0.0 else 0.5,
                begun=begun,
            ),
        )
        for scarce, begun, pressed, places in product(SCARCE_MIN, BEGUN_MIN, (False, True), stays)
    ]
    roaming = [
        Guide(
            keys=keys[SCARCE_MIN[-1]],
            stays=((),) * len(problem.rigs),
            weights=Weights(
                wait=wait, close=close, roam=roam, look=look, scarce=above, inner=inner
            ),
        )
        for look, above, roam in product(LOOK_MIN, SCARCE_TIMES, ROAM)
        for wait, close, inner in WAITING
    ]
    pressed = [
        Guide(
            keys=critical,
            stays=places,
            weights=Weights(close=0.5, roam=roam, look=look, scarce=above),
        )
        for look, above, roam, places in product(LOOK_MIN, (0.0, 2.0), (0.0, *ROAM), stays)
        if roam == 0.0 or not any(places)
    ]
    turns = zip_longest(settled, roaming, pressed)
    return [one for turn in turns for one in turn if one is not None]


def _critical(ends: Sequence[int | None]) -> tuple[float, ...]:
    """Return keys by each zone's own earliest end, the latest most pressing."""
    last = max((end for end in ends if end is not None), default=1)
    return tuple(0.0 if end is None else -CRITICAL_MIN * (end / max(1, last)) ** 3 for end in ends)
