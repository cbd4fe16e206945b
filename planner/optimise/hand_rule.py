"""The plain hand rule: work out each set-up, then move to the nearest with work left.

The baseline that every plan is compared with, and the search's first guide.
"""

from __future__ import annotations

from collections.abc import Callable

from planner.optimise.board import Board
from planner.optimise.decode import decode
from planner.optimise.guide import Guide, Weights, plain_guide
from planner.optimise.problem import Problem

FIRST_FIT = Weights(wait=1.0, close=0.0, length=0.0, begun=0.0, patience=2, fill=False)


def hand_rule(problem: Problem, stop: Callable[[], bool] = lambda: False) -> tuple[Board, Guide]:
    """Return the plan of the hand rule, and its guide.

    Zones are taken in table order as soon as each can be sprayed; no preference, no look
    ahead.
    """
    guide = plain_guide(len(problem.zones), len(problem.rigs))
    order = tuple(0.001 * z for z in range(len(problem.zones)))
    return decode(problem, Guide(keys=order, stays=guide.stays, weights=FIRST_FIT), stop)
