"""Relocations: the earliest slot in which a rig can be moved, and by whom (rule 6)."""

from __future__ import annotations

from bisect import bisect_right

from planner.core.spans import Spans
from planner.optimise.board import Board, Move
from planner.optimise.problem import Problem
from planner.optimise.sharing import CREW, RIG


def move_room(problem: Problem, r: int, origin: int, target: int) -> Spans:
    """Return when a rig may be under way between two positions, people aside."""
    one, other = problem.room[r, origin], problem.room[r, target]
    return one if one == other else one & other


def plan_move(board: Board, r: int, target: int, after: int, until: int) -> Move | None:
    """Return the relocation of a rig that arrives first, or None if none ends by ``until``.

    Spraying crews of the rig's process move it inside their shifts; with a lifting gang, the
    gang does, inside its shift, as often as is asked of it.
    """
    problem = board.problem
    origin = board.rig_at[r]
    if origin is None or origin == target:
        return None
    length = problem.moves[r, origin, target]
    room = move_room(problem, r, origin, target)
    at = board.position_from(r, target, after + length)
    if at is None:
        return None
    after = max(after, at - length)
    best: tuple[int, int, int | None] | None = None
    if problem.gang is not None:
        free = room & _left(board, r, None, after, until) if problem.needs else room
        start = _in_spans(free, problem.gang, after, length)
        best = None if start is None else (start, 0, None)
    else:
        for c in movers(problem, r):
            free = room & _left(board, r, c, after, until) if problem.needs else room
            start = _in_crew(board, free, c, after, length, until if best is None else best[0])
            rank = 0 if c == board.rig_crew[r] else 1
            if start is not None and (best is None or (start, rank) < best[:2]):
                best = (start, rank, c)
    if best is None or best[0] + length > until:
        return None
    return Move(r, best[2], origin, target, best[0], best[0] + length)


def _left(board: Board, r: int, c: int | None, after: int, until: int) -> Spans:
    """Return when what a rig and the crew that moves it need is there (rule 16)."""
    things = ((RIG, r),) if c is None else ((RIG, r), (CREW, c))
    return Spans(board.usage.free(things, after, until))


def movers(problem: Problem, r: int) -> list[int]:
    """Return the spraying crews that may move a rig: those of its process."""
    process = problem.rigs[r].rig.process
    return [
        c
        for c, crew in enumerate(problem.crews)
        if crew.sprays and (not crew.crew.processes or process in crew.crew.processes)
    ]


def _in_spans(
    room: Spans, shifts: tuple[tuple[int, int], ...], after: int, length: int
) -> int | None:
    first = max(0, bisect_right(shifts, (after, 0)) - 1)
    for a, b in shifts[first:]:
        start = room.first_fit(max(a, after), length)
        if start is None:
            return None
        if start + length <= b:
            return start
    return None


def _in_crew(board: Board, room: Spans, c: int, after: int, length: int, until: int) -> int | None:
    pieces = board.problem.crews[c].pieces
    first = max(0, bisect_right(pieces, (after, 0, 0)) - 1)
    for a, b, _ in pieces[first:]:
        if a > until:
            return None
        for low, high in board.crew_gaps(c, max(a, after), b):
            start = room.first_fit(low, length)
            if start is None:
                break
            if start + length <= high and board.crew_may(c, start, start + length):
                return start
    return None
