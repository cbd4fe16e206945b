"""Sweeps on Dask give what threads give, also when a worker is lost on the way."""

import os
import signal

import pytest

from planner.workflow import executors
from planner.workflow.executors import ClusterError
from planner.workflow.sweep import sweep
from planner.workflow.sweep_task import run_task
from tests.unit.workflow.test_sweep import task

distributed = pytest.importorskip(
    "distributed", reason="the extra cluster (Dask) is not installed"
)

pytestmark = [
    pytest.mark.solver,
    # What Dask's own processes leave behind when they are closed or killed is not ours.
    pytest.mark.filterwarnings("default"),
]

TASKS = [task(variant, seed) for variant in ("a", "b", "c") for seed in (1, 2)]


@pytest.fixture(scope="module")
def expected():
    return [run_task(one) for one in TASKS]


@pytest.fixture(scope="module")
def standing():
    """A cluster of two worker processes that stands already, and a client of ours beside it."""
    with (
        distributed.LocalCluster(
            n_workers=2,
            threads_per_worker=1,
            processes=True,
            dashboard_address=None,
            host="127.0.0.1",
            silence_logs=50,
        ) as cluster,
        distributed.Client(cluster) as client,
    ):
        yield cluster, client


def test_a_local_cluster_gives_the_same_rows_as_threads(expected):
    assert list(sweep(TASKS, where="local", workers=2).rows) == expected
    assert list(sweep(TASKS, workers=2).rows) == expected


def test_workers_of_another_version_are_refused(standing, monkeypatch):
    cluster, _ = standing
    monkeypatch.setattr(executors, "__version__", "0.0.0")
    with pytest.raises(ClusterError, match=r"this machine with planner 0\.0\.0"):
        sweep(TASKS, where=cluster.scheduler_address)


@pytest.mark.slow
def test_a_lost_worker_loses_nothing(standing):
    cluster, client = standing
    many = [task(seed=seed) for seed in range(1, 41)]
    pids = client.run(os.getpid)
    killed: list[int] = []

    def listen(progress):
        if progress.latest is not None and not killed:
            killed.append(min(pids.values()))
            os.kill(killed[0], signal.SIGKILL)

    swept = sweep(many, where=cluster.scheduler_address, listener=listen)
    assert killed
    assert list(swept.rows) == [run_task(one) for one in many]
    assert not swept.stopped


def test_an_address_at_which_nobody_answers_is_refused(monkeypatch):
    monkeypatch.setattr(executors, "CONNECT_S", 1)
    with pytest.raises(ClusterError, match="No Dask scheduler answers at"):
        sweep(TASKS, where="tcp://127.0.0.1:9")
    with pytest.raises(ClusterError, match="write an address like"):
        sweep(TASKS, where="somewhere://else")
