"""From a guide to a whole plan, forward in time, every rule kept on the way.

One queue of (minute, crew).  A spraying crew that comes up looks at every rig it may work,
drafts a run for each and commits the best; a rig whose set-up is worked out is moved on at
once, in the first slot that anybody has; a break-out crew opens the zone that will be wanted
next.  Zones that cannot be completed are left out whole and the decoding starts again without
them (rule 14).
"""

from __future__ import annotations

import heapq
from bisect import bisect_right, insort
from collections.abc import Callable, Iterator
from dataclasses import replace

from planner.core.spans import Span
from planner.model.identifiers import Orientation
from planner.optimise.board import FOREVER, Board, DraftRun, run_things
from planner.optimise.breaking import BreakOut
from planner.optimise.guide import Guide
from planner.optimise.moves import plan_move
from planner.optimise.problem import DAY, Problem
from planner.optimise.prospect import Prospect
from planner.optimise.runs import Stretch, draft_run, live_ways
from planner.optimise.strip import strip

LOOK_AGAIN = 60
MOVE_AHEAD = 14 * DAY
ASK_EVERY = 64
LEAST_GAIN = 30.0
ROAM_TRIES = 4


def decode(
    problem: Problem, guide: Guide, stop: Callable[[], bool] = lambda: False
) -> tuple[Board, Guide]:
    """Return the plan that a guide leads to, and the guide with what had to be left out.

    The board holds complete zones only.  When ``stop`` says so the calendar is left where it
    is, and the zones that are complete by then make the plan.
    """
    banned = set(guide.banned) | set(problem.complete)
    banned |= {z for z in range(len(problem.zones)) if not problem.ways[z]}
    banned = with_dependants(problem, banned)
    drafted = 0
    while True:
        tried = replace(guide, banned=frozenset(banned))
        board = Decoder(problem, tried, stop).run()
        drafted += board.drafted
        missing = {
            z for z in range(len(problem.zones)) if z not in banned and not board.is_done(z)
        }
        if board.dead and problem.max_open is not None and guide.weights.ahead > 1:
            fewer = replace(guide.weights, ahead=guide.weights.ahead // 2)
            guide = replace(guide, weights=fewer)
            continue
        banned = with_dependants(problem, banned | missing)
        if missing:
            stripped = strip(board, frozenset(banned))
            if stripped is None:
                continue
            board = stripped
        board.drafted = drafted
        return board, replace(guide, banned=frozenset(banned - problem.complete))


def with_dependants(problem: Problem, banned: set[int]) -> set[int]:
    """Return the zones that are left out, with all that wait for them (rule 14)."""
    grown = True
    while grown:
        grown = False
        for z, before in enumerate(problem.after):
            if z not in banned and any(b in banned and b not in problem.complete for b in before):
                banned.add(z)
                grown = True
    return banned


class Decoder:
    """One pass over the calendar."""

    def __init__(self, problem: Problem, guide: Guide, stop: Callable[[], bool]) -> None:
        self.problem = problem
        self.stop = stop
        self.guide = guide
        self.board = Board(problem)
        for z in guide.banned - problem.complete:
            self.board.zones[z] = self.board.zones[z]._replace(opened=None)
        self.todo = len(problem.zones) - len(guide.banned | problem.complete)
        self.stays = [list(stays) for stays in guide.stays]
        self.free_choice = [not stays for stays in guide.stays]
        self.stalled = [0] * len(problem.rigs)
        self.finished = [False] * len(problem.rigs)
        self.ends: list[int] = []
        self.prospect = Prospect(problem, guide)
        self.break_out = BreakOut(self.board, guide, self._wishes)
        self.live: dict[tuple[int, int], list[int]] = {}

    def run(self) -> Board:
        """Work through the calendar until everything is done or time is up."""
        queue = [
            (piece[0], crew.sprays, c)
            for c, crew in enumerate(self.problem.crews)
            for piece in crew.pieces[:1]
        ]
        heapq.heapify(queue)
        turns = 0
        while queue and self.todo > 0:
            turns += 1
            if turns % ASK_EVERY == 0 and self.stop():
                break
            minute, sprays, c = heapq.heappop(queue)
            later = self._turn(minute, c)
            if later is not None:
                heapq.heappush(queue, (later, sprays, c))
        for r in range(len(self.problem.rigs)):
            self.board.release(r)
        return self.board

    def _turn(self, minute: int, c: int) -> int | None:
        crew = self.problem.crews[c]
        k = bisect_right(crew.pieces, (minute, FOREVER, FOREVER)) - 1
        if k < 0 or minute >= crew.pieces[k][1]:
            return crew.pieces[k + 1][0] if k + 1 < len(crew.pieces) else None
        end = crew.pieces[k][1]
        done = (
            self._spray_turn(minute, c, end) if crew.sprays else self._break_turn(minute, c, end)
        )
        if done is not None:
            return done
        if minute + LOOK_AGAIN < end and not crew.sprays:
            return minute + LOOK_AGAIN
        return self._next_time(minute, c, k, end)

    def _next_time(self, minute: int, c: int, k: int, end: int) -> int | None:
        """Return when a crew that found nothing looks again: when something has changed."""
        crew = self.problem.crews[c]
        again = [
            free
            for r, free in enumerate(self.board.rig_free)
            if minute < free < end and not self.finished[r]
        ]
        k_next = bisect_right(self.ends, minute)
        if k_next < len(self.ends) and self.ends[k_next] < end:
            again.append(self.ends[k_next])
        if minute + 2 * LOOK_AGAIN < end:
            again.append(minute + 2 * LOOK_AGAIN)
        if again:
            return min(again)
        return crew.pieces[k + 1][0] if k + 1 < len(crew.pieces) else None

    # -- spraying ----------------------------------------------------------------------------

    def _spray_turn(self, minute: int, c: int, end: int) -> int | None:
        best: tuple[tuple[float, ...], int, int, int] | None = None
        for r in self._rigs_for(c):
            self._settle(r, minute)
            p = self._place(r, minute)
            start = max(minute, self.board.rig_free[r])
            if p is None or start >= end:
                continue
            panel = self._panel(c, r, p, start, end)
            if panel is not None:
                return self._take(panel, minute)
            found = False
            for m in self.problem.rigs[r].mixes:
                draft = self._draft(c, r, p, m, start, end)
                if draft is None:
                    continue
                found = True
                rank = self._rank(draft, c)
                self.board.take_back(draft)
                if best is None or rank < best[0]:
                    best = (rank, r, p, m)
            if not found:
                self._note_stall(r, c, minute)
        if best is None:
            return None
        _, r, p, m = best
        again = self._draft(c, r, p, m, max(minute, self.board.rig_free[r]), end)
        return None if again is None else self._take(again, minute)

    def _take(self, run: DraftRun, minute: int) -> int:
        """Commit a run, move its rig on if that was the last here; return when to look again."""
        self.board.commit_run(run)
        insort(self.ends, run.end)
        self.stalled[run.rig] = 0
        if run.panel is not None:
            self.board.panels[run.crew, run.mix, run.panel] = run.end
        self.todo -= sum(self.board.is_done(z) for z in {piece.zone for piece in run.pieces})
        self._move_on(run.rig, run.end)
        self._roam(run.rig, run.end)
        return self._after_run(minute, run)

    def _roam(self, r: int, minute: int) -> None:
        """Move a rig of free choice to where the next tides offer clearly more work."""
        here = self.board.rig_at[r]
        times = self.guide.weights.roam
        if times <= 0 or here is None or not self.free_choice[r] or self.finished[r]:
            return
        if self.board.rig_free[r] > minute:
            return
        value = times * self.prospect.value(self.board, r, here, minute) + LEAST_GAIN
        for p in self._wishes(r)[:ROAM_TRIES]:
            if p == here or self.prospect.value(self.board, r, p, minute) <= value:
                return
            move = plan_move(self.board, r, p, minute, minute + DAY)
            if move is not None:
                self.board.commit_move(move)
                return

    def _after_run(self, minute: int, run: DraftRun) -> int:
        """Return when the crew looks again: before a long wait, or after its run."""
        return minute if run.start - minute > 2 * LOOK_AGAIN and self._others(run) else run.end

    def _others(self, run: DraftRun) -> bool:
        """Return whether another rig could use the crew's wait before a run."""
        return any(
            r != run.rig and not self.finished[r] and self.board.rig_free[r] < run.start
            for r in self._rigs_for(run.crew)
        ) and not any(a <= run.start and b > run.start for a, b in self.board.busy[run.crew][:-1])

    def _rank(self, draft: DraftRun, c: int) -> tuple[float, ...]:
        minutes = sum(piece.end - piece.start for piece in draft.pieces)
        first = draft.pieces[0].start
        mine = 0.0 if self.board.rig_crew[draft.rig] in (None, c) else 60.0
        return (first + mine - 0.2 * minutes, float(draft.rig))

    def _rigs_for(self, c: int) -> list[int]:
        allowed = self.problem.crews[c].crew.processes
        return [
            r
            for r, rig in enumerate(self.problem.rigs)
            if not self.finished[r]
            and (not allowed or rig.rig.process in allowed)
            and self.board.may_begin(r)
        ]

    def _place(self, r: int, minute: int) -> int | None:
        p = self.board.rig_at[r]
        return self._first_stay(r, minute) if p is None else p

    def _draft(self, c: int, r: int, p: int, m: int, start: int, end: int) -> DraftRun | None:
        for a, b in self._gaps(c, r, p, start, end):
            draft = draft_run(self.board, self.guide, Stretch(c, r, p, m, a, b))
            if draft is None:
                continue
            if self._may_stand(r, p, draft.start) and self.board.crew_may(
                c, draft.start, draft.end
            ):
                return draft
            self.board.take_back(draft)
        return None

    def _gaps(self, c: int, r: int, p: int, start: int, end: int) -> Iterator[Span]:
        """Yield the stretches in which crew, rig, position and what they share are free."""
        things = run_things(c, r, p)
        for low, high in self.problem.room[r, p].clip(start, end):
            for a, b in self.board.crew_gaps(c, low, high):
                yield from self.board.usage.free(things, a, b)

    def _may_stand(self, r: int, p: int, at: int) -> bool:
        """Return whether a rig that stands nowhere yet may be set up at a position."""
        return self.board.rig_at[r] is not None or self.board.position_from(r, p, at) == at

    def _panel(self, c: int, r: int, p: int, start: int, end: int) -> DraftRun | None:
        if not self.problem.panel_wait:
            return None
        length = self.problem.rigs[r].panel
        for m in self.problem.rigs[r].mixes:
            for orientation in Orientation:
                if not self.problem.crews[c].may((m, orientation), start):
                    continue
                if (c, m, orientation) in self.board.panels:
                    continue
                if not self._wanted(r, m, orientation):
                    continue
                found = self._panel_slot(c, r, p, start, end, length)
                if found is None:
                    return None
                return DraftRun(r, c, p, m, found, found + length, panel=orientation)
        return None

    def _panel_slot(self, c: int, r: int, p: int, start: int, end: int, length: int) -> int | None:
        for a, b in self._gaps(c, r, p, start, end):
            fits = a + length <= b and self.board.crew_may(c, a, a + length)
            if fits and self._may_stand(r, p, a):
                return a
        return None

    def _wanted(self, r: int, m: int, orientation: Orientation) -> bool:
        return any(
            way.rig == r and way.mix == m
            for z, ways in enumerate(self.problem.ways)
            if self.problem.zones[z].orientation is orientation
            and z not in self.guide.banned
            and not self.board.is_done(z)
            for way in ways
        )

    # -- positions -----------------------------------------------------------------------------

    def _work_left(self, r: int, p: int) -> bool:
        return any(
            live_ways(self.board, self.guide, (r, p, m)) for m in self.problem.rigs[r].mixes
        )

    def _ready_work(self, r: int, p: int) -> bool:
        return any(
            self.board.earliest(way.zone, m) is not None
            for m in self.problem.rigs[r].mixes
            for way in live_ways(self.board, self.guide, (r, p, m))
            if self.board.zones[way.zone].mix in (-1, m)
        )

    def _first_stay(self, r: int, minute: int) -> int | None:
        """Return where a rig that stands nowhere yet is set up first."""
        for p in self._wishes(r):
            if self.board.position_from(r, p, minute) == minute and self._work_left(r, p):
                return p
        return None

    def _wishes(self, r: int) -> list[int]:
        """Return the positions a rig would go to next, best first."""
        if not self.free_choice[r]:
            return list(dict.fromkeys(self.stays[r]))
        near = list(self.problem.nearest(r, self.board.rig_at[r]))
        if self.guide.weights.roam <= 0:
            return near
        at = self.board.rig_free[r]
        values = {p: self.prospect.value(self.board, r, p, at) for p in near}
        return sorted(near, key=lambda p: -values[p])

    def _settle(self, r: int, minute: int) -> None:
        """Move a rig on when its set-up is worked out and it has not been moved yet."""
        p = self.board.rig_at[r]
        if p is not None and not self._work_left(r, p):
            self._move_on(r, max(minute, self.board.rig_free[r]))

    def _move_on(self, r: int, minute: int) -> None:
        p = self.board.rig_at[r]
        if p is None or self._work_left(r, p):
            return
        if p in self.stays[r]:
            self.stays[r].remove(p)
        self._go(r, minute)

    def _go(self, r: int, minute: int) -> bool:
        here = self.board.rig_at[r]
        any_work = False
        for p in self._wishes(r):
            if p == here or not self._work_left(r, p):
                continue
            any_work = True
            if not self._ready_work(r, p):
                continue
            move = plan_move(self.board, r, p, minute, minute + MOVE_AHEAD)
            if move is not None:
                self.board.commit_move(move)
                self.stalled[r] = 0
                return True
        if not any_work and (here is None or not self._work_left(r, here)):
            self._retire(r)
        return False

    def _retire(self, r: int) -> None:
        places = range(len(self.problem.campaign.positions))
        if self.guide.weights.leave and any(self._work_left(r, p) for p in places):
            self.free_choice[r] = True
            return
        self.finished[r] = True
        self.board.release(r)

    def _note_stall(self, r: int, c: int, minute: int) -> None:
        """Leave a set-up whose work is blocked when another has work that is not."""
        if self.board.rig_free[r] > minute:
            return
        crew = self.problem.crews[c]
        k = bisect_right(crew.pieces, (minute, FOREVER, FOREVER)) - 1
        if minute != crew.pieces[k][0] and self.stalled[r] == 0:
            return
        self.stalled[r] += 1
        here = self.board.rig_at[r]
        if self.stalled[r] > self.guide.weights.patience and here is not None:
            if not self.free_choice[r] and here in self.stays[r]:
                self.stays[r].remove(here)
                self.stays[r].append(here)
            self._go(r, minute)

    def _break_turn(self, minute: int, c: int, end: int) -> int | None:
        stop = self.break_out.turn(minute, c, end)
        if stop is not None:
            insort(self.ends, stop)
        return stop
