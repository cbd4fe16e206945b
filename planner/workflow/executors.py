"""Who does the tasks of a sweep: threads here, a local Dask cluster, or one that stands already.

All three stand behind the interface of :mod:`concurrent.futures`.  Dask hands the tasks of a lost
worker to another one.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from concurrent.futures import Executor, ThreadPoolExecutor
from contextlib import contextmanager
from typing import TYPE_CHECKING

from planner import __version__

if TYPE_CHECKING:
    from distributed import Client

LOCAL = "local"
THREAD = "sweep"
"""How the names of the threads of a sweep begin."""
CONNECT_S = 15
RETRIES = 3
"""How often a task is handed on after its worker was lost."""


class ClusterError(Exception):
    """The cluster cannot be used; the message is one line that says what would do."""


def default_workers(tasks: int) -> int:
    """Return how many tasks run at once: as many as this machine has cores, or as there are."""
    return max(1, min(len(os.sched_getaffinity(0)), tasks))


@contextmanager
def threads(workers: int) -> Iterator[Executor]:
    """Run tasks in threads of this process: the solver lets other threads work.

    What ends the block by force does not wait for searches that run.
    """
    pool = ThreadPoolExecutor(max_workers=workers, thread_name_prefix=THREAD)
    try:
        yield pool
    except BaseException:
        pool.shutdown(wait=False, cancel_futures=True)
        raise
    pool.shutdown(wait=True, cancel_futures=True)


@contextmanager
def cluster(where: str, workers: int) -> Iterator[Executor]:
    """Run tasks on Dask: ``local``, or the address of a scheduler.

    Parameters
    ----------
    where
        ``local`` for worker processes on this machine, else such as ``tcp://10.0.0.5:8786``.
    workers
        Worker processes of the local cluster.

    Raises
    ------
    ClusterError
        If Dask is not installed, the scheduler does not answer, or its workers do not fit.
    """
    try:
        import distributed  # noqa: PLC0415, F401 - an extra, and slow to import
    except ImportError as error:
        msg = 'Dask is not installed; install the extra: pip install "planner[cluster]"'
        raise ClusterError(msg) from error
    with _local(workers) if where == LOCAL else _standing(where) as client:
        yield client.get_executor(pure=False, retries=RETRIES)


@contextmanager
def _local(workers: int) -> Iterator[Client]:
    from distributed import Client, LocalCluster  # noqa: PLC0415 - an extra, and slow to import

    with (
        LocalCluster(
            n_workers=workers,
            threads_per_worker=1,
            processes=True,
            dashboard_address=None,
            host="127.0.0.1",
            silence_logs=50,
        ) as local,
        Client(local) as client,
    ):
        yield client


@contextmanager
def _standing(address: str) -> Iterator[Client]:
    from distributed import Client  # noqa: PLC0415 - an extra, and slow to import

    try:
        client = Client(address, timeout=CONNECT_S)
    except (OSError, ValueError, TimeoutError) as error:
        msg = f"No Dask scheduler answers at {address}; write an address like tcp://HOST:8786"
        raise ClusterError(msg) from error
    with client:
        _look_at_workers(client, address)
        yield client


def _look_at_workers(client: Client, address: str) -> None:
    """Refuse a cluster without workers, or with workers that plan in another version."""
    try:
        versions = client.run(worker_version)
    except ImportError as error:
        msg = f"The workers at {address} cannot import the planner; install it on each of them"
        raise ClusterError(msg) from error
    if not versions:
        msg = f"The scheduler at {address} has no workers; start some with: dask worker {address}"
        raise ClusterError(msg)
    here = worker_version()
    odd = sorted(name for name, version in versions.items() if version != here)
    if odd:
        msg = (
            f"{odd[0]} plans with {versions[odd[0]]}, this machine with {here}; the same versions "
            "on all machines give the same plans"
        )
        raise ClusterError(msg)


def worker_version() -> str:
    """Return what decides which plan comes out: the versions of planner and solver."""
    from importlib.metadata import version  # noqa: PLC0415 - only where it is wanted

    return f"planner {__version__} and ortools {version('ortools')}"
