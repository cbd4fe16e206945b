"""Goals in order: how two plans compare, and what earlier goals leave to later ones."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from planner.core.rounding import DECIMALS
from planner.model.identifiers import Goal
from planner.optimise.board import Board
from planner.optimise.extract import extract
from planner.optimise.problem import Problem
from planner.plan.measures import value
from planner.plan.plan import Plan

COUNTED = frozenset({Goal.RELOCATIONS, Goal.NIGHT_RUNS, Goal.JOINTS})


@dataclass(frozen=True)
class Scored:
    """A plan with its volume by priority and its goal values, each worked out when asked for."""

    board: Board

    @property
    def problem(self) -> Problem:
        """Return the problem the plan solves."""
        return self.board.problem

    @cached_property
    def plan(self) -> Plan:
        """Return the plan's rows."""
        return extract(self.board)

    @cached_property
    def volumes(self) -> tuple[float, ...]:
        """Return the planned volume of each priority, 1 first [m³]."""
        problem = self.problem
        found: dict[int, list[float]] = {zone.priority: [] for zone in problem.zones}
        for z, zone in enumerate(problem.zones):
            if self.board.is_done(z):
                found[zone.priority].append(problem.left_volume[z])
        return tuple(round(math.fsum(found[p]), DECIMALS) for p in sorted(found))

    @cached_property
    def _values(self) -> dict[Goal, float]:
        return {}

    def value(self, goal: Goal) -> float:
        """Return the plan's value for a goal, in the goal's own unit."""
        if goal not in self._values:
            self._values[goal] = round(value(self.problem.campaign, self.plan, goal), DECIMALS)
        return self._values[goal]


def allowed(goal: Goal, best: float, fraction: float) -> float:
    """Return how much of a goal may be used once its best value is known.

    Value times (1 + fraction); counts rounded down (contract, campaign.may_worsen).
    """
    most = best * (1.0 + fraction)
    return float(math.floor(round(most, DECIMALS))) if goal in COUNTED else most


@dataclass(frozen=True)
class Order:
    """What is being minimised now: caps on the goals before, this goal, then the rest."""

    goals: tuple[Goal, ...]
    caps: Mapping[Goal, float]

    def key(self, scored: Scored) -> tuple[float, ...]:
        """Return the plan's place: lexicographically less is better."""
        volumes = tuple(-volume for volume in scored.volumes)
        over = tuple(
            max(0.0, round(scored.value(goal) - cap, DECIMALS)) for goal, cap in self.caps.items()
        )
        rest = tuple(scored.value(goal) for goal in self.goals if goal not in self.caps)
        capped = tuple(scored.value(goal) for goal in self.caps)
        return (*volumes, *over, *rest, *capped)
