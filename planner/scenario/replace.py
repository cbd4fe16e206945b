"""Put files in place whole or not at all: written beside, then renamed."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Mapping
from pathlib import Path

_MODE_FILE, _MODE_FOLDER = 0o666, 0o777


def replace_file(path: Path, data: bytes) -> None:
    """Write a file; an old one stays until the new one is whole.

    Raises
    ------
    OSError
        If the disk does not let us; nothing is left behind then.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}-")
    beside = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        beside.chmod(_MODE_FILE & ~_umask())
        beside.replace(path)
    finally:
        beside.unlink(missing_ok=True)


def replace_folder(path: Path, files: Mapping[str, bytes], *, own: frozenset[str]) -> None:
    """Write a folder; an old one stays until the new one is whole.

    Parameters
    ----------
    path
        The folder, there or not.
    files
        Its files by name.
    own
        Names that belong to what is written: old ones go, and whatever else is in the folder is
        kept.

    Raises
    ------
    OSError
        If the disk does not let us; the old folder stands then.
    """
    path = path.resolve()
    path.parent.mkdir(parents=True, exist_ok=True)
    work = Path(tempfile.mkdtemp(dir=path.parent, prefix=f".{path.name}-"))
    fresh, old = work / "new", work / "old"
    try:
        fresh.mkdir()
        for name, data in files.items():
            (fresh / name).write_bytes(data)
        if not path.exists():
            fresh.rename(path)
            return
        fresh.chmod(path.stat().st_mode & _MODE_FOLDER)
        path.rename(old)
        try:
            fresh.rename(path)
        except OSError:
            old.rename(path)
            raise
        for entry in sorted(old.iterdir()):
            if entry.name not in own:
                entry.rename(path / entry.name)
    finally:
        shutil.rmtree(work, ignore_errors=True)


def _umask() -> int:
    current = os.umask(0)
    os.umask(current)
    return current
