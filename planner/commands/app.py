"""``ebbwork app``: the planner's pages in a browser, for this machine alone."""

from __future__ import annotations

import importlib.util
import os
import socket
import sys
from pathlib import Path
from typing import NoReturn

from planner.commands.console import RefusedError, say

_PACKAGE = Path(__file__).resolve().parents[1]

OPTIONS = {
    "server.address": "localhost",  # listens on this machine only
    "server.headless": "true",
    "server.fileWatcherType": "none",
    "server.showEmailPrompt": "false",
    "server.maxUploadSize": "20",
    "runner.magicEnabled": "false",
    "browser.gatherUsageStats": "false",
    "client.toolbarMode": "viewer",
    "client.showErrorDetails": "none",
    "client.showErrorLinks": "false",
    # Okabe and Ito, Color Universal Design (2002, 2008): told apart with any colour vision
    "theme.chartCategoricalColors": (
        '["#0072B2","#E69F00","#56B4E9","#F0E442","#D55E00","#009E73","#CC79A7"]'
    ),
    "theme.light.primaryColor": "#0072B2",
    "theme.dark.primaryColor": "#0072B2",
}
"""The same values as in ``.streamlit/config.toml``, which is read from some folders only."""


def run_app(port: int) -> NoReturn:
    """Hand this process over to the page server; it ends with Ctrl-C."""
    command = app_command(port)
    refuse_taken(port)
    say(f"Ebbwork opens at http://localhost:{port} (Ctrl-C ends it).")
    os.execv(command[0], command)  # noqa: S606 - our own interpreter and our own page


def app_command(port: int) -> list[str]:
    """Return the command that serves the pages.

    Raises
    ------
    RefusedError
        If the pages or the page server are not installed.
    """
    entry = app_entry()
    if importlib.util.find_spec("streamlit") is None or entry is None:
        msg = "The pages are not installed here; start them from a clone: python3 -m planner app"
        raise RefusedError(msg)
    options = [f"--{name}={value}" for name, value in OPTIONS.items()]
    run = [sys.executable, "-m", "streamlit", "run", str(entry)]
    return [*run, *options, f"--server.port={port}"]


def refuse_taken(port: int) -> None:
    """Refuse a port at which something answers already.

    Raises
    ------
    RefusedError
        If it does.
    """
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as probe:
        if probe.connect_ex(("127.0.0.1", port)) == 0:
            msg = f"Port {port} is taken, perhaps by Ebbwork itself; give --port another number."
            raise RefusedError(msg)


def app_entry() -> Path | None:
    """Return the file that the page server runs, in an installed package or in a clone."""
    for entry in (_PACKAGE / "app.py", _PACKAGE.parent / "app.py"):
        if entry.is_file():
            return entry
    return None
