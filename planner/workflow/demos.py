"""The demo scenarios that come with the package, in a clone and in an installed wheel alike."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parents[1]
VARIANTS = "variants"
"""Folder of a scenario that holds its variants."""
_IN_WHEEL = _PACKAGE / "demos"  # pyproject.toml puts the scenarios there
_IN_CLONE = _PACKAGE.parent / "scenarios"


class FolderInUseError(Exception):
    """The folder holds something that is not a scenario; it is left alone."""


def demos() -> dict[str, Path]:
    """Return the folder of each demo by its name, in alphabetical order."""
    found = [
        file.parent for place in (_IN_CLONE, _IN_WHEEL) for file in place.glob("*/campaign.toml")
    ]
    return {folder.name: folder for folder in sorted(found)}


def first_demo() -> str:
    """Return the name of the demo for a first look, the one with the fewest zones."""
    return min(demos(), key=lambda name: (_lines(demos()[name] / "zones.csv"), name))


def copy_demo(name: str, target: Path) -> bool:
    """Copy a demo scenario into a folder; return False where a scenario stands there already.

    A scenario that stands there is left as it is: somebody may have changed it.

    Raises
    ------
    FolderInUseError
        If the folder holds other things.
    KeyError
        If there is no demo of that name.
    OSError
        If the folder cannot be written.
    """
    source = demos()[name]
    if (target / "campaign.toml").is_file():
        return False
    if target.exists() and (not target.is_dir() or any(target.iterdir())):
        raise FolderInUseError(str(target))
    for part in ("", VARIANTS):
        _copy_files(source / part, target / part)
    return True


def _copy_files(source: Path, target: Path) -> None:
    if not source.is_dir():
        return
    target.mkdir(parents=True, exist_ok=True)
    for file in sorted(source.iterdir()):
        if file.is_file() and not file.name.startswith("."):
            (target / file.name).write_bytes(file.read_bytes())


def _lines(table: Path) -> int:
    return len(table.read_text(encoding="utf-8").splitlines())
