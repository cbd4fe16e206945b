"""Break-out in the decoder: which zone a break-out crew opens next, and for how long (rule 13).

Zones near where the rigs stand, or will stand next, come first; never more than a few are
broken out and waiting, so that open limits and open days are not used up too early.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from planner.core.rounding import up
from planner.optimise.board import VOLUME_NOISE, Board, Break
from planner.optimise.guide import Guide
from planner.optimise.sharing import CREW, ZONE, Thing

MINUTES = 60.0
PIECE_MIN = 15
FAR = 9.0


@dataclass(frozen=True, slots=True)
class BreakOut:
    """The break-out of one decoding pass.

    ``wishes`` tells where a rig would go next, best first.
    """

    board: Board
    guide: Guide
    wishes: Callable[[int], Sequence[int]]

    def turn(self, minute: int, c: int, end: int) -> int | None:
        """Let a crew break out the zone wanted most; return when its piece ends, or None."""
        board, problem = self.board, self.board.problem
        zones = range(len(problem.zones))
        waiting = sum(board.broken[z] is not None and not board.work_begun(z) for z in zones)
        near = self._near()
        best: tuple[tuple[float, ...], int, int] | None = None
        for z in zones:
            if board.break_left[z] <= VOLUME_NOISE or z in self.guide.banned:
                continue
            started = board.break_left[z] < problem.full_volume[z]
            if not started and waiting >= self.guide.weights.ahead:
                continue
            start = self._start(z, c, minute, end)
            if start is None:
                continue
            rank = (float(not started), near.get(z, FAR), start + self.guide.keys[z], z)
            if best is None or rank < best[0]:
                best = (rank, z, start)
        return None if best is None else self._piece(best[1], c, best[2], end)

    def _near(self) -> dict[int, float]:
        """Return how soon each zone will be within reach of a rig, in set-ups from now."""
        near: dict[int, float] = {}
        for r, p in enumerate(self.board.rig_at):
            wishes = self.wishes(r)
            for rank, place in enumerate(wishes[:3] if p is None else [p, *wishes[:2]]):
                for z in self.board.problem.reach_sets.get((r, place), ()):
                    near[z] = min(near.get(z, FAR), float(rank))
        return near

    def _start(self, z: int, c: int, minute: int, end: int) -> int | None:
        board, problem = self.board, self.board.problem
        if any(not board.is_done(u) and board.broken[u] is None for u in problem.after[z]):
            return None
        at = max(minute, problem.zones[z].ready_from_min or 0)
        opened = board.zones[z].opened
        if opened is not None:
            at = max(at, opened)
        else:
            opening = board.opening(z, at)
            if opening is None or opening >= end:
                return None
            at = opening
        start = problem.shortened[z].first_fit(at, PIECE_MIN)
        if start is None or start + PIECE_MIN > end:
            return None
        start = board.clear_of(z, start, PIECE_MIN, things=self._things(z, c))
        window = problem.shortened[z].around(start)
        if window is None or start + PIECE_MIN > min(window[1], end):
            return None
        return start

    def _things(self, z: int, c: int) -> tuple[Thing, ...]:
        """Return what takes resources while a crew breaks out a zone; none: no limit."""
        return ((CREW, c), (ZONE, z)) if self.board.problem.needs else ()

    def _piece(self, z: int, c: int, start: int, end: int) -> int | None:
        board, problem = self.board, self.board.problem
        rate = problem.crews[c].crew.rate_m3_h or 0.0
        need = up(MINUTES * board.break_left[z] / rate)
        window = problem.shortened[z].around(start)
        if window is None:
            return None
        stop = min(window[1], end, board.duty_end(c, start), start + need)
        if board.clear_of(z, start, stop - start, things=self._things(z, c)) != start:
            stop = min(stop, start + PIECE_MIN)
        if stop <= start or not board.crew_may(c, start, stop):
            return None
        finished = stop - start >= need
        volume = board.break_left[z] if finished else (stop - start) * rate / MINUTES
        board.commit_break(Break(c, z, start, stop, volume), finished=finished)
        return stop
