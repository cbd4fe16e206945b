"""Where a plan may be written."""

import os
from pathlib import Path

import pytest

from planner.commands.console import RefusedError
from planner.commands.targets import default_target, plan_target


@pytest.fixture
def scenario(tmp_path: Path) -> Path:
    folder = tmp_path / "my site"
    folder.mkdir()
    (folder / "zones.csv").write_text("zone\n")
    return folder


def _refusal(scenario: Path, out: Path | None) -> str:
    with pytest.raises(RefusedError) as refused:
        plan_target(scenario, out)
    return str(refused.value)


def test_the_plan_of_a_folder_goes_into_it_and_that_of_a_workbook_beside_it(
    scenario: Path,
) -> None:
    workbook = scenario.parent / "site.xlsx"
    workbook.write_bytes(b"")
    assert plan_target(scenario, None) == scenario / "plan"
    assert default_target(workbook) == scenario.parent / "site-plan"


def test_a_new_folder_an_empty_one_and_one_with_a_plan_are_taken(
    scenario: Path, tmp_path: Path
) -> None:
    new, empty, plan = tmp_path / "a" / "b", tmp_path / "empty", tmp_path / "plan"
    empty.mkdir()
    plan.mkdir()
    (plan / "summary.json").write_text('{"scenario_sha256": "0"}')
    for target in (new, empty, plan):
        assert plan_target(scenario, target) == target
    assert not new.exists()


def test_a_folder_with_other_things_is_refused(scenario: Path, tmp_path: Path) -> None:
    photos = tmp_path / "photos"
    photos.mkdir()
    (photos / "deck.jpg").write_bytes(b"")
    assert "holds other things than a plan" in _refusal(scenario, photos)


def test_the_scenario_itself_and_a_folder_around_it_are_refused(scenario: Path) -> None:
    assert "other things" in _refusal(scenario, scenario)
    (scenario.parent / "summary.json").write_text('{"scenario_sha256": "0"}')
    assert "holds the scenario itself" in _refusal(scenario, scenario.parent)


def test_a_file_and_a_path_below_a_file_are_refused(scenario: Path) -> None:
    table = scenario / "zones.csv"
    assert "is a file; give --out a folder" in _refusal(scenario, table)
    assert "no folder can be made below it" in _refusal(scenario, table / "plan")


@pytest.mark.skipif(os.geteuid() == 0, reason="the superuser may write anywhere")
def test_a_folder_that_may_not_be_written_is_refused(scenario: Path, tmp_path: Path) -> None:
    locked = tmp_path / "locked"
    locked.mkdir(mode=0o500)
    assert "cannot be written" in _refusal(scenario, locked / "plan")


def test_a_link_is_followed(scenario: Path, tmp_path: Path) -> None:
    real = tmp_path / "real"
    real.mkdir()
    link = tmp_path / "link"
    link.symlink_to(real)
    assert plan_target(scenario, link) == real
