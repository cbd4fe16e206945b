"""A comparison in the background, so that the page stays alive while it runs."""

from __future__ import annotations

from collections.abc import Sequence
from threading import Event, Thread

from planner.workflow.sweep import SweepProgress, Swept, sweep
from planner.workflow.sweep_task import Task


class SweepJob:
    """Several plans, from their start to rows, a reason, or a stop.

    Parameters
    ----------
    tasks
        What to plan.
    """

    def __init__(self, tasks: Sequence[Task]) -> None:
        self.latest = SweepProgress(done=0, total=len(tasks), known=0)
        self.swept: Swept | None = None
        self.failure = ""
        self._tasks = tuple(tasks)
        self._stop = Event()
        self._thread = Thread(target=self._work, name="ebbwork-compare", daemon=True)

    def start(self) -> None:
        """Begin to plan."""
        self._thread.start()

    def stop(self) -> None:
        """Ask to end with the plans that are there."""
        self._stop.set()

    def is_of(self, tasks: Sequence[Task]) -> bool:
        """Return whether these are the tasks that it was begun with."""
        return [task.key() for task in tasks] == [task.key() for task in self._tasks]

    @property
    def stopping(self) -> bool:
        """Return whether the comparison has been asked to end."""
        return self._stop.is_set()

    def running(self) -> bool:
        """Return whether plans are still being made."""
        return self._thread.is_alive()

    def wait(self, seconds: float) -> bool:
        """Wait for the end, at most some seconds; return whether it has come."""
        self._thread.join(seconds)
        return not self._thread.is_alive()

    def _listen(self, report: SweepProgress) -> None:
        self.latest = report

    def _work(self) -> None:
        self.failure = "The planner stopped with a fault; its terminal says more."
        self.swept = sweep(self._tasks, listener=self._listen, stop=self._stop.is_set)
        self.failure = ""
