"""Folders and files are written whole or not at all."""

import os

import pytest

from planner.scenario.replace import replace_file, replace_folder
from planner.scenario.tables import read_tables
from planner.scenario.workbook import write_workbook
from planner.scenario.writer import write_folder
from tests.unit.scenario.scenes import scene, tidal


def names(folder):
    return sorted(path.name for path in folder.iterdir())


def test_a_new_folder_holds_the_tables_and_nothing_else(tmp_path):
    write_folder(scene(), tmp_path / "deep" / "a")
    assert names(tmp_path / "deep") == ["a"]
    assert names(tmp_path / "deep" / "a") == [
        "campaign.toml",
        "crews.csv",
        "positions.csv",
        "rigs.csv",
        "routes.csv",
        "shifts.csv",
        "zones.csv",
    ]


def test_an_old_table_goes_and_what_is_not_a_table_stays(tmp_path):
    folder = tmp_path / "a"
    write_folder(tidal(), folder)
    (folder / "plan").mkdir()
    (folder / "plan" / "spells.csv").write_text("run\n", encoding="utf-8")
    (folder / "notes.txt").write_text("ours", encoding="utf-8")
    write_folder(scene(), folder)
    assert "constituents.csv" not in names(folder)
    assert (folder / "notes.txt").read_text(encoding="utf-8") == "ours"
    assert (folder / "plan" / "spells.csv").is_file()
    assert read_tables(folder) == scene()
    assert names(tmp_path) == ["a"]


@pytest.mark.parametrize("step", [1, 2, 3])
def test_a_disk_that_fails_leaves_the_old_folder_whole(tmp_path, monkeypatch, step):
    folder = tmp_path / "a"
    write_folder(scene(), folder)
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    fail_at(monkeypatch, step)
    if step < 3:
        with pytest.raises(OSError, match="the disk is full"):
            write_folder(tidal(), folder)
        assert {path.name: path.read_bytes() for path in folder.iterdir()} == before
    else:
        write_folder(tidal(), folder)  # two renames are all it takes
        assert read_tables(folder) == tidal()
    monkeypatch.undo()
    assert names(tmp_path) == ["a"]


def fail_at(monkeypatch, step):
    """Let the given rename fail, and the ones before and after it work."""
    from pathlib import Path

    count = 0
    rename = Path.rename

    def failing(self, target):
        nonlocal count
        count += 1
        if count == step:
            raise OSError("the disk is full")
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", failing)


def test_a_file_that_cannot_be_written_leaves_the_old_one_and_no_rest(tmp_path, monkeypatch):
    path = tmp_path / "a.xlsx"
    write_workbook(scene(), path)
    before = path.read_bytes()
    from pathlib import Path

    def failing(_self, _target):
        raise OSError("the disk is full")

    monkeypatch.setattr(Path, "replace", failing)
    with pytest.raises(OSError, match="the disk is full"):
        write_workbook(tidal(), path)
    assert path.read_bytes() == before
    assert names(tmp_path) == ["a.xlsx"]


def test_written_files_have_the_rights_that_new_files_have(tmp_path):
    replace_file(tmp_path / "a", b"1")
    replace_folder(tmp_path / "b", {"c": b"2"}, own=frozenset())
    plain = tmp_path / "plain"
    plain.write_bytes(b"1")
    plain_folder = tmp_path / "plain_folder"
    plain_folder.mkdir()
    assert (tmp_path / "a").stat().st_mode == plain.stat().st_mode
    assert (tmp_path / "b").stat().st_mode == plain_folder.stat().st_mode


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere")
def test_a_folder_that_may_not_be_written_to_says_so(tmp_path):
    tmp_path.chmod(0o555)
    with pytest.raises(PermissionError):
        write_folder(scene(), tmp_path / "a")
