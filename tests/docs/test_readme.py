"""The README's commands do what it says, in a folder with nothing but the demo scenarios."""

import re
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

START = "python3 -m planner "
FEW_SECONDS = ("--seconds", "5")
LITTLE_EFFORT = ("--effort", "0.05")
ELSEWHERE = {"app": "tests/unit/commands/test_app.py starts it"}


def readme_commands(text: str) -> list[str]:
    """Return what follows ``python3 -m planner``, in the order of the page."""
    blocks = re.findall(r"^```sh\n(.*?)^```", text, re.DOTALL | re.MULTILINE)
    lines = [line for block in blocks for line in block.splitlines()]
    in_table = re.findall(rf"\| `{START}([^`]*)` \|", text)
    return in_table + [line.removeprefix(START) for line in lines if line.startswith(START)]


def shortened(words: list[str]) -> list[str]:
    """Return a command with little time, so that the test is quick."""
    if "--seconds" in words:
        place = words.index("--seconds")
        words = words[:place] + words[place + 2 :]
    if words[0] in {"plan", "demo"}:
        return [*words, *FEW_SECONDS]
    if words[0] == "compare":
        return [*words, *LITTLE_EFFORT, "--variants", "wet"]
    if words[0] == "replan":
        return [*words, *LITTLE_EFFORT]
    return [*words, "--version"] if words[0] == "test" else words


@pytest.fixture(scope="module")
def folder(repository: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a copy of the demo scenarios."""
    place = tmp_path_factory.mktemp("read me")
    shutil.copytree(
        repository / "scenarios", place / "scenarios", ignore=shutil.ignore_patterns("plan*")
    )
    return place


def _run(command: str, folder: Path) -> subprocess.CompletedProcess[str]:
    words = shortened(command.split())
    return subprocess.run(
        [sys.executable, "-m", "planner", *words],
        cwd=folder,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )


@pytest.mark.solver
@pytest.mark.timeout(240)
def test_every_command_of_the_readme_works(repository: Path, folder: Path) -> None:
    commands = readme_commands((repository / "README.md").read_text(encoding="utf-8"))
    assert {command.split()[0] for command in commands} == {
        *("plan", "app", "check", "compare", "demo", "replan", "test", "windows", "reach")
    }
    for command in commands:
        if command.split()[0] in ELSEWHERE:
            continue
        done = _run(command, folder)
        # in so few seconds a zone or two may stay unplanned, which is exit code 1 of plan alone
        right = {0, 1} if command.split()[0] in {"plan", "demo", "replan"} else {0}
        assert done.returncode in right, (command, done.stderr)
        assert "Traceback" not in done.stderr
    assert (folder / "scenarios" / "quay-soffit" / "plan" / "summary.json").exists()
    assert (folder / "demo-silo-rings" / "plan" / "summary.json").exists()
    assert (folder / "my-plan" / "summary.json").exists()


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md", "docs", "scenarios"])
def test_every_link_and_picture_of_the_documents_is_there(repository: Path, name: str) -> None:
    top = repository / name
    pages = [top] if top.is_file() else sorted(top.rglob("*.md"))
    missing = [
        f"{page.name}: {link}"
        for page in pages
        for link in re.findall(r"\]\(([^)#:]+)(?:#[^)]*)?\)", page.read_text(encoding="utf-8"))
        if not (page.parent / link).exists()
    ]
    assert missing == []


def test_the_page_on_commands_names_every_command_option_and_exit_code(repository: Path) -> None:
    from planner.commands.arguments import command_names, parser
    from planner.commands.codes import Exit

    text = (repository / "docs" / "commands.md").read_text(encoding="utf-8")
    top = parser(program="ebbwork", version="0")
    rooms: dict[str, Any] = next(
        action.choices
        for action in top._actions
        if action.dest == "command" and isinstance(action.choices, dict)
    )
    for name in command_names():
        assert f"## {name}\n" in text
        section = text.split(f"## {name}\n")[1].split("\n## ")[0]
        for option in rooms[name]._option_string_actions:
            assert option in {"-h", "--help"} or option in section, (name, option)
    assert [code for code in Exit if f"| {code.value} |" not in text] == []
