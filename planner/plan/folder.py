"""A folder of files that is written whole or not at all.

The files are written into a fresh folder beside the target; then the target steps aside as
``.NAME.old``, the fresh folder takes its name, and only then the old one goes.  Whatever moment
the machine stops at, the old or the new folder is there whole: as the target, or, between the two
renames, as ``.NAME.old``, from where :func:`standing` reads it and the next writing restores it.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Collection, Mapping
from pathlib import Path


def standing(folder: Path) -> Path:
    """Return where the folder is to be read: itself, or the old one that stepped aside."""
    aside = _aside(folder)
    return aside if aside.is_dir() and not folder.exists() else folder


def recover(folder: Path) -> None:
    """Put back the folder that stepped aside when the machine stopped between two renames."""
    aside = _aside(folder)
    if aside.is_dir() and not folder.exists():
        aside.rename(folder)


def replace_folder(folder: Path, files: Mapping[str, str], *, own: Collection[str]) -> None:
    """Write the files as a folder, in place of the one that may stand there.

    Parameters
    ----------
    folder
        Target, with all links resolved; missing parents are made.
    files
        Text of each file by its name.
    own
        Names in the old folder that go with it; anything else in it is kept.

    Raises
    ------
    OSError
        If the disk does not let us; the old folder then stands as before.
    """
    folder.parent.mkdir(parents=True, exist_ok=True)
    recover(folder)
    fresh = _fresh(folder)
    try:
        for name, text in files.items():
            _write(fresh / name, text)
        _keep_foreign(folder, fresh, own={*own, *files})
        _swap(fresh, folder)
    finally:
        shutil.rmtree(fresh, ignore_errors=True)


def _aside(folder: Path) -> Path:
    return folder.with_name(f".{folder.name}.old")


def _fresh(folder: Path) -> Path:
    number = 1
    while True:
        fresh = folder.with_name(f".{folder.name}.new-{number}")
        try:
            fresh.mkdir()
        except FileExistsError:
            number += 1
        else:
            return fresh


def _write(path: Path, text: str) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        file.write(text)
        file.flush()
        os.fsync(file.fileno())


def _keep_foreign(folder: Path, fresh: Path, *, own: Collection[str]) -> None:
    if not folder.is_dir():
        return
    for path in sorted(folder.iterdir()):
        if path.name in own:
            continue
        if path.is_dir() and not path.is_symlink():
            shutil.copytree(path, fresh / path.name, symlinks=True)
        else:
            shutil.copy2(path, fresh / path.name, follow_symlinks=False)


def _swap(fresh: Path, folder: Path) -> None:
    if not folder.exists():
        fresh.rename(folder)
        return
    aside = _aside(folder)
    shutil.rmtree(aside, ignore_errors=True)
    folder.rename(aside)
    try:
        fresh.rename(folder)
    except BaseException:
        aside.rename(folder)
        raise
    shutil.rmtree(aside, ignore_errors=True)
