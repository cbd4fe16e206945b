"""Sweeps: rows that depend on their task alone, kept as they come, taken up again."""

from dataclasses import replace

import pandas as pd
import pytest

from planner.core.problems import InputRefusedError
from planner.estimate.staging import staging_of
from planner.workflow.sweep import sweep
from planner.workflow.sweep_store import COLUMNS, NotASweepError, Store, read_rows, write_rows
from planner.workflow.sweep_task import Task, run_task
from tests.unit.scenario.scenes import scene

PRICED = {
    "prices.day": "100",
    "prices.crew_shift.A": "300",
    "prices.material_m3.dry": "200",
    "campaign.goal": "cost;finish",
}
TABLES = replace(scene(PRICED), book={"mobilise.site": "1000", "break_out.m3": "50"})


def task(variant="a", seed=1, **changes):
    fields = {"variant": variant, "name": variant, "tables": TABLES, "seed": seed, "effort": 0.01}
    return Task(**(fields | changes))


TASKS = [task(variant, seed) for variant in ("a", "b") for seed in (1, 2)]


def test_a_row_tells_the_plan_and_its_estimate():
    row = run_task(task())
    # Two zones of 10 m2 x 40 mm x 1.1 = 0.44 m3; a third of what is shot falls (built-in mix).
    assert row["planned_m3"] == pytest.approx(0.88)
    assert (row["left_out"], row["broken_rules"], row["processes"]) == (0, 0, "dry")
    assert row["crew_shifts"] == 1
    assert row["money_mobilise"] == 1000.0
    assert row["money_break_out"] == pytest.approx(0.88 * 50)
    found = staging_of(row)
    assert found is not None
    assert found.total == pytest.approx(found.cost + 1000 + 44)
    assert found.money["crew_shift"] == 300.0


def test_the_same_task_gives_the_same_row():
    assert run_task(task()) == run_task(task())


def test_the_hash_of_a_task_changes_with_everything_that_changes_its_row():
    keys = {task().key(), task(seed=2).key(), task(effort=0.02).key(), task(variant="b").key()}
    keys |= {task(goals=("finish",)).key(), task(axis="volume", at=2.0).key()}
    keys |= {task(tables=replace(TABLES, book={"mobilise.site": "1001"})).key()}
    keys |= {task(tables=scene(PRICED | {"prices.day": "101"})).key()}
    assert len(keys) == 8
    assert task().key() == task().key()


def test_rows_come_in_the_order_of_the_tasks_whoever_is_first():
    swept = sweep(TASKS, workers=2)
    assert [(row["variant"], row["seed"]) for row in swept.rows] == [
        ("a", 1),
        ("a", 2),
        ("b", 1),
        ("b", 2),
    ]
    assert not swept.stopped
    assert list(swept.rows) == [run_task(one) for one in TASKS]


def test_results_lie_in_one_parquet_file_that_pandas_opens(tmp_path):
    path = tmp_path / "deep" / "sweep.parquet"
    swept = sweep(TASKS, store=Store(path))
    frame = pd.read_parquet(path)
    assert list(frame.columns) == list(COLUMNS)
    assert len(frame) == 4
    assert frame["total"].tolist() == [row["total"] for row in swept.rows]
    assert frame.groupby("variant")["total"].min().index.tolist() == ["a", "b"]
    assert not (tmp_path / "deep" / "sweep.parquet.part").exists()


def test_a_stopped_sweep_keeps_its_rows_and_goes_on_from_them(tmp_path):
    store = Store(tmp_path / "sweep.parquet")
    seen = []

    def listen(progress):
        seen.append((progress.done, progress.known))

    def stop():
        return len(seen) > 2  # after the first report and two rows

    first = sweep(TASKS, workers=1, store=store, listener=listen, stop=stop)
    assert first.stopped
    assert 2 <= len(first.rows) < 4
    assert not store.path.exists()
    seen.clear()
    again = sweep(TASKS, workers=1, store=store, listener=listen)
    assert seen[0] == (len(first.rows), len(first.rows))
    assert len(seen) == 1 + 4 - len(first.rows)
    assert list(again.rows) == [run_task(one) for one in TASKS]


def test_a_sweep_that_is_asked_for_more_plans_only_what_is_new(tmp_path):
    store = Store(tmp_path / "sweep.parquet")
    sweep(TASKS, store=store)
    done = []
    sweep([*TASKS, task("c")], store=store, listener=lambda progress: done.append(progress.latest))
    assert [row["variant"] for row in done if row] == ["c"]
    assert len(read_rows(store.path)) == 5


def test_a_line_that_was_not_finished_is_planned_again(tmp_path):
    store = Store(tmp_path / "sweep.parquet")
    store.add(run_task(TASKS[0]))
    with (tmp_path / "sweep.parquet.part").open("a", encoding="utf-8") as file:
        file.write('{"key": "half')
    assert len(store.known()) == 1


def test_another_file_in_its_place_is_refused(tmp_path):
    path = tmp_path / "sweep.parquet"
    path.write_text("hello", encoding="utf-8")
    with pytest.raises(NotASweepError):
        sweep(TASKS, store=Store(path))
    pd.DataFrame({"a": [1]}).to_parquet(path)
    with pytest.raises(NotASweepError, match="columns"):
        read_rows(path)


def test_rows_survive_the_file_without_loss(tmp_path):
    rows = [run_task(TASKS[0])]
    write_rows(tmp_path / "x.parquet", rows)
    (back,) = read_rows(tmp_path / "x.parquet")
    assert {name: back[name] for name in rows[0]} == rows[0]


def test_a_fault_in_a_task_comes_out():
    broken = task(tables=scene({"campaign.start": "2027-13-01"}))
    with pytest.raises(InputRefusedError, match=r"campaign\.start"):
        sweep([broken])
