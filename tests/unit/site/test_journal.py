"""The journal: nothing acknowledged is lost, nothing is changed, two writers do not clash."""

import os
import signal
import sqlite3
import subprocess
import sys
import threading
import time
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest

from planner.core.problems import InputRefusedError
from planner.site.entry import Entry
from planner.site.journal import VERSION, Journal

AT = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
WRITER = Path(__file__).with_name("writer.py")


@pytest.fixture
def journal(tmp_path):
    return Journal(tmp_path / "site" / "journal.sqlite")


def add(journal, note, **more):
    fields = {"by": "Ann", "recorded_at": AT, "token": note} | more
    return journal.add(Entry(note=note), **fields)


def notes(journal):
    return [row.entry.note for row in journal.stored()]


def test_a_journal_that_nobody_wrote_to_is_empty_and_makes_no_file(journal):
    assert journal.stored() == ()
    assert not journal.path.parent.exists()


def test_entries_come_back_in_order_with_who_and_when(journal):
    assert [add(journal, "a"), add(journal, "b", by="  Bo   Ek ")] == [1, 2]
    first, second = journal.stored()
    assert (first.number, first.by, first.recorded_at, first.entry.note) == (1, "Ann", AT, "a")
    assert second.by == "Bo Ek"


def test_the_same_writing_twice_is_one_entry(journal):
    assert add(journal, "a") == add(journal, "a")
    assert notes(journal) == ["a"]


def test_several_entries_are_written_all_or_none(journal):
    rows = [("t1", Entry(note="a"), None, False), ("t2", Entry(note="b"), 99, False)]
    with pytest.raises(InputRefusedError, match="no entry 99"):
        journal.add_all(rows, by="Ann", recorded_at=AT)
    assert journal.stored() == ()


def test_nobody_cannot_write(journal):
    with pytest.raises(InputRefusedError, match="who makes the entry"):
        add(journal, "a", by="  ")


@pytest.mark.parametrize("change", ["UPDATE entries SET by='Eve'", "DELETE FROM entries"])
def test_the_file_itself_refuses_to_change_or_drop_an_entry(journal, change):
    add(journal, "a")
    database = sqlite3.connect(journal.path)
    with pytest.raises(sqlite3.IntegrityError, match="entries are never"):
        database.execute(change)
    database.close()
    assert notes(journal) == ["a"]


def test_the_file_is_in_write_ahead_mode(journal):
    add(journal, "a")
    database = sqlite3.connect(journal.path)
    assert database.execute("PRAGMA journal_mode").fetchone() == ("wal",)
    database.close()


def test_a_file_that_is_no_journal_is_refused_in_one_line(tmp_path):
    path = tmp_path / "journal.sqlite"
    path.write_bytes(b"no database at all, but long enough to be read as one" * 40)
    with pytest.raises(InputRefusedError) as refused:
        Journal(path).stored()
    (problem,) = refused.value.problems
    assert problem.line().startswith("journal.sqlite::: the journal cannot be used")


def test_a_journal_of_a_newer_form_is_left_alone(journal):
    add(journal, "a")
    database = sqlite3.connect(journal.path)
    database.execute(f"PRAGMA user_version={VERSION + 1}")
    database.commit()
    database.close()
    with pytest.raises(InputRefusedError, match="newer planner"):
        add(journal, "b")


def test_two_writers_at_once_lose_nothing(journal):
    faults = []

    def write(name):
        try:
            for number in range(25):
                add(journal, f"{name}{number}")
        except InputRefusedError as fault:
            faults.append(fault)

    threads = [threading.Thread(target=write, args=(name,)) for name in "ab"]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert faults == []
    assert sorted(notes(journal)) == sorted(f"{name}{k}" for name in "ab" for k in range(25))
    assert [row.number for row in journal.stored()] == list(range(1, 51))


def start(path, name, count=100_000):
    command = [sys.executable, str(WRITER), str(path), name, str(count)]
    environment = {**os.environ, "PYTHONPATH": str(Path(__file__).resolve().parents[3])}
    return subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=environment)


def kill_at_random(path, rounds, seed):
    """Kill two writers in the middle, again and again; return what they acknowledged."""
    moments = np.random.default_rng(seed)
    told = []
    for turn in range(rounds):
        writers = [start(path, f"{turn}{name}") for name in "ab"]
        first = writers[0].stdout.readline()
        told.append(first.strip())
        time.sleep(moments.uniform(0.0, 0.03))  # the moment is the point of the test
        for writer in writers:
            writer.send_signal(signal.SIGKILL)
        for writer in writers:
            told += [line.strip() for line in writer.stdout.read().splitlines()]
            writer.stdout.close()
            writer.wait()
    return [token for token in told if token]


def check_nothing_lost(path, told):
    kept = [row.entry.note for row in Journal(path).stored()]
    assert told
    whole = {token for token in told if "-" in token}
    assert whole <= set(kept)
    assert len(kept) == len(set(kept))
    numbers = [row.number for row in Journal(path).stored()]
    assert numbers == sorted(numbers)
    database = sqlite3.connect(path)
    assert database.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    database.close()


def test_no_acknowledged_entry_is_lost_in_twenty_kills(tmp_path):
    path = tmp_path / "journal.sqlite"
    check_nothing_lost(path, kill_at_random(path, rounds=10, seed=8))


@pytest.mark.slow
@pytest.mark.timeout(300)
def test_no_acknowledged_entry_is_lost_in_two_hundred_kills(tmp_path):
    path = tmp_path / "journal.sqlite"
    check_nothing_lost(path, kill_at_random(path, rounds=100, seed=88))
