"""``ebbwork quantities`` on a scenario folder with and without a plan."""

import csv
import io
from pathlib import Path

import pytest

from planner.commands.main import main
from planner.workflow.demos import copy_demo


@pytest.fixture(scope="module")
def silo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("quantities") / "silo"
    copy_demo("silo-rings", folder)
    return folder


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


def test_without_a_plan_whole_zones_are_counted_and_said_to_be(silo, capsys):
    assert main(["quantities", str(silo)]) == 0
    said = capsys.readouterr()
    found = rows(said.out)
    assert len(found) == 56
    assert all(float(row["shot_m3"]) > float(row["placed_m3"]) for row in found)
    assert "There is no plan" in said.err


@pytest.mark.parametrize("by", ["week", "run"])
def test_weeks_and_runs_are_refused_without_a_plan(silo, capsys, by):
    assert main(["quantities", str(silo), "--by", by]) == 2
    assert "needs a plan" in capsys.readouterr().err


def test_why_tells_every_number_of_a_zone_with_its_source(silo, capsys):
    assert main(["quantities", str(silo), "--why", "R01W"]) == 0
    found = rows(capsys.readouterr().out)
    assert {"placed_m3", "shot_m3", "collected_kg", "water_l"} <= {row["figure"] for row in found}
    assert all(row["formula"] and row["source"] and row["trust"] for row in found)


def test_an_unknown_zone_is_refused_with_the_nearest_name(silo, capsys):
    assert main(["quantities", str(silo), "--why", "R01X"]) == 2
    assert 'did you mean "R01' in capsys.readouterr().err


def test_a_table_for_reading_leaves_empty_columns_out(silo, capsys):
    assert main(["quantities", str(silo), "--by", "mix", "--table"]) == 0
    head = capsys.readouterr().out.splitlines()[0].split()
    assert head[:2] == ["mix", "placed_m3"]
