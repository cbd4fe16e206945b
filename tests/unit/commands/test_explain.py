"""``explain``, ``plan --explain`` and ``tradeoff`` from the outside."""

import csv
import io
from pathlib import Path

import pytest

from planner.commands.explain import proven_finish_h
from planner.commands.main import main
from planner.model.identifiers import Goal


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


@pytest.fixture
def plan(scenario: Path, capfd: pytest.CaptureFixture[str]) -> Path:
    """A plan of the two patches."""
    assert main(["plan", str(scenario), "--effort", "0.1"]) == 0
    capfd.readouterr()
    return scenario / "plan"


@pytest.mark.solver
def test_the_minutes_of_the_rig_add_up(
    scenario: Path, plan: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    assert main(["explain", str(scenario), str(plan)]) == 0
    told = capfd.readouterr()
    found = {row["what"]: int(row["minutes"]) for row in rows(told.out)}
    # Monday 00:00 to 07:00 nobody is there; then 0 + two changes of 10 min and two spells
    assert found["no crew on shift"] == 7 * 60
    assert found["zone changes"] == 20
    assert set(found) == {"spraying", "zone changes", "no crew on shift"}
    assert "The rigs spray" in told.err


@pytest.mark.solver
def test_one_more_of_each_thing_is_a_row_and_no_promise(
    scenario: Path, plan: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    assert main(["explain", str(scenario), str(plan), "--one-more"]) == 0
    told = capfd.readouterr()
    found = rows(told.out)
    assert [row["change"] for row in found] == [
        *("none", "rig:R1", "crew:Ash", "rig:R1+crew:Ash", "position", "window", "hose")
    ]
    assert all(float(row["at_most_h"]) >= 0.0 for row in found)
    assert "a bound, not a promise" in told.err


@pytest.mark.solver
def test_plan_shows_both_tables_where_it_is_asked_to(
    scenario: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    assert main(["plan", str(scenario), "--effort", "0.1", "--explain"]) == 0
    told = capfd.readouterr().out
    assert "no crew on shift" in told
    assert "one more rig like R1" in told
    assert "not a promise" in told


@pytest.mark.solver
def test_a_plan_without_a_spell_binds_nothing(
    scenario: Path, plan: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    for name in ("spells.csv", "runs.csv"):
        text = (plan / name).read_text(encoding="utf-8")
        (plan / name).write_text(text.splitlines()[0] + "\n", encoding="utf-8")
    assert main(["explain", str(scenario), str(plan)]) == 1
    assert "nothing binds" in capfd.readouterr().err


@pytest.mark.solver
def test_the_trade_off_of_a_single_position_is_one_point(
    scenario: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    page, table = tmp_path / "chart.html", tmp_path / "points.csv"
    row: dict[str, str] = {}
    for out in (page, table):
        assert main(["tradeoff", str(scenario), "--effort", "0.1", "--out", str(out)]) == 0
        told = capfd.readouterr()
        (row,) = rows(told.out)
        assert (row["relocations_max"], row["relocations"], row["finish_gap"]) == ("0", "0", "0")
        assert "Fewer relocations cannot" in told.err
    assert rows(table.read_text(encoding="utf-8"))[0]["finish"] == row["finish"]
    assert "relocations allowed" in page.read_text(encoding="utf-8")


def test_an_out_file_of_another_kind_is_refused_before_any_search(
    scenario: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    assert main(["tradeoff", str(scenario), "--out", "points.xlsx"]) == 2
    told = capfd.readouterr().err
    assert told.startswith("--out points.xlsx: name a file that ends in .html")


@pytest.mark.solver
def test_without_time_there_is_no_trade_off(
    scenario: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    assert main(["tradeoff", str(scenario), "--seconds", "0.001"]) == 3
    assert "give --seconds more" in capfd.readouterr().err


def test_only_the_bound_of_a_first_goal_holds_for_every_plan() -> None:
    assert proven_finish_h({Goal.FINISH: 12.5, Goal.COST: 1.0}) == 12.5
    assert proven_finish_h({"relocations": 1, "finish": 12.5}) is None
    assert proven_finish_h({"finish": 0}) is None
    assert proven_finish_h(None) is None
