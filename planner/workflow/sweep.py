"""Sweeps: many tasks behind the interface of ``concurrent.futures``, whoever does them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import Executor, Future, as_completed
from concurrent.futures import TimeoutError as NotYetError
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial

from planner.workflow.executors import cluster, default_workers, threads
from planner.workflow.sweep_store import Store
from planner.workflow.sweep_task import Row, Task, run_task

POLL_S = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class SweepProgress:
    """How far a sweep is.

    Attributes
    ----------
    done, total
        Tasks that have a row, those that were known before included, of all.
    known
        Rows that were there before.
    latest
        The row that came last; None while none has.
    """

    done: int
    total: int
    known: int
    latest: Row | None = None


Listener = Callable[[SweepProgress], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Swept:
    """What a sweep brought: rows in the order of the tasks; those that were stopped lack."""

    rows: tuple[Row, ...]
    stopped: bool


def _never() -> bool:
    return False


def _silent(_progress: SweepProgress) -> None:
    """Listen to nothing."""


def sweep(
    tasks: Sequence[Task],
    *,
    where: str = "",
    workers: int | None = None,
    store: Store | None = None,
    listener: Listener = _silent,
    stop: Callable[[], bool] = _never,
) -> Swept:
    """Return a row for each task.

    Parameters
    ----------
    tasks
        What to plan; the order is kept.
    where
        Empty: threads; ``local``: a Dask cluster on this machine; else a scheduler's address.
    workers
        Tasks at once, of threads and the local cluster; None: one for each core.
    store
        Keeps rows as they come, and knows those that are there already.
    listener
        Hears of every row.
    stop
        True ends the sweep with the rows that are there; searches that run are given up.

    Raises
    ------
    planner.workflow.executors.ClusterError
        If the cluster cannot be used.
    planner.workflow.sweep_store.NotASweepError
        If the store's file is none.
    """
    keys = [task.key() for task in tasks]
    known = {} if store is None else store.known()
    found = {key: known[key] for key in keys if key in known}
    left = [task for task, key in zip(tasks, keys, strict=True) if key not in found]
    before = len(found)
    listener(SweepProgress(done=before, total=len(tasks), known=before))
    for row in _rows(left, where=where, workers=workers, stop=stop):
        if row.get("stopped_early") and stop():
            continue
        found[str(row["key"])] = row
        if store is not None:
            store.add(row)
        listener(SweepProgress(done=len(found), total=len(tasks), known=before, latest=row))
    rows = tuple(found[key] for key in keys if key in found)
    stopped = len(rows) < len(keys)
    if store is not None and not stopped:
        store.close({**known, **found}.values())
    return Swept(rows=rows, stopped=stopped)


def _rows(
    tasks: Sequence[Task], *, where: str, workers: int | None, stop: Callable[[], bool]
) -> Iterator[Row]:
    """Yield rows as they come."""
    if not tasks:
        return
    count = workers or default_workers(len(tasks))
    work = partial(run_task, stop=stop) if not where else run_task
    with _executor(where, count) as executor:
        waiting = [executor.submit(work, task) for task in tasks]
        yield from _arriving(waiting, stop)


@contextmanager
def _executor(where: str, count: int) -> Iterator[Executor]:
    with cluster(where, count) if where else threads(count) as executor:
        yield executor


def _arriving(waiting: Iterable[Future[Row]], stop: Callable[[], bool]) -> Iterator[Row]:
    """Yield results as they come, looking at the stop flag in between."""
    left = set(waiting)
    while left:
        try:
            for future in as_completed(left, timeout=POLL_S):
                left.discard(future)
                if not future.cancelled():
                    yield future.result()
                break
        except NotYetError:
            pass
        if stop():
            left = {future for future in left if not future.cancel()}
