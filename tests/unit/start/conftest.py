"""A clone in a folder of its own, and a stand-in for the network."""

import pytest

from planner.start import set_up
from planner.start.clone import Clone, SetUpError
from tests.unit.start.scenes import PINS, PROJECT, fake_environment


@pytest.fixture
def clone(tmp_path):
    (tmp_path / "pyproject.toml").write_text(PROJECT, encoding="utf-8")
    (tmp_path / "constraints.txt").write_text(PINS, encoding="utf-8")
    return Clone(root=tmp_path)


@pytest.fixture
def installed(monkeypatch):
    """The extras of each installation; ``failing`` among the pins makes one fail."""
    calls = []

    def make(clone, _tools):
        assert clone.unfinished_file.exists()
        fake_environment(clone)

    def fill(clone, _tools, *, extras, say):
        say("installing")
        calls.append(set(extras))
        if "failing" in clone.constraints_file.read_text(encoding="utf-8"):
            raise SetUpError("it failed")

    monkeypatch.setattr(set_up, "make_environment", make)
    monkeypatch.setattr(set_up, "fill_environment", fill)
    return calls
