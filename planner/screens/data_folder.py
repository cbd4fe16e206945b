"""Where drafts are kept on this machine, and what time it is there."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path

VARIABLE = "EBBWORK_DATA"
"""Environment variable that names another folder."""


def data_folder(environment: Mapping[str, str] = os.environ, platform: str = sys.platform) -> Path:
    """Return the folder of this user's drafts, off every scenario folder.

    The usual place for a program's data on each system: ``XDG_DATA_HOME`` or
    ``~/.local/share`` on Linux, ``~/Library/Application Support`` on macOS, ``LOCALAPPDATA`` on
    Windows.
    """
    told = environment.get(VARIABLE, "").strip()
    if told:
        return Path(told).expanduser()
    home = Path.home()
    if platform == "win32":
        base = environment.get("LOCALAPPDATA") or str(home / "AppData" / "Local")
    elif platform == "darwin":
        base = str(home / "Library" / "Application Support")
    else:
        base = environment.get("XDG_DATA_HOME") or str(home / ".local" / "share")
    return Path(base) / "ebbwork"


def now() -> datetime:
    """Return the present moment, to stamp what is saved; nothing is planned with it."""
    return datetime.fromtimestamp(time.time(), tz=UTC)
