"""A plan under construction: who is where and when, and what that still allows.

The board holds committed work and answers, for one more piece of work, when it may happen.
Every rule of the contract that couples two pieces of work lives here, once: crews' hours (15),
positions (7), order and gaps (10), open time (11), panels (12), break-out (13), shared
resources (16).  Rules that concern one spell alone are already in the spray spans of
:mod:`planner.optimise.problem`.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right, insort
from collections.abc import Collection
from datetime import timedelta

from planner.core.spans import Span, Spans
from planner.model.identifiers import Orientation
from planner.optimise.events import Break, DraftRun, Hold, Move, Piece, ZoneState
from planner.optimise.problem import Problem
from planner.optimise.sharing import CREW, FOREVER, POSITION, RIG, ZONE, Thing, Usage

__all__ = [
    "FOREVER",
    "VOLUME_NOISE",
    "Board",
    "Break",
    "DraftRun",
    "Hold",
    "Move",
    "Piece",
    "ZoneState",
    "run_things",
    "spans_from",
]

VOLUME_NOISE = 1e-9


class Board:
    """Committed work and the room it leaves."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        zones = range(len(problem.zones))
        self.zones = [self._first_state(z) for z in zones]
        self.work: list[list[Span]] = [[] for _ in zones]
        self.broken: list[int | None] = [None] * len(problem.zones)
        self.break_left = [
            0.0 if problem.broken_out[z] or not problem.breaks_out else problem.full_volume[z]
            for z in zones
        ]
        self.dead: set[int] = set()
        self.rig_at: list[int | None] = [rig.at for rig in problem.rigs]
        self.rig_free = [problem.start] * len(problem.rigs)
        self.rig_last_run = [problem.start] * len(problem.rigs)
        self.started = [False] * len(problem.rigs)
        self.rig_crew: list[int | None] = [None] * len(problem.rigs)
        self.busy: list[list[Span]] = [[] for _ in problem.crews]
        self.holds: list[list[Hold]] = [[] for _ in problem.campaign.positions]
        self.holding: list[Hold | None] = [None] * len(problem.rigs)
        for r, rig in enumerate(problem.rigs):
            if rig.at is not None:
                self.rig_hold(r, rig.at, max(problem.start, rig.rig.available_from_min))
        old_enough = problem.start - problem.panel_wait
        self.panels: dict[tuple[int, int, Orientation], int] = dict.fromkeys(
            sorted(problem.panelled), old_enough
        )
        self.runs: list[DraftRun] = []
        self.moves: list[Move] = []
        self.breaks: list[Break] = []
        self.usage = Usage(problem.needs)
        self.drafted = 0
        self._weeks = _week_starts(problem)

    # -- zones ---------------------------------------------------------------------------

    def _first_state(self, z: int) -> ZoneState:
        problem = self.problem
        end = problem.first_end[z]
        opened = None
        if end is not None or (problem.zones[z].broken_out and problem.breaks_out):
            opened = problem.start if end is None else min(end, problem.start)
        if z in problem.complete:
            closed = (end or 0) + problem.hold
            return ZoneState(-1, FOREVER, 0.0, end, opened, closed, whole=True)
        return ZoneState(-1, 0, 0.0, end, opened, None, whole=True)

    def is_done(self, z: int) -> bool:
        """Return whether every layer of a zone is sprayed."""
        return self.zones[z].closed is not None

    def work_begun(self, z: int) -> bool:
        """Return whether any layer of a zone has been sprayed, even in part."""
        return self.zones[z].end is not None

    def done_end(self, z: int) -> int | None:
        """Return when a zone's last layer ended; None while it is not complete."""
        state = self.zones[z]
        return None if state.closed is None else state.closed - self.problem.hold

    def earliest(self, z: int, mix: int) -> int | None:
        """Return the earliest start of the zone's next spell by order and gaps, or None.

        Rules 10 and 13: zones in ``after`` complete, layer gaps, break-out and preparation.
        """
        problem = self.problem
        state = self.zones[z]
        at = problem.start
        for other in problem.after[z]:
            end = self.done_end(other)
            if end is None:
                return None
            at = max(at, end)
        job = problem.jobs[z][mix]
        if state.end is not None:
            gap = job.gap_min if state.whole and not job.layers[state.layer].begun else 0
            at = max(at, state.end + gap)
        if self.break_left[z] > VOLUME_NOISE:
            return None
        broken = self.broken[z]
        if broken is not None and state.layer == 0 and state.whole and state.end is None:
            at = max(at, broken + problem.prepare)
        return at

    def latest(self, z: int, mix: int) -> int:
        """Return the latest start of the zone's next spell (gap_max, max_open_days)."""
        problem = self.problem
        state = self.zones[z]
        job = problem.jobs[z][mix]
        if not state.whole or (state.layer < len(job.layers) and job.layers[state.layer].begun):
            return FOREVER
        if state.end is not None:
            return FOREVER if job.gap_max is None else state.end + job.gap_max
        broken = self.broken[z]
        if broken is not None and problem.max_open is not None:
            return broken + problem.max_open
        return FOREVER

    def opening(self, z: int, at: int) -> int | None:
        """Return the earliest minute from ``at`` on at which a zone may be opened, or None.

        Rule 11: kept apart from open zones, and no group above its limit.  A zone that is open
        and not complete is taken as open for ever.
        """
        problem = self.problem
        for other in problem.apart_open[z]:
            state = self.zones[other]
            if state.opened is None:
                continue
            if state.closed is None:
                return None
            at = max(at, state.closed)
        for members, most in problem.groups:
            if z not in members:
                continue
            closings = []
            for other in members:
                state = self.zones[other]
                if other != z and state.opened is not None:
                    closings.append(FOREVER if state.closed is None else state.closed)
            closings.sort(reverse=True)
            if len(closings) >= most > 0 and closings[most - 1] > at:
                at = closings[most - 1]
            if most <= 0 or at >= FOREVER:
                return None
        return at

    def clear_of(
        self, z: int, start: int, length: int, *, things: Collection[Thing] = (), after: int = 0
    ) -> int:
        """Return the earliest start of ``length`` minutes of work in a zone clear of its kin.

        Rule 11, kind ``work``: no work in both zones at the same time.  Rule 16: ``things``
        find what they need, also in the ``after`` minutes that the zone is trimmed for.
        """
        others = [span for q in self.problem.apart_work[z] for span in self.work[q]]
        moved = True
        while moved:
            moved = False
            for a, b in others:
                if a < start + length and start < b:
                    start = b
                    moved = True
            if things:
                fit = self.usage.first_fit(things, start, length + after, self.problem.end)
                moved = moved or fit > start
                start = fit
        return start

    def spray(self, draft: DraftRun, piece: Piece, mix: int, *, ends_layer: bool) -> None:
        """Put one spell on the board; the draft remembers how to take it back."""
        problem = self.problem
        z = piece.zone
        state = self.zones[z]
        draft.undo.append((z, state))
        draft.pieces.append(piece)
        job = problem.jobs[z][mix]
        opened = piece.start if state.opened is None else state.opened
        if ends_layer:
            layer = state.layer + 1
            done = layer == len(job.layers)
            closed = piece.end + problem.hold if done else None
            self.zones[z] = ZoneState(mix, layer, 0.0, piece.end, opened, closed, whole=True)
        else:
            full = job.layers[state.layer].volume_m3 if state.whole else state.left
            left = full - piece.volume
            self.zones[z] = ZoneState(mix, state.layer, left, piece.end, opened, None, whole=False)
        self.work[z].append((piece.start - problem.zone_change, piece.end))
        self.usage.take((ZONE, z), *self._use_of(z))

    def _use_of(self, z: int) -> Span:
        """Return when a zone takes what it needs for its latest spell: trimming included."""
        start, end = self.work[z][-1]
        state = self.zones[z]
        finish = 0 if state.closed is None else self.problem.jobs[z][state.mix].finish
        return start, end + finish

    def take_back(self, draft: DraftRun) -> None:
        """Undo every spell of a draft that was not committed."""
        for z, state in reversed(draft.undo):
            self.usage.give_back((ZONE, z), *self._use_of(z))
            self.zones[z] = state
            self.work[z].pop()
        draft.undo.clear()
        draft.pieces.clear()

    # -- crews ---------------------------------------------------------------------------

    def crew_gaps(self, c: int, start: int, end: int) -> list[Span]:
        """Return the stretches of ``[start, end)`` in which a crew has no work yet."""
        found = []
        at = start
        busy = self.busy[c]
        for k in range(max(0, bisect_left(busy, (start, 0)) - 1), len(busy)):
            a, b = busy[k]
            if a >= end:
                break
            if a > at:
                found.append((at, a))
            at = max(at, b)
        if at < end:
            found.append((at, end))
        return found

    def duty_end(self, c: int, start: int) -> int:
        """Return the latest end of work that starts at ``start`` by rule 15 (weeks included)."""
        crew = self.problem.crews[c].crew
        latest = FOREVER
        if crew.duty_max_min is not None:
            first = start
            busy = self.busy[c]
            for k in range(bisect_left(busy, (start, 0)) - 1, -1, -1):
                if first - busy[k][1] >= (crew.rest_min_min or 0):
                    break
                first = busy[k][0]
            latest = first + crew.duty_max_min
        if crew.week_max_min is not None:
            latest = min(latest, start + crew.week_max_min - self._week_work(c, start))
        return latest

    def crew_may(self, c: int, start: int, end: int) -> bool:
        """Return whether a crew may work ``[start, end)``: free, and within rule 15."""
        busy = self.busy[c]
        k = bisect_left(busy, (start, end))
        if (k > 0 and busy[k - 1][1] > start) or (k < len(busy) and busy[k][0] < end):
            return False
        if self.duty_end(c, start) < end:
            return False
        crew = self.problem.crews[c].crew
        if crew.duty_max_min is None:
            return True
        rest = crew.rest_min_min or 0
        first = last = (start, end)
        for j in range(k - 1, -1, -1):
            if first[0] - busy[j][1] >= rest:
                break
            first = busy[j]
        for j in range(k, len(busy)):
            if busy[j][0] - last[1] >= rest:
                break
            last = busy[j]
        return last[1] - first[0] <= crew.duty_max_min

    def week(self, minute: int) -> int:
        """Return the number of the Monday-Sunday week in which a minute lies."""
        return bisect_right(self._weeks, minute) - 1

    def _week_work(self, c: int, minute: int) -> int:
        k = bisect_right(self._weeks, minute) - 1
        low = self._weeks[k]
        high = self._weeks[k + 1] if k + 1 < len(self._weeks) else FOREVER
        return sum(b - a for a, b in self.busy[c] if low <= a < high)

    def occupy_crew(self, c: int, start: int, end: int) -> None:
        """Write work into a crew's hours."""
        insort(self.busy[c], (start, end))

    # -- rigs and positions ----------------------------------------------------------------

    def rig_hold(self, r: int, p: int, since: int) -> None:
        """Let a rig stand at a position from a minute on."""
        hold = Hold(r, since)
        self.holds[p].append(hold)
        self.holding[r] = hold

    def position_from(self, r: int, p: int, at: int) -> int | None:
        """Return the earliest minute from ``at`` on at which a rig may come to stand at ``p``.

        Rule 7; None while so many rigs stand there that none is known to leave.
        """
        most = self.problem.campaign.positions[p].rigs_max
        leaving = sorted(
            (FOREVER if hold.until is None else hold.until)
            for hold in self.holds[p]
            if hold.rig != r or hold is not self.holding[r]
        )
        leaving = [until for until in leaving if until > at]
        if len(leaving) < most:
            return at
        until = leaving[len(leaving) - most]
        return None if until >= FOREVER else until

    def may_begin(self, r: int) -> bool:
        """Return whether a rig that has done nothing yet may be used at all (rule 7).

        Rigs that stand at the same position from the start hold it from then on once they are
        used, so only as many of them as the position takes can ever work.
        """
        hold = self.holding[r]
        if hold is None or self.started[r]:
            return True
        p = self.rig_at[r]
        most = self.problem.campaign.positions[p or 0].rigs_max
        others = sum(
            self.started[one.rig] and (one.until is None or one.until > hold.since)
            for one in self.holds[p or 0]
            if one is not hold
        )
        return others < most

    def release(self, r: int) -> None:
        """Let a rig without further work go: it holds its position to its last run's end."""
        hold = self.holding[r]
        if hold is not None and hold.until is None:
            hold.until = max(self.rig_last_run[r], hold.since)

    def commit_run(self, draft: DraftRun) -> None:
        """Make a drafted run part of the plan."""
        r = draft.rig
        if self.rig_at[r] is None:
            self.rig_at[r] = draft.position
            self.rig_hold(r, draft.position, draft.start)
        self.started[r] = True
        self.rig_free[r] = draft.end
        self.rig_last_run[r] = draft.end
        self.rig_crew[r] = draft.crew
        self.occupy_crew(draft.crew, draft.start, draft.end)
        self.use_for_run(draft)
        self.runs.append(draft)

    def commit_move(self, move: Move) -> None:
        """Make a relocation part of the plan."""
        hold = self.holding[move.rig]
        if hold is not None:
            hold.until = move.start
        if move.crew is not None:
            self.occupy_crew(move.crew, move.start, move.end)
        self.started[move.rig] = True
        self.rig_at[move.rig] = move.target
        self.rig_free[move.rig] = move.end
        self.rig_hold(move.rig, move.target, move.end)
        self.use_for_move(move)
        self.moves.append(move)

    def commit_break(self, piece: Break, *, finished: bool) -> None:
        """Make a break-out piece part of the plan."""
        z = piece.zone
        state = self.zones[z]
        if state.opened is None:
            self.zones[z] = state._replace(opened=piece.start)
        self.break_left[z] = 0.0 if finished else self.break_left[z] - piece.volume
        if finished:
            ends = [row.end for row in self.breaks if row.zone == z]
            self.broken[z] = max([piece.end, *ends])
        self.work[z].append((piece.start, piece.end))
        self.occupy_crew(piece.crew, piece.start, piece.end)
        self.use_for_break(piece)
        self.breaks.append(piece)

    # -- shared resources --------------------------------------------------------------------

    def use_for_run(self, run: DraftRun) -> None:
        """Take what crew, rig and position of a run need (rule 16)."""
        for thing in run_things(run.crew, run.rig, run.position):
            self.usage.take(thing, run.start, run.end)

    def use_for_move(self, move: Move) -> None:
        """Take what the rig of a relocation, and its crew, need (rule 16)."""
        self.usage.take((RIG, move.rig), move.start, move.end)
        if move.crew is not None:
            self.usage.take((CREW, move.crew), move.start, move.end)

    def use_for_break(self, piece: Break) -> None:
        """Take what the crew and the zone of a break-out piece need (rule 16)."""
        self.usage.take((CREW, piece.crew), piece.start, piece.end)
        self.usage.take((ZONE, piece.zone), piece.start, piece.end)


def run_things(c: int, r: int, p: int) -> tuple[Thing, Thing, Thing]:
    """Return what a run uses besides its zones: crew, rig, position."""
    return (CREW, c), (RIG, r), (POSITION, p)


def _week_starts(problem: Problem) -> list[int]:
    clock = problem.campaign.clock
    monday = clock.first_day - timedelta(days=clock.first_day.weekday())
    found = []
    while monday <= clock.last_day:
        found.append(clock.day_start(monday))
        monday += timedelta(days=7)
    return found


def spans_from(spans: Spans, minute: int) -> int:
    """Return the index of the first span that ends after a minute."""
    return bisect_right(spans.ends, minute)
