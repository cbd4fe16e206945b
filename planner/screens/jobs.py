"""A search in the background, so that the page stays alive while it runs."""

from __future__ import annotations

import time
from threading import Event, Thread

from planner.core.progress import Progress
from planner.optimise.engine import NoPlanInTimeError, Settings
from planner.workflow.loading import Loaded
from planner.workflow.planning import Planned, plan_scenario


class PlanJob:
    """One search, from its start to a plan, a reason, or a stop.

    Parameters
    ----------
    loaded
        Scenario to plan.
    seconds
        Time for the search [s].
    seed, workers
        As for the command line.
    """

    def __init__(self, loaded: Loaded, *, seconds: float, seed: int = 1, workers: int = 2) -> None:
        self.seconds = seconds
        self.seed = seed
        self.latest: Progress | None = None
        self.planned: Planned | None = None
        self.failure = ""
        self.choice = "plan"
        self.loaded = loaded
        self._stop = Event()
        self._started_s = time.monotonic()
        self._settings = Settings(
            seed=seed, workers=workers, seconds=seconds, stop=self._stop.is_set
        )
        self._thread = Thread(target=self._work, name="ebbwork-plan", daemon=True)

    def start(self) -> None:
        """Begin to search."""
        self._thread.start()

    def stop(self) -> None:
        """Ask the search to end with the best plan it has."""
        self._stop.set()

    @property
    def stopping(self) -> bool:
        """Return whether the search has been asked to end."""
        return self._stop.is_set()

    def running(self) -> bool:
        """Return whether the search is still at work."""
        return self._thread.is_alive()

    def elapsed_s(self) -> float:
        """Return the time since the search began [s]."""
        return time.monotonic() - self._started_s

    def wait(self, seconds: float) -> bool:
        """Wait for the end of the search, at most some seconds; return whether it has ended."""
        self._thread.join(seconds)
        return not self._thread.is_alive()

    def _listen(self, report: Progress) -> None:
        self.latest = report

    def _work(self) -> None:
        self.failure = "The planner stopped with a fault; its terminal says more."
        try:
            self.planned = plan_scenario(self.loaded, self._settings, self._listen)
        except NoPlanInTimeError:
            self.failure = f"No plan was found in {self.seconds:g} s; give the search more time."
        else:
            self.failure = ""
