"""The planner's pages; started by ``ebbwork app``."""

from planner.screens.navigation import run

run()
