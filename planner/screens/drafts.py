"""Drafts: every change of a scenario, kept at once in a small database off its folder.

A draft has a revision number that grows with each change.  Whoever saves says which revision
the change was made on; where that is not the latest, nothing is written.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from planner.scenario.raw import Tables
from planner.screens.draft_content import content_hash, manifest_of, packed, tables_of

STEPS_MAX = 200
"""Most steps of a draft that can be undone."""
NOTES_MAX = 400
"""Most notes of who changed what that are kept of a draft."""
BUSY_MS = 5_000
"""Longest wait for another process that writes [ms]."""
FILE = "drafts.sqlite3"

_SCHEMA = """
PRAGMA user_version = 1;
CREATE TABLE IF NOT EXISTS draft (
  id TEXT PRIMARY KEY, name TEXT NOT NULL, source TEXT NOT NULL, place TEXT NOT NULL,
  placed TEXT NOT NULL, revision INTEGER NOT NULL, step INTEGER NOT NULL);
CREATE TABLE IF NOT EXISTS step (
  draft TEXT NOT NULL REFERENCES draft(id) ON DELETE CASCADE, number INTEGER NOT NULL,
  manifest TEXT NOT NULL, what TEXT NOT NULL, PRIMARY KEY (draft, number));
CREATE TABLE IF NOT EXISTS note (
  draft TEXT NOT NULL REFERENCES draft(id) ON DELETE CASCADE, revision INTEGER NOT NULL,
  what TEXT NOT NULL, who TEXT NOT NULL, at TEXT NOT NULL, PRIMARY KEY (draft, revision));
CREATE TABLE IF NOT EXISTS content (hash TEXT PRIMARY KEY, body BLOB NOT NULL);
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """Who changed what, and when."""

    revision: int
    what: str
    who: str
    at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """What is known of a draft without reading its tables.

    Attributes
    ----------
    draft_id, name
        Its id in the address, and its name for people.
    source
        Where it came from, in words.
    place
        Folder or workbook that it can be saved back to; empty where there is none.
    placed
        Content that lay there when it was last opened or saved.
    content
        Content of the draft now.
    revision
        Number of its latest change.
    undoes, redoes
        What undoing and doing again would change; empty where there is nothing.
    last
        Its latest change.
    """

    draft_id: str
    name: str
    source: str
    place: str
    placed: str
    content: str
    revision: int
    undoes: str
    redoes: str
    last: Note

    @property
    def is_saved(self) -> bool:
        """Return whether its folder or workbook holds the same."""
        return bool(self.place) and self.placed == self.content


class StaleError(Exception):
    """The draft has been changed since the revision that a change was made on.

    Parameters
    ----------
    notes
        What has been changed meanwhile, oldest first.
    """

    def __init__(self, notes: tuple[Note, ...]) -> None:
        self.notes = notes
        super().__init__("changed meanwhile")


class StoreError(Exception):
    """Drafts cannot be kept or read; says where and why, and what to do."""


class NoDraftError(Exception):
    """There is no draft of that id."""


