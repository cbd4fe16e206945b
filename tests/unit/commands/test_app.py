"""The page server: its options, and that it answers on this machine and nowhere else."""

import os
import signal
import socket
import subprocess
import sys
import time
import tomllib
import urllib.error
import urllib.request
from pathlib import Path
from typing import Any

import pytest

from planner.commands.app import OPTIONS, app_command, app_entry, refuse_taken
from planner.commands.console import RefusedError


def test_the_options_are_those_of_the_settings_file(repository: Path) -> None:
    """The file is read from some folders only, so the options are passed as well."""
    text = (repository / ".streamlit" / "config.toml").read_text(encoding="utf-8")
    settings: dict[str, str] = {}

    def walk(prefix: str, table: dict[str, Any]) -> None:
        for name, value in table.items():
            if isinstance(value, dict):
                walk(f"{prefix}{name}.", value)
            else:
                shown = str(value).lower() if isinstance(value, bool) else str(value)
                settings[f"{prefix}{name}"] = shown.replace("'", '"').replace(", ", ",")

    walk("", tomllib.loads(text))
    assert settings == OPTIONS


def test_the_command_runs_our_page_with_our_options() -> None:
    command = app_command(9123)
    assert command[:4] == [sys.executable, "-m", "streamlit", "run"]
    assert Path(command[4]) == app_entry()
    assert "--server.address=localhost" in command
    assert "--server.port=9123" in command


def test_without_the_page_the_command_says_where_to_start_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("planner.commands.app._PACKAGE", Path("nowhere") / "planner")
    with pytest.raises(RefusedError, match="not installed here"):
        app_command(9123)


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def test_a_port_that_is_taken_is_refused() -> None:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        with pytest.raises(RefusedError, match="is taken"):
            refuse_taken(other.getsockname()[1])
    refuse_taken(_free_port())


def _answers(port: int) -> bool:
    address = f"http://127.0.0.1:{port}/_stcore/health"
    try:
        with urllib.request.urlopen(address, timeout=5) as answer:
            return bool(answer.read() == b"ok")
    except (urllib.error.URLError, ConnectionError):
        return False


@pytest.mark.screens
def test_the_server_answers_on_this_machine_alone_and_ends_with_a_signal(tmp_path: Path) -> None:
    port = _free_port()
    server = subprocess.Popen(
        [sys.executable, "-m", "planner", "app", "--port", str(port)],
        cwd=tmp_path,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        while not _answers(port):
            assert server.poll() is None, server.communicate()[1]
            time.sleep(0.2)
        listening = Path("/proc/net/tcp").read_text() + Path("/proc/net/tcp6").read_text()
        at = [line.split()[1] for line in listening.splitlines() if f":{port:04X} " in line]
        bound = [address for address in at if address.endswith(f":{port:04X}")]
        assert bound
        assert not [address for address in bound if set(address.split(":")[0]) == {"0"}]
    finally:
        os.kill(server.pid, signal.SIGTERM)
        _, said = server.communicate(timeout=20)
    assert f"http://localhost:{port}" in said
