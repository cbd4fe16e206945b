"""Complete a plan that stands in part: the decoder goes on from a given board."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from planner.optimise.board import Board
from planner.optimise.breaking import BreakOut
from planner.optimise.decode import Decoder, with_dependants
from planner.optimise.guide import Guide
from planner.optimise.problem import Problem
from planner.optimise.replay import BrokenRuleError, Script, replay, script_of
from planner.optimise.strip import strip

PASSES = 12
"""How often zones that cannot be completed are taken out before this is given up [1]."""


def complete(
    problem: Problem,
    guide: Guide,
    script: Callable[[frozenset[int]], Script],
    stop: Callable[[], bool],
) -> Board | None:
    """Return a whole valid plan that holds a given part, or None where none is found.

    Parameters
    ----------
    guide
        How the rest is planned.
    script
        The part that stays, without some zones and those that wait for them.
    stop
        Asked often; true ends the decoding.
    """
    zones = range(len(problem.zones))
    banned = set(problem.complete) | {z for z in zones if not problem.ways[z]}
    banned = with_dependants(problem, banned)
    for _ in range(PASSES):
        out = frozenset(banned)
        try:
            board = opened_again(replay(problem, script(out), whole=False))
        except BrokenRuleError:
            return None
        board = _Completer(problem, replace(guide, banned=out), stop, board).run()
        missing = {z for z in zones if z not in banned and not board.is_done(z)}
        banned = with_dependants(problem, banned | missing)
        if not missing:
            return _proven(problem, script_of(board, frozenset(banned)))
        stripped = strip(board, frozenset(banned))
        if stripped is not None:
            return stripped
        if stop():
            return None
    return None


def opened_again(board: Board) -> Board:
    """Return a replayed board on which rigs may work on: none has gone for good."""
    for r, hold in enumerate(board.holding):
        worked = any(run.rig == r for run in board.runs)
        board.started[r] = worked or any(move.rig == r for move in board.moves)
        if hold is not None:
            hold.until = None
    return board


def _proven(problem: Problem, script: Script) -> Board | None:
    try:
        return replay(problem, script)
    except BrokenRuleError:
        return None


class _Completer(Decoder):
    """The decoder's pass over the calendar, on a board that holds work already."""

    def __init__(
        self, problem: Problem, guide: Guide, stop: Callable[[], bool], board: Board
    ) -> None:
        super().__init__(problem, guide, stop)
        self.board = board
        self.break_out = BreakOut(board, guide, self._wishes)
        for z in guide.banned - problem.complete:
            board.zones[z] = board.zones[z]._replace(opened=None)
        zones = range(len(problem.zones))
        self.todo = sum(z not in guide.banned and not board.is_done(z) for z in zones)
        self.ends = sorted(run.end for run in board.runs)
