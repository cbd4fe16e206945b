"""A draft goes back to a folder whole, and never over what others wrote there."""

from datetime import UTC, datetime

import pytest

from planner.scenario.raw import RawTable, Tables
from planner.scenario.tables import read_tables
from planner.scenario.writer import write_folder
from planner.screens import state
from planner.screens.drafts import DraftStore, Note
from planner.screens.save_back import save_to
from planner.screens.state import Workspace

AT = datetime(2027, 3, 1, tzinfo=UTC)


def tables(depth="40"):
    zones = RawTable(columns=("zone", "depth_mm"), rows=(("Z1", depth),))
    return Tables(campaign={"campaign.name": "Trial"}, tables={"zones": zones})


@pytest.fixture
def store(tmp_path, monkeypatch):
    drafts = DraftStore(tmp_path / "drafts")
    monkeypatch.setattr(state, "store", lambda: drafts)
    return drafts


def opened(store, place, depth="40"):
    note = Note(revision=1, what="opened", who="Ada", at=AT)
    head = store.create("d", tables(depth), name="T", source="x", place=str(place), note=note)
    return Workspace(head=head, tables=tables(depth))


def test_a_new_folder_is_written_and_remembered(store, tmp_path):
    work = opened(store, "")
    saved = save_to(work, str(tmp_path / "site"), anyway=False)
    assert saved.is_done
    assert read_tables(tmp_path / "site") == tables()
    assert store.head("d").is_saved


def test_a_folder_changed_by_others_is_asked_about_first(store, tmp_path):
    site = tmp_path / "site"
    write_folder(tables(), site)
    work = opened(store, site)
    write_folder(tables("99"), site)
    saved = save_to(work, str(site), anyway=False)
    assert (saved.is_done, saved.asks) == (False, True)
    assert "changed there since" in saved.message
    assert read_tables(site) == tables("99")
    assert save_to(work, str(site), anyway=True).is_done
    assert read_tables(site) == tables()


def test_another_scenario_is_not_written_over_unasked(store, tmp_path):
    site = tmp_path / "site"
    write_folder(tables("99"), site)
    saved = save_to(opened(store, ""), str(site), anyway=False)
    assert saved.asks
    assert read_tables(site) == tables("99")


def test_a_folder_of_other_things_is_never_written_to(store, tmp_path):
    (tmp_path / "photos").mkdir()
    (tmp_path / "photos" / "a.txt").write_text("mine")
    saved = save_to(opened(store, ""), str(tmp_path / "photos"), anyway=True)
    assert (saved.is_done, saved.asks) == (False, False)
    assert [path.name for path in (tmp_path / "photos").iterdir()] == ["a.txt"]


def test_an_empty_path_and_a_file_are_told(store, tmp_path):
    (tmp_path / "a.txt").write_text("mine")
    work = opened(store, "")
    assert "path of a folder" in save_to(work, " ", anyway=False).message
    assert "That is a file" in save_to(work, str(tmp_path / "a.txt"), anyway=True).message
    assert (tmp_path / "a.txt").read_text() == "mine"


def test_a_workbook_can_be_written_too(store, tmp_path):
    assert save_to(opened(store, ""), str(tmp_path / "site.xlsx"), anyway=False).is_done
    assert read_tables(tmp_path / "site.xlsx") == tables()