class DraftStore:
    """The drafts of one folder.

    Parameters
    ----------
    folder
        Where the database lies; made on the first use.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._is_ready = False

    @contextmanager
    def _open(self) -> Iterator[sqlite3.Connection]:
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            link = sqlite3.connect(
                self.folder / FILE, timeout=BUSY_MS / 1000, isolation_level=None
            )
        except (OSError, sqlite3.Error) as error:
            raise self._trouble(error) from error
        try:
            link.execute("PRAGMA synchronous = NORMAL")
            link.execute("PRAGMA foreign_keys = ON")
            if not self._is_ready:
                link.execute("PRAGMA journal_mode = WAL")
                link.executescript(_SCHEMA)
                self._is_ready = True
            yield link
        except sqlite3.Error as error:
            raise self._trouble(error) from error
        finally:
            link.close()

    def _trouble(self, error: Exception) -> StoreError:
        return StoreError(
            f"drafts cannot be kept in {self.folder} ({error}); free the disk, move a damaged"
            f" {FILE} away, or name another folder in the environment variable EBBWORK_DATA"
        )

    @contextmanager
    def _write(self) -> Iterator[sqlite3.Connection]:
        with self._open() as link:
            link.execute("BEGIN IMMEDIATE")
            try:
                yield link
            except BaseException:
                link.execute("ROLLBACK")
                raise
            link.execute("COMMIT")

    def create(
        self, draft_id: str, tables: Tables, *, name: str, source: str, place: str, note: Note
    ) -> Head:
        """Keep a new draft; its place, where it has one, holds just this."""
        manifest = manifest_of(tables)
        with self._write() as link:
            self._keep_content(link, tables)
            placed = content_hash(manifest) if place else ""
            link.execute(
                "INSERT INTO draft VALUES (?, ?, ?, ?, ?, ?, 0)",
                (draft_id, name, source, place, placed, note.revision),
            )
            link.execute("INSERT INTO step VALUES (?, 0, ?, ?)", (draft_id, manifest, note.what))
            _add_note(link, draft_id, note)
            return _head(link, draft_id)

    def head(self, draft_id: str) -> Head | None:
        """Return what is known of a draft, or None where there is none."""
        with self._open() as link:
            try:
                return _head(link, draft_id)
            except NoDraftError:
                return None

    def tables(self, draft_id: str) -> tuple[Head, Tables]:
        """Return a draft with its tables, as one moment has them.

        Raises
        ------
        NoDraftError
            If there is no such draft.
        """
        with self._open() as link:
            link.execute("BEGIN")
            head = _head(link, draft_id)
            manifest = _manifest(link, draft_id)
            bodies = {
                key: link.execute("SELECT body FROM content WHERE hash = ?", (key,)).fetchone()[0]
                for key in json.loads(manifest)["parts"].values()
            }
            link.execute("COMMIT")
        return head, tables_of(manifest, bodies)

    def save(self, draft_id: str, tables: Tables, *, seen: int, note: Note) -> Head:
        """Keep a change that was made on the revision seen; what could be redone is gone.

        Raises
        ------
        StaleError
            If the draft has been changed since; nothing is written then.
        NoDraftError
            If there is no such draft.
        """
        manifest = manifest_of(tables)
        with self._write() as link:
            step = self._claim(link, draft_id, seen)
            if manifest == _manifest(link, draft_id):
                return _head(link, draft_id)
            self._keep_content(link, tables)
            link.execute("DELETE FROM step WHERE draft = ? AND number > ?", (draft_id, step))
            link.execute(
                "INSERT INTO step VALUES (?, ?, ?, ?)", (draft_id, step + 1, manifest, note.what)
            )
            link.execute(
                "DELETE FROM step WHERE draft = ? AND number <= ?",
                (draft_id, step + 1 - STEPS_MAX),
            )
            _move_on(link, draft_id, step + 1, note)
            return _head(link, draft_id)

    def step(self, draft_id: str, by: int, *, seen: int, note: Note) -> Head:
        """Undo (``by`` is -1) or do again (+1) one change; where there is none, nothing happens.

        Raises
        ------
        StaleError, NoDraftError
            As :meth:`save`.
        """
        with self._write() as link:
            step = self._claim(link, draft_id, seen) + by
            if _what(link, draft_id, step) is None:
                return _head(link, draft_id)
            _move_on(link, draft_id, step, note)
            return _head(link, draft_id)

    def notes(self, draft_id: str, *, after: int = 0) -> tuple[Note, ...]:
        """Return who changed what after a revision, oldest first."""
        with self._open() as link:
            return _notes(link, draft_id, after)

    def recent(self) -> list[Head]:
        """Return every draft, the latest changed first."""
        with self._open() as link:
            ids = [row[0] for row in link.execute("SELECT id FROM draft").fetchall()]
            found = [_head(link, draft_id) for draft_id in ids]
        return sorted(found, key=lambda head: (head.last.at, head.draft_id), reverse=True)

    def name_it(self, draft_id: str, *, name: str) -> None:
        """Give a draft another name."""
        with self._write() as link:
            link.execute("UPDATE draft SET name = ? WHERE id = ?", (name, draft_id))

    def place_it(self, draft_id: str, *, place: str, placed: str) -> None:
        """Remember where a draft was written, and what lies there now."""
        with self._write() as link:
            link.execute(
                "UPDATE draft SET place = ?, placed = ? WHERE id = ?", (place, placed, draft_id)
            )

    def remove(self, draft_id: str) -> None:
        """Forget a draft with all its steps."""
        with self._write() as link:
            link.execute("DELETE FROM draft WHERE id = ?", (draft_id,))
            used: set[str] = set()
            for (manifest,) in link.execute("SELECT manifest FROM step"):
                used.update(json.loads(manifest)["parts"].values())
            kept = [row[0] for row in link.execute("SELECT hash FROM content").fetchall()]
            gone = [(key,) for key in kept if key not in used]
            link.executemany("DELETE FROM content WHERE hash = ?", gone)

    @staticmethod
    def _keep_content(link: sqlite3.Connection, tables: Tables) -> None:
        link.executemany("INSERT OR IGNORE INTO content VALUES (?, ?)", packed(tables).items())

    @staticmethod
    def _claim(link: sqlite3.Connection, draft_id: str, seen: int) -> int:
        """Return the present step of a draft whose latest revision was seen."""
        row = link.execute("SELECT revision, step FROM draft WHERE id = ?", (draft_id,)).fetchone()
        if row is None:
            raise NoDraftError(draft_id)
        if row[0] != seen:
            raise StaleError(_notes(link, draft_id, seen))
        return int(row[1])


def _move_on(link: sqlite3.Connection, draft_id: str, step: int, note: Note) -> None:
    link.execute(
        "UPDATE draft SET step = ?, revision = ? WHERE id = ?", (step, note.revision, draft_id)
    )
    _add_note(link, draft_id, note)


def _add_note(link: sqlite3.Connection, draft_id: str, note: Note) -> None:
    link.execute(
        "INSERT INTO note VALUES (?, ?, ?, ?, ?)",
        (draft_id, note.revision, note.what, note.who, note.at.isoformat()),
    )
    link.execute(
        "DELETE FROM note WHERE draft = ? AND revision <= ?",
        (draft_id, note.revision - NOTES_MAX),
    )


def _notes(link: sqlite3.Connection, draft_id: str, after: int) -> tuple[Note, ...]:
    rows = link.execute(
        "SELECT revision, what, who, at FROM note WHERE draft = ? AND revision > ?"
        " ORDER BY revision",
        (draft_id, after),
    )
    return tuple(
        Note(revision=number, what=what, who=who, at=datetime.fromisoformat(at))
        for number, what, who, at in rows
    )


def _what(link: sqlite3.Connection, draft_id: str, step: int) -> str | None:
    row = link.execute(
        "SELECT what FROM step WHERE draft = ? AND number = ?", (draft_id, step)
    ).fetchone()
    return None if row is None else str(row[0])


def _manifest(link: sqlite3.Connection, draft_id: str) -> str:
    row = link.execute(
        "SELECT manifest FROM step JOIN draft ON draft.id = step.draft AND draft.step ="
        " step.number WHERE draft.id = ?",
        (draft_id,),
    ).fetchone()
    return str(row[0])


def _head(link: sqlite3.Connection, draft_id: str) -> Head:
    row = link.execute(
        "SELECT name, source, place, placed, revision, step FROM draft WHERE id = ?", (draft_id,)
    ).fetchone()
    if row is None:
        raise NoDraftError(draft_id)
    name, source, place, placed, revision, step = row
    has_before = _what(link, draft_id, step - 1) is not None
    (last,) = _notes(link, draft_id, revision - 1)
    return Head(
        draft_id=draft_id,
        name=name,
        source=source,
        place=place,
        placed=placed,
        content=content_hash(_manifest(link, draft_id)),
        revision=revision,
        undoes=(_what(link, draft_id, step) or "") if has_before else "",
        redoes=_what(link, draft_id, step + 1) or "",
        last=last,
    )
