"""Effort and time: what limits a search, and what only stops it.

Effort is counted in drafted spells, the same on every machine, so that the same input, seed
and effort give the same plan.  The wall clock and the stop flag only end a search early.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from planner.core.progress import Listener, Progress, silent
from planner.model.identifiers import Goal

LEAST_REPORT_S = 0.5
Clock = Callable[[], float]


class NoPlanInTimeError(Exception):
    """No plan was found before the time or the stop flag ended the search."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """How to search.

    Attributes
    ----------
    seed, workers
        Same input, seed and workers: same plan.
    seconds
        Wall time after which the search stops [s].
    stop
        Asked often; true ends the search with the best plan so far.
    clock
        Seconds that only go forward [s].
    effort
        Search effort in units of about a second on the machine of the benchmarks; counted in
        drafted spells and deterministic solver time, so that it is the same everywhere.
    caps
        How much of a goal the goals after it may use, where that is more than ``may_worsen``
        leaves them, in the goal's own unit.
    """

    seed: int = 1
    workers: int = 2
    seconds: float = 50.0
    stop: Callable[[], bool] = lambda: False
    clock: Clock = time.monotonic
    effort: float = 40.0
    caps: Mapping[Goal, float] = field(default_factory=dict)


@dataclass
class Budget:
    """Effort that a stage may spend, in the units of :attr:`Settings.effort`."""

    limit: float
    spent: float = 0.0

    def spend(self, effort: float) -> None:
        """Take effort off."""
        self.spent += effort

    @property
    def is_spent(self) -> bool:
        """Return whether nothing is left."""
        return self.spent >= self.limit

    @property
    def left(self) -> float:
        """Return what is left, never below 0."""
        return max(0.0, self.limit - self.spent)


@dataclass
class Watch:
    """One search's eye on the clock, and its voice.

    ``keep_s`` is time at the end that the present stage leaves to later ones [s].
    """

    settings: Settings
    listener: Listener = silent
    started_s: float = field(init=False)
    stopped_early: bool = field(init=False, default=False)
    keep_s: float = field(init=False, default=0.0)
    _asked: bool = field(init=False, default=False)
    _told_s: float = field(init=False, default=-1e9)

    def __post_init__(self) -> None:
        self.started_s = self.settings.clock()

    def elapsed_s(self) -> float:
        """Return seconds since the search began [s]."""
        return self.settings.clock() - self.started_s

    def left_s(self) -> float:
        """Return the seconds that are left, less those kept for later, never below 0 [s]."""
        return max(0.0, self.settings.seconds - self.keep_s - self.elapsed_s())

    def must_stop(self) -> bool:
        """Return whether the search has to end now; remembers that it was cut short."""
        self._asked = self._asked or self.settings.stop()
        ends = self._asked or self.left_s() <= 0.0
        self.stopped_early = self.stopped_early or ends
        return ends

    def has_time_for(self, seconds: float) -> bool:
        """Return whether so much time is left; without it the search ends early."""
        if self.left_s() < seconds:
            self.stopped_early = True
            return False
        return not self.must_stop()

    def tell(
        self,
        stage: str,
        *,
        goal: Goal | None = None,
        best: float | None = None,
        bound: float | None = None,
        now: bool = False,
    ) -> None:
        """Report progress, not more often than the listener can read."""
        at = self.elapsed_s()
        if not now and at - self._told_s < LEAST_REPORT_S:
            return
        self._told_s = at
        name = "" if goal is None else goal.value
        self.listener(Progress(stage=stage, elapsed_s=at, goal=name, best=best, bound=bound))
