"""Where a clone keeps its environment, and what that environment must hold."""

import hashlib
import json
import os
import sys
import tomllib
from dataclasses import dataclass
from pathlib import Path

STAMP_FORMAT = 1
"""Raise it when a later version must not trust environments made by this one."""


class SetUpError(Exception):
    """The set-up cannot go on; the message is one line and says what to do."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Clone:
    """A clone of the project and the paths that matter to its set-up."""

    root: Path

    @property
    def project_file(self) -> Path:
        """The project file, which names the libraries."""
        return self.root / "pyproject.toml"

    @property
    def constraints_file(self) -> Path:
        """The file that pins each library to one version."""
        return self.root / "constraints.txt"

    @property
    def environment(self) -> Path:
        """The folder of the environment."""
        return self.root / ".venv"

    @property
    def python(self) -> Path:
        """The interpreter inside the environment."""
        if os.name == "nt":
            return self.environment / "Scripts" / "python.exe"
        return self.environment / "bin" / "python"

    @property
    def uv(self) -> Path:
        """The installer uv inside the environment."""
        return self.python.with_name("uv.exe" if os.name == "nt" else "uv")

    @property
    def stamp_file(self) -> Path:
        """The note of what a finished environment holds."""
        return self.environment / "ebbwork-stamp.json"

    @property
    def unfinished_file(self) -> Path:
        """The mark of an environment whose making has begun and not ended."""
        return self.environment / "ebbwork-unfinished"

    @property
    def log_file(self) -> Path:
        """What the installers said."""
        return self.environment / "ebbwork-set-up.log"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stamp:
    """What an environment was made from."""

    base: str
    """Digest of the interpreter and the place: on a change the environment is made anew."""
    libraries: str
    """Digest of the wanted libraries: on a change they are installed over the old ones."""
    extras: frozenset[str]
    """The optional sets of libraries that it holds."""

    def covers(self, wanted: "Stamp") -> bool:
        """Say whether an environment with this stamp can be used as it is."""
        same = (self.base, self.libraries) == (wanted.base, wanted.libraries)
        return same and self.extras >= wanted.extras


def this_clone() -> Clone | None:
    """Return the clone this package lies in, or ``None`` for an installed package."""
    clone = Clone(root=Path(__file__).resolve().parents[2])
    is_clone = clone.project_file.is_file() and clone.constraints_file.is_file()
    return clone if is_clone else None


def wanted_stamp(
    clone: Clone, *, extras: frozenset[str], python_version: str = sys.version
) -> Stamp:
    """Return the stamp of an environment that is up to date.

    Settings of other tools in the project file do not count: a change of those needs no new
    libraries.

    Parameters
    ----------
    clone
        The clone.
    extras
        The optional sets of libraries that are needed.
    python_version
        The full version text of the interpreter that the environment is made with.
    """
    project = tomllib.loads(clone.project_file.read_text(encoding="utf-8"))
    libraries = [
        project.get("build-system"),
        project.get("project"),
        clone.constraints_file.read_text(encoding="utf-8"),
    ]
    base = [STAMP_FORMAT, python_version, str(clone.root)]
    return Stamp(base=_digest(base), libraries=_digest(libraries), extras=extras)


def read_stamp(clone: Clone) -> Stamp | None:
    """Return the stamp of a finished environment, or ``None`` where there is none."""
    if clone.unfinished_file.exists() or not clone.python.exists():
        return None
    try:
        noted = json.loads(clone.stamp_file.read_text(encoding="utf-8"))
        return Stamp(
            base=noted["base"],
            libraries=noted["libraries"],
            extras=frozenset(noted["extras"]),
        )
    except (OSError, ValueError, KeyError, TypeError):
        return None


def write_stamp(clone: Clone, stamp: Stamp) -> None:
    """Note what the finished environment holds, and take away the mark of an unfinished one."""
    noted = {
        "base": stamp.base,
        "libraries": stamp.libraries,
        "extras": sorted(stamp.extras),
    }
    clone.stamp_file.write_text(json.dumps(noted, indent=2) + "\n", encoding="utf-8")
    clone.unfinished_file.unlink(missing_ok=True)


def _digest(content: object) -> str:
    text = json.dumps(content, sort_keys=True)
    return hashlib.sha256(text.encode("utf-8")).hexdigest()
