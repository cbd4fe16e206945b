"""Make the environment and install the pinned libraries into it.

Two things are not given on a fresh machine. Debian ships Python without ``ensurepip``, so the
environment is made without pip and filled by the pip outside (``--python``, pip 22.3 or newer).
And pip takes about a minute for the whole set, so uv is installed first and does the rest; where
it cannot (it reads other settings and certificates than pip), pip does.
"""

import importlib.metadata
import importlib.util
import os
import re
import subprocess
import sys
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass

from planner.start.clone import Clone, SetUpError

PIP_WITH_PYTHON_OPTION = (22, 3)
"""The first pip that can fill another environment (its change log, 22.3: ``--python``)."""

NO_NETWORK_SIGNS = (
    "NewConnectionError",
    "NameResolutionError",
    "ConnectTimeoutError",
    "ReadTimeoutError",
    "ProxyError",
    "name resolution",
    "Network is unreachable",
    "dns error",
)

RAISED = re.compile(r"[A-Za-z.]+(Error|Exception): ")
"""The line that ends a traceback: where a build failed, it says more than the installer does."""

Say = Callable[[str], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Tools:
    """What the interpreter that starts the set-up brings along."""

    python: str
    has_venv: bool
    has_ensurepip: bool
    pip_version: tuple[int, ...] | None

    @property
    def has_pip_for_others(self) -> bool:
        """Whether its pip can fill another environment."""
        return self.pip_version is not None and self.pip_version >= PIP_WITH_PYTHON_OPTION


def tools_here() -> Tools:
    """Look at the running interpreter."""
    try:
        pip_version = version_numbers(importlib.metadata.version("pip"))
    except importlib.metadata.PackageNotFoundError:
        pip_version = None
    return Tools(
        python=sys.executable,
        has_venv=importlib.util.find_spec("venv") is not None,
        has_ensurepip=importlib.util.find_spec("ensurepip") is not None,
        pip_version=pip_version,
    )


def version_numbers(version: str) -> tuple[int, ...]:
    """Return the leading numbers of a version text.

    Examples
    --------
    >>> version_numbers("23.0.1+dfsg")
    (23, 0, 1)
    """
    numbers: list[int] = []
    for part in version.replace("+", ".").split("."):
        if not part.isdecimal():
            break
        numbers.append(int(part))
    return tuple(numbers)


def environment_command(clone: Clone, tools: Tools) -> list[str]:
    """Return the command that makes the empty environment.

    Raises
    ------
    SetUpError
        Where this Python can neither give the environment a pip nor fill it from outside.
    """
    if not tools.has_venv:
        raise SetUpError(
            "This Python cannot make environments (it has no module venv): install your "
            "system's package python3-venv, then run the same command again."
        )
    command = [tools.python, "-m", "venv"]
    if not tools.has_ensurepip:
        if not tools.has_pip_for_others:
            raise SetUpError(
                "This Python has neither ensurepip nor pip 22.3 or newer: install your system's "
                "package python3-venv or python3-pip, then run the same command again."
            )
        command.append("--without-pip")
    return [*command, str(clone.environment)]


def pip_command(clone: Clone, tools: Tools) -> list[str]:
    """Return the beginning of a pip command that fills the environment."""
    if tools.has_pip_for_others:
        pip = [tools.python, "-m", "pip", "--python", str(clone.python)]
    else:
        pip = [str(clone.python), "-m", "pip"]
    return [*pip, "install", "--quiet", "--retries", "2"]


def uv_command(clone: Clone) -> list[str]:
    """Return the beginning of a uv command that fills the environment."""
    uv = [str(clone.uv), "pip", "install", "--python", str(clone.python)]
    return [*uv, "--quiet", "--compile-bytecode"]


def what_to_install(clone: Clone, extras: Collection[str]) -> list[str]:
    """Return the arguments that name the project, its extras and its pins."""
    chosen = f"[{','.join(sorted(extras))}]" if extras else ""
    return ["--constraint", str(clone.constraints_file), "--editable", f"{clone.root}{chosen}"]


def installer_settings(environ: Mapping[str, str]) -> dict[str, str]:
    """Return the environment variables for the installers.

    uv trusts the system's certificates, as pip on Debian does; a user's wish for ``--user``
    installs, which an environment refuses, is set aside.
    """
    return {
        "UV_SYSTEM_CERTS": "1",
        **environ,
        "PIP_USER": "0",
        "PIP_NO_INPUT": "1",
        "PIP_DISABLE_PIP_VERSION_CHECK": "1",
    }


def make_environment(clone: Clone, tools: Tools) -> None:
    """Make the empty environment; its folder holds no more than the mark of a beginning."""
    command = environment_command(clone, tools)
    failure = _run(clone, command)
    if failure is not None:
        msg = f"The environment .venv could not be made: {why(failure)}."
        raise SetUpError(msg)


def fill_environment(clone: Clone, tools: Tools, *, extras: Collection[str], say: Say) -> None:
    """Install the pinned libraries, by uv where it can be had, else by pip.

    Raises
    ------
    SetUpError
        Where neither succeeds.
    """
    wanted = what_to_install(clone, extras)
    pip = pip_command(clone, tools)
    if not clone.uv.exists():
        _run(clone, [*pip, "--constraint", str(clone.constraints_file), "uv"])
    if clone.uv.exists() and _run(clone, [*uv_command(clone), *wanted]) is None:
        return
    say("Trying pip instead of uv, which takes about a minute longer ...")
    failure = _run(clone, [*pip, *wanted])
    if failure is not None:
        log = clone.log_file.relative_to(clone.root)
        msg = f"The libraries could not be installed: {why(failure)} (details: {log})."
        raise SetUpError(msg)


def why(output: str) -> str:
    r"""Return one line that says why an installer failed.

    Examples
    --------
    >>> why("WARNING: old\nERROR: No matching distribution found for numpy==9\n")
    'No matching distribution found for numpy==9'
    """
    if any(sign in output for sign in NO_NETWORK_SIGNS):
        return (
            "the package index cannot be reached; check the network and the proxy settings, "
            "then run the same command again"
        )
    lines = [line.strip() for line in output.splitlines() if line.strip()]
    raised = [line for line in lines if RAISED.match(line)]
    errors = [line for line in lines if line.lower().startswith("error:")]
    words = (raised or errors or lines or ["no reason given"])[-1]
    return words[len("error:") :].strip() if words.lower().startswith("error:") else words


def _run(clone: Clone, command: Sequence[str]) -> str | None:
    """Run a command, keep what it said in the log, and return that where it failed."""
    try:
        done = subprocess.run(
            command,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            env=installer_settings(os.environ),
            text=True,
            errors="replace",
            check=False,
        )
    except OSError as failed:
        return str(failed)
    with clone.log_file.open("a", encoding="utf-8") as log:
        log.write(f"$ {' '.join(command)}\n{done.stdout}exit code {done.returncode}\n")
    return done.stdout if done.returncode else None
