"""The first step: a scenario folder or workbook becomes a campaign."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from planner.core.problems import Problem
from planner.model.campaign import Campaign
from planner.model.identifiers import Goal
from planner.scenario.reader import read_scenario
from planner.scenario.tables import Tables, read_tables


@dataclass(frozen=True, slots=True, kw_only=True)
class Loaded:
    """A scenario that can be worked with.

    Attributes
    ----------
    campaign
        The parsed and consistent input.
    warnings
        What is odd but possible in it.
    tables
        The text of its tables, as written.
    """

    campaign: Campaign
    warnings: tuple[Problem, ...]
    tables: Tables


def load_scenario(path: Path) -> Loaded:
    """Return the campaign of a scenario folder or workbook.

    Raises
    ------
    planner.core.problems.InputRefusedError
        With every problem of the input, warnings included.
    """
    campaign, warnings = read_scenario(path)
    return Loaded(campaign=campaign, warnings=tuple(warnings), tables=read_tables(path))


def with_goals(loaded: Loaded, goals: tuple[Goal, ...]) -> Loaded:
    """Return the scenario with other goals, none of which may be given up for a later one.

    The fingerprint stays that of the scenario as it is written.
    """
    strict = (0.0,) * (len(goals) - 1)
    return replace(loaded, campaign=replace(loaded.campaign, goals=goals, may_worsen=strict))
