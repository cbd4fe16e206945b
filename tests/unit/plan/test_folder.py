"""A folder is written whole or not at all, at whatever moment the work stops."""

from pathlib import Path

import pytest

from planner.plan.folder import recover, replace_folder, standing

OLD, NEW = {"a.txt": "old"}, {"a.txt": "new", "b.txt": "more"}


def content(folder):
    return {path.name: path.read_text(encoding="utf-8") for path in folder.iterdir()}


@pytest.fixture
def folder(tmp_path):
    target = tmp_path / "plan"
    replace_folder(target, OLD, own=OLD)
    return target


def test_the_new_files_take_the_place_of_the_old(folder):
    replace_folder(folder, NEW, own=OLD)
    assert content(folder) == NEW
    assert [path.name for path in folder.parent.iterdir()] == ["plan"]


def test_a_file_of_the_old_folder_goes_with_it_and_others_stay(folder):
    (folder / "mine.txt").write_text("mine", encoding="utf-8")
    replace_folder(folder, {"b.txt": "new"}, own=OLD)
    assert content(folder) == {"b.txt": "new", "mine.txt": "mine"}


def test_when_writing_fails_the_old_folder_stands_and_no_rest_lies_about(folder):
    with pytest.raises(FileNotFoundError):
        replace_folder(folder, {"a.txt": "new", "no/such/place.txt": ""}, own=OLD)
    assert content(folder) == OLD
    assert [path.name for path in folder.parent.iterdir()] == ["plan"]


@pytest.mark.parametrize("stop", [OSError, KeyboardInterrupt])
def test_when_the_second_rename_is_stopped_the_old_folder_comes_back(folder, monkeypatch, stop):
    real = Path.rename

    def stopping(path, target):
        if ".new-" in path.name:
            raise stop
        return real(path, target)

    monkeypatch.setattr(Path, "rename", stopping)
    with pytest.raises(stop):
        replace_folder(folder, NEW, own=OLD)
    assert content(folder) == OLD
    assert [path.name for path in folder.parent.iterdir()] == ["plan"]


def test_a_machine_that_stops_between_the_two_renames_loses_nothing(folder):
    folder.rename(folder.with_name(".plan.old"))
    assert content(standing(folder)) == OLD
    recover(folder)
    assert content(folder) == OLD
    assert standing(folder) == folder


def test_the_next_writing_goes_on_from_there(folder):
    folder.rename(folder.with_name(".plan.old"))
    (folder.parent / ".plan.new-1").mkdir()  # what the stopped machine left half written
    replace_folder(folder, {"b.txt": "new"}, own=())
    assert content(folder) == {"a.txt": "old", "b.txt": "new"}


def test_an_older_rest_does_not_come_back_over_a_whole_folder(folder):
    rest = folder.with_name(".plan.old")
    rest.mkdir()
    (rest / "a.txt").write_text("older", encoding="utf-8")
    recover(folder)
    assert content(standing(folder)) == OLD
    replace_folder(folder, NEW, own=OLD)
    assert content(folder) == NEW
    assert not rest.exists()
