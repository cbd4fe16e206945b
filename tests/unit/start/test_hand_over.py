"""The way from any Python into the one that has the libraries."""

import ast
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from planner.start import hand_over
from planner.start.clone import SetUpError, this_clone


def test_each_library_the_project_names_is_looked_for(repository):
    project = tomllib.loads((repository / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    groups = {"": project["dependencies"], "test": project["optional-dependencies"]["test"]}
    for group, requirements in groups.items():
        named = {requirement.split(">")[0].replace("-", "_") for requirement in requirements}
        assert set(hand_over.MODULES[group]) == named


def test_nothing_is_missing_where_these_tests_run():
    assert hand_over.missing_modules(("test",)) == []


def test_a_missing_library_is_named(monkeypatch):
    monkeypatch.setattr(hand_over, "MODULES", {"": ("numpy", "no_such_library")})
    assert hand_over.missing_modules() == ["no_such_library"]


def test_an_installed_package_that_lacks_a_library_says_so(monkeypatch):
    monkeypatch.setattr(hand_over, "MODULES", {"": ("no_such_library",)})
    monkeypatch.setattr(hand_over, "this_clone", lambda: None)
    with pytest.raises(SetUpError, match="missing: no_such_library"):
        hand_over.prepare([])


def test_an_environment_that_stays_incomplete_is_reported_once(monkeypatch, clone):
    monkeypatch.setattr(hand_over, "MODULES", {"": ("no_such_library",)})
    monkeypatch.setattr(hand_over, "this_clone", lambda: clone)
    monkeypatch.setenv(hand_over.HOP_VARIABLE, "set-up")
    with pytest.raises(SetUpError, match="still lacks no_such_library"):
        hand_over.prepare([])


def test_an_incomplete_python_sets_up_and_goes_on_inside(monkeypatch, clone, installed):
    gone_on = []

    def replace(command, settings):
        gone_on.append((command, settings[hand_over.HOP_VARIABLE]))
        return 7

    monkeypatch.setattr(hand_over, "MODULES", {"": ("no_such_library",), "test": ()})
    monkeypatch.setattr(hand_over, "this_clone", lambda: clone)
    monkeypatch.setattr(hand_over, "_replace", replace)
    with pytest.raises(SystemExit) as ended:
        hand_over.prepare(["plan", "some folder"], extras=("test",))
    assert ended.value.code == 7
    assert installed == [{"test"}]
    assert gone_on == [([str(clone.python), "-m", "planner", "plan", "some folder"], "set-up")]


def test_the_set_up_needs_no_library(repository):
    code = (
        f"import sys; sys.path.insert(0, {str(repository)!r})\n"
        "import planner.start.hand_over, planner.start.__main__\n"
        "import holidays\n"
    )
    bare = [sys.executable, "-I", "-S", "-c", code]
    done = subprocess.run(bare, capture_output=True, text=True, check=False)
    assert done.stderr.splitlines()[-1] == "ModuleNotFoundError: No module named 'holidays'"


@pytest.mark.parametrize("name", ["__init__.py", "__main__.py"])
def test_a_python_that_is_too_old_can_still_read_what_tells_it_so(repository, name):
    text = (repository / "planner" / name).read_text(encoding="utf-8")
    ast.parse(text, feature_version=(3, 7))


def test_this_clone_is_found(repository):
    found = this_clone()
    assert found is not None
    assert found.root == repository


def test_an_installed_package_says_that_it_has_no_tests(monkeypatch):
    monkeypatch.setattr(hand_over, "this_clone", lambda: None)
    with pytest.raises(SetUpError, match="run them in a clone"):
        hand_over.clone_with_tests()


def test_the_tests_run_in_the_clone_by_the_python_that_has_the_libraries(monkeypatch, clone):
    started = []

    def replace(command, _settings):
        started.append(command)
        return 5

    (clone.root / "tests").mkdir()
    monkeypatch.chdir(clone.root / "tests")
    monkeypatch.setattr(hand_over, "this_clone", lambda: clone)
    monkeypatch.setattr(hand_over, "_replace", replace)
    assert hand_over.run_tests(["-x", "tests/unit"]) == 5
    assert started == [[sys.executable, "-m", "pytest", "-x", "tests/unit"]]
    assert Path.cwd() == clone.root
