"""Drafts are kept at once, undone step by step, and never written over unseen changes."""

import sqlite3
from datetime import UTC, datetime

import pytest

from planner.scenario.raw import RawTable, Tables
from planner.screens.draft_content import content_of
from planner.screens.drafts import FILE, STEPS_MAX, DraftStore, NoDraftError, Note, StaleError

AT = datetime(2027, 3, 1, 14, 3, tzinfo=UTC)


def tables(depth="40", **campaign):
    zones = RawTable(columns=("zone", "depth_mm"), rows=(("Z1", depth),))
    return Tables(campaign={"campaign.name": "Trial", **campaign}, tables={"zones": zones})


def note(revision, what="zones: 1 cell", who="Ada"):
    return Note(revision=revision, what=what, who=who, at=AT)


@pytest.fixture
def store(tmp_path):
    """A store with one draft, d1, in it."""
    drafts = DraftStore(tmp_path / "drafts")
    drafts.create("d1", tables(), name="Trial", source="a test", place="", note=note(1, "opened"))
    return drafts


def depth_of(store, draft_id="d1"):
    return store.tables(draft_id)[1].tables["zones"].rows[0][1]


def test_a_new_draft_gives_its_tables_back(store):
    head, kept = store.tables("d1")
    assert kept == tables()
    assert head == store.head("d1")
    assert (head.revision, head.undoes, head.redoes) == (1, "", "")


def test_a_change_on_the_latest_revision_is_kept(store):
    head = store.save("d1", tables("45"), seen=1, note=note(2, "zones: 40 to 45"))
    assert head.revision == 2
    assert head.undoes == "zones: 40 to 45"
    assert depth_of(store) == "45"


def test_a_change_on_an_older_revision_is_not_written_and_tells_who_was_first(store):
    store.save("d1", tables("45"), seen=1, note=note(2, "zones: 40 to 45", who="Ada"))
    with pytest.raises(StaleError) as stale:
        store.save("d1", tables("50"), seen=1, note=note(2, who="Ben"))
    assert depth_of(store) == "45"
    (told,) = stale.value.notes
    assert (told.who, told.what, told.at) == ("Ada", "zones: 40 to 45", AT)


def test_the_same_content_again_is_no_change(store):
    assert store.save("d1", tables(), seen=1, note=note(2)).revision == 1


def test_undo_and_redo_walk_the_steps(store):
    store.save("d1", tables("45"), seen=1, note=note(2))
    store.save("d1", tables("50"), seen=2, note=note(3))
    store.step("d1", -1, seen=3, note=note(4))
    assert depth_of(store) == "45"
    store.step("d1", -1, seen=4, note=note(5))
    assert depth_of(store) == "40"
    head = store.step("d1", +1, seen=5, note=note(6))
    assert depth_of(store) == "45"
    assert (head.revision, head.redoes) == (6, "zones: 1 cell")


def test_where_nothing_can_be_undone_nothing_happens(store):
    assert store.step("d1", -1, seen=1, note=note(2)).revision == 1
    assert store.step("d1", +1, seen=1, note=note(2)).revision == 1


def test_a_change_after_undo_drops_what_could_be_redone(store):
    store.save("d1", tables("45"), seen=1, note=note(2))
    store.step("d1", -1, seen=2, note=note(3))
    head = store.save("d1", tables("60"), seen=3, note=note(4, "zones: 40 to 60"))
    assert (head.undoes, head.redoes) == ("zones: 40 to 60", "")
    assert depth_of(store) == "60"


def test_undo_on_an_older_revision_is_refused(store):
    store.save("d1", tables("45"), seen=1, note=note(2))
    store.save("d1", tables("50"), seen=2, note=note(3))
    with pytest.raises(StaleError):
        store.step("d1", -1, seen=2, note=note(3))
    assert depth_of(store) == "50"


def test_steps_beyond_the_number_kept_go_the_oldest_first(store):
    for number in range(STEPS_MAX + 5):
        head = store.save("d1", tables(str(number)), seen=number + 1, note=note(number + 2))
    for _ in range(STEPS_MAX + 5):
        head = store.step("d1", -1, seen=head.revision, note=note(head.revision + 1))
    # 206 states were made, the last 200 are kept: the first of them is change number 5.
    assert depth_of(store) == "5"


def test_a_second_store_on_the_same_folder_sees_the_same_drafts(store, tmp_path):
    other = DraftStore(tmp_path / "drafts")
    other.save("d1", tables("45"), seen=1, note=note(2, who="another process"))
    with pytest.raises(StaleError):
        store.save("d1", tables("50"), seen=1, note=note(2))
    assert depth_of(store) == "45"


@pytest.mark.usefixtures("store")
def test_the_database_writes_ahead_so_that_readers_do_not_wait(tmp_path):
    with sqlite3.connect(tmp_path / "drafts" / FILE) as link:
        (mode,) = link.execute("PRAGMA journal_mode").fetchone()
    link.close()
    assert mode == "wal"


def test_the_latest_changed_stands_first_among_the_recent(store):
    later = Note(revision=1, what="opened", who="Ada", at=AT.replace(hour=15))
    store.create("d2", tables("70"), name="Later", source="a test", place="", note=later)
    assert [head.draft_id for head in store.recent()] == ["d2", "d1"]


def test_a_removed_draft_is_gone_with_its_content_and_others_keep_theirs(store, tmp_path):
    store.create("d2", tables("70"), name="B", source="a test", place="", note=note(1))
    store.remove("d2")
    assert store.head("d2") is None
    with pytest.raises(NoDraftError):
        store.tables("d2")
    assert depth_of(store) == "40"
    with sqlite3.connect(tmp_path / "drafts" / FILE) as link:
        (pieces,) = link.execute("SELECT count(*) FROM content").fetchone()
    link.close()
    assert pieces == 2  # the campaign and the zones of d1


def test_a_draft_knows_whether_its_folder_holds_the_same(store):
    head = store.create("p", tables(), name="A", source="x", place="/site", note=note(1))
    assert head.is_saved
    head = store.save("p", tables("45"), seen=1, note=note(2))
    assert not head.is_saved
    store.place_it("p", place="/site", placed=content_of(tables("45")))
    assert store.head("p").is_saved


def test_folder_and_workbook_of_the_same_tables_are_one_content():
    from dataclasses import replace

    from planner.scenario.raw import Form

    assert content_of(tables()) == content_of(replace(tables(), form=Form.WORKBOOK))
    assert content_of(tables()) != content_of(tables("41"))


def test_a_price_book_is_kept_with_the_tables(store):
    from dataclasses import replace

    with_book = replace(tables(), book={"mobilise.site": "14000"})
    store.save("d1", with_book, seen=1, note=note(2))
    assert store.tables("d1")[1] == with_book
