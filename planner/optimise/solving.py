"""Run CP-SAT the one way this project does: repeatable, interruptible, signals left alone."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass

from ortools.sat.python import cp_model

POLL_S = 0.2
LEAST_S = 3.0
"""No solve is given less wall time, and none is stopped in its first second: CP-SAT 9.15 aborts
the process when a limit falls into the loading of a model with a hint (or-tools issue 5025).
Callers start none when less is left."""
FIRST_S = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What ends a solve: deterministic time first, the wall clock and the stop flag at need."""

    deterministic_s: float
    seconds: float
    seed: int = 1
    workers: int = 1
    stop: Callable[[], bool] = lambda: False


def solve(
    model: cp_model.CpModel, limits: Limits, subsolvers: tuple[str, ...] = ()
) -> tuple[cp_model.CpSolver, cp_model.CpSolverStatus]:
    """Return the solver after its run, and its status.

    One worker, or several interleaved, gives the same answer each time; the wall clock only
    ends a solve early.  CP-SAT's own SIGINT handler stays off: the command line has its own.
    """
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = limits.workers
    solver.parameters.interleave_search = limits.workers > 1
    solver.parameters.random_seed = limits.seed
    solver.parameters.max_deterministic_time = limits.deterministic_s
    solver.parameters.max_time_in_seconds = max(LEAST_S, limits.seconds)
    solver.parameters.catch_sigint_signal = False
    if subsolvers:
        solver.parameters.subsolvers.extend(subsolvers)
        solver.parameters.linearization_level = 2
    done = threading.Event()
    watcher = threading.Thread(target=_watch, args=(solver, limits.stop, done), daemon=True)
    watcher.start()
    try:
        status = solver.solve(model)
    finally:
        done.set()
        watcher.join()
    return solver, status


def _watch(solver: cp_model.CpSolver, stop: Callable[[], bool], done: threading.Event) -> None:
    if done.wait(FIRST_S):
        return
    while not done.wait(POLL_S):
        if stop():
            solver.stop_search()
            return
