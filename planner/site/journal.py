"""The journal of the site: entries are added, never changed, and never lost once acknowledged.

One SQLite file in write-ahead mode.  Each writing is one transaction that is on the disk before it
is acknowledged (``synchronous=FULL``: "the database is guaranteed to be durable" across a power
loss, SQLite documentation, PRAGMA synchronous).  A process that is killed at any moment leaves the
entries acknowledged before; two writers wait for each other.  Triggers refuse every change and
every deletion.

The file must lie on a disk of the machine that writes: the write-ahead log does not work over a
network file system (SQLite documentation, "Write-Ahead Logging", section 1).
"""

from __future__ import annotations

import json
import sqlite3
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

from planner.core.problems import InputRefusedError, Problem
from planner.site.entry import Entry, Stored, body_of, current, entry_of

VERSION = 1
WAIT_S = 30.0
"""How long a writer waits for another [s]."""
_RETRY_S = 0.02
_SCHEMA = """
CREATE TABLE IF NOT EXISTS entries (
  number INTEGER PRIMARY KEY AUTOINCREMENT,
  token TEXT NOT NULL UNIQUE,
  recorded_at TEXT NOT NULL,
  by TEXT NOT NULL CHECK (length(by) > 0),
  corrects INTEGER REFERENCES entries(number),
  withdrawn INTEGER NOT NULL DEFAULT 0,
  body TEXT NOT NULL
) STRICT;
CREATE TRIGGER IF NOT EXISTS entries_stay BEFORE UPDATE ON entries
BEGIN SELECT RAISE(ABORT, 'entries are never changed; write a correction'); END;
CREATE TRIGGER IF NOT EXISTS entries_remain BEFORE DELETE ON entries
BEGIN SELECT RAISE(ABORT, 'entries are never deleted; write a withdrawal'); END;
"""


class Journal:
    """The journal in one file.

    Parameters
    ----------
    path
        The file; made with its folder by the first entry.
    """

    def __init__(self, path: Path) -> None:
        self.path = path

    def add(
        self,
        entry: Entry,
        *,
        by: str,
        recorded_at: datetime,
        token: str,
        corrects: int | None = None,
        withdrawn: bool = False,
    ) -> int:
        """Write one entry and return its number; when this returns, the entry is kept.

        Parameters
        ----------
        by
            Who writes; not empty.
        recorded_at
            When, with a UTC offset.
        token
            Tells this writing from every other one: a second try with the same token writes
            nothing and returns the number of the first.
        corrects
            Number of the entry whose place this one takes.
        withdrawn
            Whether it only takes that entry back.

        Raises
        ------
        InputRefusedError
            If there is no entry to correct, nobody's name, or the file is no journal.
        """
        row = (token, entry, corrects, withdrawn)
        return self.add_all([row], by=by, recorded_at=recorded_at)[0]

    def add_all(
        self,
        rows: Sequence[tuple[str, Entry, int | None, bool]],
        *,
        by: str,
        recorded_at: datetime,
    ) -> list[int]:
        """Write several entries, all or none; each is a token, entry, corrected one, withdrawn."""
        name = " ".join(by.split())
        if not name:
            raise InputRefusedError([self._problem("by", "write who makes the entry")])
        stamp = recorded_at.astimezone(UTC).isoformat()
        with self._writing() as database:
            return [self._insert(database, row, by=name, stamp=stamp) for row in rows]

    def stored(self) -> tuple[Stored, ...]:
        """Return every entry ever written, in order; none where there is no file yet."""
        if not self.path.is_file():
            return ()
        with self._opened() as database:
            rows = database.execute(
                "SELECT number, recorded_at, by, corrects, withdrawn, body FROM entries"
                " ORDER BY number"
            ).fetchall()
        return tuple(
            Stored(
                number=number,
                recorded_at=datetime.fromisoformat(recorded_at),
                by=by,
                corrects=corrects,
                withdrawn=bool(withdrawn),
                entry=entry_of(json.loads(body)),
            )
            for number, recorded_at, by, corrects, withdrawn, body in rows
        )

    def current(self) -> tuple[Stored, ...]:
        """Return what holds now, corrections in the place of what they correct."""
        return current(self.stored())

    def _insert(
        self,
        database: sqlite3.Connection,
        row: tuple[str, Entry, int | None, bool],
        *,
        by: str,
        stamp: str,
    ) -> int:
        token, entry, corrects, withdrawn = row
        known = database.execute("SELECT number FROM entries WHERE token = ?", (token,)).fetchone()
        if known:
            return int(known[0])
        if corrects is not None:
            found = database.execute("SELECT 1 FROM entries WHERE number = ?", (corrects,))
            if found.fetchone() is None:
                message = f"there is no entry {corrects} to correct; list the journal first"
                raise InputRefusedError([self._problem("corrects", message)])
        body = json.dumps(body_of(entry), ensure_ascii=False, sort_keys=True, allow_nan=False)
        made = database.execute(
            "INSERT INTO entries (token, recorded_at, by, corrects, withdrawn, body)"
            " VALUES (?, ?, ?, ?, ?, ?)",
            (token, stamp, by, corrects, int(withdrawn), body),
        )
        return int(made.lastrowid or 0)

    @contextmanager
    def _writing(self) -> Iterator[sqlite3.Connection]:
        self.path.parent.mkdir(parents=True, exist_ok=True)
        with self._opened() as database:
            database.execute("BEGIN IMMEDIATE")
            try:
                yield database
            except BaseException:
                database.execute("ROLLBACK")
                raise
            database.execute("COMMIT")

    @contextmanager
    def _opened(self) -> Iterator[sqlite3.Connection]:
        try:
            database = sqlite3.connect(self.path, timeout=WAIT_S, isolation_level=None)
            try:
                self._prepare(database)
                yield database
            finally:
                database.close()
        except sqlite3.Error as failure:
            message = f"the journal cannot be used: {failure}"
            raise InputRefusedError([self._problem("", message)]) from failure

    def _prepare(self, database: sqlite3.Connection) -> None:
        _patiently(database, "PRAGMA journal_mode=WAL")
        database.execute("PRAGMA synchronous=FULL")
        database.execute("PRAGMA foreign_keys=ON")
        (version,) = database.execute("PRAGMA user_version").fetchone()
        if version > VERSION:
            message = (
                f"the journal was written by a newer planner (form {version}, this one knows"
                f" {VERSION}); use that one"
            )
            raise InputRefusedError([self._problem("", message)])
        if version < VERSION:
            _patiently(database, f"BEGIN IMMEDIATE;{_SCHEMA}PRAGMA user_version={VERSION};COMMIT;")

    def _problem(self, column: str, message: str) -> Problem:
        return Problem(file=self.path.name, column=column, message=message, code="journal")


def _patiently(database: sqlite3.Connection, script: str) -> None:
    """Run a script; where another writer is in the way, try again for a while.

    A change of the journal mode does not wait by itself for other connections.
    """
    tries = round(WAIT_S / _RETRY_S)
    for turn in range(tries):
        try:
            database.executescript(script)
        except sqlite3.OperationalError as failure:
            busy = "locked" in str(failure) or "busy" in str(failure)
            if not busy or turn == tries - 1:
                raise
            if database.in_transaction:
                database.execute("ROLLBACK")
            time.sleep(_RETRY_S)
        else:
            return
