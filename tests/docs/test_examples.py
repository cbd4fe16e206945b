"""Every example in a docstring is run."""

import doctest
import importlib
import pkgutil

import planner

SCREENS = "planner.screens"  # its pages want a page server around them
START = ".__main__"  # importing one of these starts a program


def test_every_example_in_a_docstring_gives_what_it_says() -> None:
    names = [
        module.name
        for module in pkgutil.walk_packages(planner.__path__, "planner.")
        if not module.name.startswith(SCREENS) and not module.name.endswith(START)
    ]
    results = {name: doctest.testmod(importlib.import_module(name)) for name in names}
    assert [name for name, result in results.items() if result.failed] == []
    assert sum(result.attempted for result in results.values()) > 20
