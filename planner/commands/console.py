"""Where text goes: data to standard output, everything else to standard error."""

from __future__ import annotations

import csv
import os
import sys
import threading
import time
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from typing import TextIO

from planner.core.problems import Problem
from planner.core.progress import Progress
from planner.model.identifiers import Goal

PLAIN_EVERY_S = 5.0
TERMINAL_EVERY_S = 0.5
_ERASE = "\r\x1b[K"
_UNITS = {Goal.FINISH.value: " h", Goal.LATE.value: " d"}


class RefusedError(Exception):
    """An argument or a path cannot be used; the message is one line that says what would do."""


def say(text: str) -> None:
    """Write lines to standard error; where nobody reads it any more, to nowhere."""
    try:
        print(text, file=sys.stderr, flush=True)
    except BrokenPipeError:
        _drop(sys.stderr)


def say_problems(problems: Iterable[Problem]) -> None:
    """Write problems to standard error, one line each."""
    for problem in problems:
        say(problem.line())


def write_rows(heading: Sequence[str], rows: Iterable[Sequence[object]]) -> None:
    """Write a table to standard output as CSV with a heading.

    A reader that has seen enough, as ``head`` has, ends the table and is no failure.

    Raises
    ------
    RefusedError
        If standard output cannot be written.
    """
    writer = csv.writer(sys.stdout, lineterminator="\n")
    with _standard_output():
        writer.writerow(heading)
        for row in rows:
            writer.writerow([_cell(value) for value in row])


def write_lines(lines: Iterable[str]) -> None:
    """Write lines to standard output, for reading.

    Raises
    ------
    RefusedError
        If standard output cannot be written.
    """
    with _standard_output():
        for line in lines:
            sys.stdout.write(f"{line}\n")


@contextmanager
def _standard_output() -> Iterator[None]:
    """Let a reader that has seen enough end the output; tell any other failure."""
    try:
        yield
        sys.stdout.flush()
    except BrokenPipeError:
        _drop(sys.stdout)
    except OSError as failure:
        _drop(sys.stdout)
        msg = f"Standard output cannot be written: {failure.strerror}."
        raise RefusedError(msg) from failure


def _drop(stream: TextIO) -> None:
    """Send what is still to be written nowhere, so that the end of the program is quiet."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())


def _cell(value: object) -> str:
    return number(value, decimals=6) if isinstance(value, float) else str(value)


def number(value: float, *, decimals: int) -> str:
    """Return a number with at most so many decimals, and no zeros that say nothing.

    Examples
    --------
    >>> number(2.5, decimals=3), number(3.0, decimals=3), number(-0.0001, decimals=3)
    ('2.5', '3', '0')
    """
    text = f"{value:.{decimals}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


class ProgressLine:
    """Shows a search as one line of fixed width: in place on a terminal, else every 5 s.

    The search reports from a thread of its own, so writing is guarded by a lock.
    """

    def __init__(self) -> None:
        self._on_terminal = sys.stderr.isatty()
        self._every_s = TERMINAL_EVERY_S if self._on_terminal else PLAIN_EVERY_S
        self._last: float | None = None
        self._drawn = False
        self._lock = threading.Lock()

    def __call__(self, report: Progress) -> None:
        """Show one report, unless the last one is too fresh."""
        with self._lock:
            now = time.monotonic()
            if self._last is not None and now - self._last < self._every_s:
                return
            self._last = now
            self._write(progress_text(report))

    def _write(self, text: str) -> None:
        if self._on_terminal:
            sys.stderr.write(_ERASE + text)
            sys.stderr.flush()
            self._drawn = True
        else:
            say(text)

    def clear(self) -> None:
        """Take the line away, so that other text can follow."""
        with self._lock:
            if self._drawn:
                sys.stderr.write(_ERASE)
                sys.stderr.flush()
                self._drawn = False


def progress_text(report: Progress) -> str:
    """Return one report as a line of 78 columns at most.

    Examples
    --------
    >>> progress_text(Progress(stage="fill", elapsed_s=7.2, goal="finish", best=81.5, bound=80.0))
    '   7 s  fill                          finish       best 81.5 h     bound 80 h'
    """
    unit = _UNITS.get(report.goal, "")
    best = "" if report.best is None else f"best {number(report.best, decimals=1)}{unit}"
    bound = "" if report.bound is None else f"bound {number(report.bound, decimals=1)}{unit}"
    stage, goal = report.stage[:28], report.goal[:11]
    line = f"{report.elapsed_s:4.0f} s  {stage:<28}  {goal:<11}  {best:<14}  {bound}"
    return line.rstrip()[:78]
