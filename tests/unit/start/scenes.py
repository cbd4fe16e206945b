"""A clone to set up, and a stand-in for its environment."""

import sys

from planner.start.clone import wanted_stamp

PROJECT = '[project]\nname = "planner"\ndependencies = ["numpy"]\n'
PINS = "numpy==2.4.6\n"


def stamp(clone, *extras):
    return wanted_stamp(clone, extras=frozenset(extras))


def fake_environment(clone):
    clone.python.parent.mkdir(parents=True, exist_ok=True)
    clone.python.symlink_to(sys.executable)
