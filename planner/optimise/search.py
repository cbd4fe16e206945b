"""Improve a guide step by step: late acceptance over decoded plans, goals in order.

The walk accepts what is no worse than it was some steps ago; the best plan by the true order
is kept apart.  Effort is counted in drafted spells, so the walk is the same on every machine.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from planner.model.identifiers import Goal
from planner.optimise.board import Board
from planner.optimise.decode import decode
from planner.optimise.guide import Guide
from planner.optimise.problem import Problem
from planner.optimise.score import Order, Scored
from planner.optimise.variation import Variation
from planner.optimise.watch import Budget, Watch

MEMORY = 25
LATE_RIG_WEIGHT = 0.02
SETTLE_EVERY = 4
"""Every so often a roaming plan's positions become stays, which can be put in another order."""
DRAFT_EFFORT = 2.5e-6
STEP_EFFORT = 1e-3
"""Effort of a drafted spell and of a step beside them, measured."""


@dataclass(frozen=True)
class Found:
    """A plan and the guide that leads to it."""

    scored: Scored
    guide: Guide


def plan_of(problem: Problem, guide: Guide, watch: Watch) -> Found:
    """Decode a guide."""
    board, used = decode(problem, guide, watch.must_stop)
    return Found(Scored(board), used)


def stays_of(board: Board) -> tuple[tuple[int, ...], ...]:
    """Return the positions that each rig of a plan works from, in order."""
    stays: list[list[int]] = [[] for _ in board.problem.rigs]
    for run in sorted(board.runs, key=lambda run: run.start):
        row = stays[run.rig]
        if not row or row[-1] != run.position:
            row.append(run.position)
    return tuple(tuple(row) for row in stays)


def settled(found: Found) -> Found:
    """Return a plan with the positions it came to use as its guide's stays."""
    return Found(found.scored, replace(found.guide, stays=stays_of(found.scored.board)))


def walk_key(order: Order, goal: Goal, found: Found) -> tuple[float, ...]:
    """Return what the walk compares: the true order, with slopes where it is flat.

    A finish hangs on one rig alone; a little of every rig's last run leads the others down.
    """
    scored = found.scored
    head = tuple(-volume for volume in scored.volumes)
    over = sum(
        max(0.0, scored.value(one) - cap) / max(1.0, cap) for one, cap in order.caps.items()
    )
    return (*head, over, scored.value(goal) + LATE_RIG_WEIGHT * _spread(scored.board))


def _spread(board: Board) -> float:
    ends = [end / 60.0 for end in board.rig_last_run]
    return sum(ends) / max(1, len(ends))


def improve(
    problem: Problem,
    start: Found,
    order: Order,
    goal: Goal,
    *,
    rng: np.random.Generator,
    watch: Watch,
    budget: Budget,
    enough: Callable[[Scored], bool],
    on_better: Callable[[Found], None],
) -> Found:
    """Return the best plan found within a budget or until it is enough."""
    variation = Variation(problem, rng)
    best = current = start
    best_key = order.key(best.scored)
    memory = [walk_key(order, goal, current)] * MEMORY
    current_key = memory[0]
    step = 0
    while not budget.is_spent and not watch.must_stop() and not enough(best.scored):
        base = current
        if step % SETTLE_EVERY == SETTLE_EVERY - 1 and not any(base.guide.stays):
            base = settled(base)
        guide = variation.of(base.guide, places=True)
        found = plan_of(problem, guide, watch)
        budget.spend(found.scored.board.drafted * DRAFT_EFFORT + STEP_EFFORT)
        key = walk_key(order, goal, found)
        if key <= current_key or key <= memory[step % MEMORY]:
            current, current_key = found, key
            true_key = order.key(found.scored)
            if true_key < best_key:
                best, best_key = found, true_key
                on_better(found)
        memory[step % MEMORY] = current_key
        step += 1
    return best
