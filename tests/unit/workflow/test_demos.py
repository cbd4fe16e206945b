"""Demo scenarios are found and copied, and nothing of the user's is written over."""

from pathlib import Path

import pytest

from planner.workflow.demos import FolderInUseError, copy_demo, demos, first_demo


def test_the_demos_are_found_and_the_first_look_is_at_the_smallest() -> None:
    assert list(demos()) == sorted(demos())
    assert {"jetty-piles", "quay-soffit", "silo-rings", "trunk-sewer"} <= set(demos())
    assert first_demo() == "silo-rings"  # 56 zones against 58, 60 and 120


def test_a_demo_is_copied_with_all_its_files_but_no_plan(tmp_path: Path) -> None:
    target = tmp_path / "a b" / "silo"
    assert copy_demo("silo-rings", target)
    wanted = {file.name for file in demos()["silo-rings"].iterdir() if file.is_file()}
    assert {file.name for file in target.iterdir()} == wanted


def test_a_scenario_that_stands_there_is_left_as_it_is(tmp_path: Path) -> None:
    copy_demo("silo-rings", tmp_path)
    (tmp_path / "zones.csv").write_text("mine")
    assert not copy_demo("silo-rings", tmp_path)
    assert (tmp_path / "zones.csv").read_text() == "mine"


def test_a_folder_with_other_things_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("dear")
    with pytest.raises(FolderInUseError):
        copy_demo("silo-rings", tmp_path)
    assert [file.name for file in tmp_path.iterdir()] == ["letter.txt"]


def test_a_file_in_the_way_is_left_alone(tmp_path: Path) -> None:
    file = tmp_path / "demo"
    file.write_text("x")
    with pytest.raises(FolderInUseError):
        copy_demo("silo-rings", file)


def test_the_variants_of_a_demo_are_copied_with_it(tmp_path: Path) -> None:
    copy_demo("slope-face", tmp_path / "slope")
    names = {file.name for file in (tmp_path / "slope" / "variants").iterdir()}
    assert names == {"dry.toml", "wet.toml", "wet-two-pumps.toml"}
