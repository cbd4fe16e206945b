"""Ctrl-C and the polite request to end, each in two steps: stop and keep, then end at once."""

from __future__ import annotations

import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType
from typing import TypeVar

from planner.commands.console import say

Result = TypeVar("Result")

SEARCH_THREAD = "search"
_POLL_S = 0.1
_SIGNALS = (signal.SIGINT, signal.SIGTERM)


class Interrupts:
    """What the user has asked for while a command runs.

    Outside of :meth:`kept` a signal ends the command.
    Inside, the first one only sets :attr:`asked`, and the second ends the command.
    """

    def __init__(self) -> None:
        self.asked = False
        self._keeping = False

    def stop(self) -> bool:
        """Return whether the search should end with what it has."""
        return self.asked

    @contextmanager
    def kept(self) -> Iterator[None]:
        """Within this block there may be something worth keeping."""
        self._keeping = True
        try:
            yield
        finally:
            self._keeping = False

    def take(self) -> None:
        """Have signals come here; only the main thread of a process may ask for that."""
        if threading.current_thread() is threading.main_thread():
            for number in _SIGNALS:
                signal.signal(number, self.receive)

    def receive(self, _number: int, _frame: FrameType | None) -> None:
        """Take a signal (the handler)."""
        first = not self.asked
        self.asked = True
        if not (first and self._keeping):
            raise KeyboardInterrupt
        say("\nStopping: the best plan so far is kept. Once more ends at once, without it.")


@contextmanager
def listening() -> Iterator[Interrupts]:
    """Take the signals for the length of a block, and give them back after it."""
    interrupts = Interrupts()
    before = {number: signal.getsignal(number) for number in _SIGNALS}
    interrupts.take()
    try:
        yield interrupts
    finally:
        if threading.current_thread() is threading.main_thread():
            for number, handler in before.items():
                signal.signal(number, handler)


def in_background(work: Callable[[], Result], interrupts: Interrupts) -> Result:
    """Return what ``work`` returns, or raise what it raises, from a thread of its own.

    Python runs signal handlers in the main thread between its own instructions: were the main
    thread inside the solver, Ctrl-C would wait for the solver.
    """
    results: list[Result] = []
    failures: list[BaseException] = []

    def run() -> None:
        try:
            results.append(work())
        except BaseException as failure:  # noqa: BLE001 - raised again below, in the main thread
            failures.append(failure)

    worker = threading.Thread(target=run, name=SEARCH_THREAD, daemon=True)
    worker.start()
    while worker.is_alive():
        interrupts.take()  # a solver may have set a handler of its own, and then the system's
        worker.join(_POLL_S)
    interrupts.take()
    if failures:
        raise failures[0]
    return results[0]
