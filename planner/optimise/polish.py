"""Large neighbourhoods, solved exactly: free a stretch of some rigs' work, repack, replay."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np

from planner.model.identifiers import Goal
from planner.optimise.answer import Change
from planner.optimise.board import FOREVER, Board, DraftRun
from planner.optimise.freeing import Neighbourhood, free
from planner.optimise.problem import DAY, HOUR, Problem
from planner.optimise.repack import Aim, Repack
from planner.optimise.replay import BrokenRuleError, replay
from planner.optimise.score import Order, Scored
from planner.optimise.solving import LEAST_S, Limits
from planner.optimise.watch import Budget, Watch

MOST_ATOMS = 45
FEWEST_ATOMS = 12
LATE_ATOMS = 16
KINDS = 4
PULL = 3
PULLED = (Goal.FINISH, Goal.LATE)
"""Goals for which late zones are pulled forward by one kind of neighbourhood."""
LARGE = 2
"""Zones are pulled forward in plans so many times larger than a neighbourhood [1]."""
PULL_ATOMS = (4, 16)
"""Spells freed round the window that a late zone is pulled into: small models, many tries [1]."""
LAST_RUNS = 8
"""From so many of the last runs a zone is pulled forward [1]."""
SOME_RIGS = 0.4
"""Share of the neighbourhoods that leave one rig as it is."""
ROUND_EFFORT = 0.01
SOLVE_EFFORT = 2.4
CHOICE_EFFORT = 3e-4
PIECE_EFFORT = 1e-4
"""Effort of a round: solver time, choices in the model, pieces replayed; measured."""


@dataclass(frozen=True, slots=True)
class Trial:
    """What one neighbourhood came to, for the log of a search."""

    atoms: int
    slots: int
    outcome: str


@dataclass(frozen=True, slots=True)
class Task:
    """A model to solve, what for, and its seed."""

    model: Repack
    aim: Aim
    seed: int


@dataclass
class Polish:
    """Improves a plan for one goal by exact neighbourhoods, drawn from a seeded generator."""

    problem: Problem
    order: Order
    goal: Goal
    banned: frozenset[int]
    rng: np.random.Generator
    watch: Watch
    budget: Budget
    deterministic_s: float = 0.6
    trace: Callable[[Trial], None] | None = None

    def run(
        self,
        start: Scored,
        *,
        enough: Callable[[Scored], bool],
        on_better: Callable[[Scored], None],
    ) -> Scored:
        """Return the best plan found within the budget, or until it is enough.

        Each round draws as many neighbourhoods as there are workers and solves them side by
        side; the answers are put into the plan one after the other, in the order drawn, where
        what they change is still there.
        """
        best = current = start
        number = 0
        workers = max(1, self.watch.settings.workers)
        with ThreadPoolExecutor(max_workers=workers) as pool:
            while not (self.budget.is_spent or enough(best)) and self.watch.has_time_for(LEAST_S):
                drawn = [self._draw(current, number + k) for k in range(workers)]
                number += workers
                models = [task for task in drawn if task is not None]
                self.budget.spend(ROUND_EFFORT)
                for change in pool.map(self._solve, models):
                    found = self._apply(current, change)
                    if found is None or not self._no_worse(found, current):
                        continue
                    current = found
                    if self.order.key(found) < self.order.key(best):
                        best = found
                        on_better(best)
                self._charge(current, models)
        return best

    def _draw(self, current: Scored, number: int) -> Task | None:
        late: int | None = None
        pieces = sum(len(run.pieces) for run in current.board.runs)
        pulls = self.goal in PULLED and pieces > LARGE * MOST_ATOMS
        if pulls and number % KINDS == PULL:
            near, late = self._pull(current.board)
        else:
            near = self._pick(current.board, number)
        if near is None or not near.atoms:
            return None
        places = places_for(near, int(self.rng.integers(0, 3)), self.rng, late)
        model = Repack(current.board, near, places)
        return Task(model, self._aim(near, current), int(self.rng.integers(1 << 30)))

    def _solve(self, task: Task) -> Change | None:
        limits = Limits(
            deterministic_s=self.deterministic_s,
            seconds=self.watch.left_s(),
            seed=task.seed,
            stop=self.watch.must_stop,
        )
        change = task.model.solve(task.aim, limits)
        if self.trace is not None:
            near = task.model.near
            self.trace(Trial(len(near.atoms), len(near.slots), task.model.status))
        return change

    def _apply(self, current: Scored, change: Change | None) -> Scored | None:
        """Return the plan with a change, or None where it no longer fits or breaks a rule."""
        script = None if change is None else change.on(current.board, self.banned)
        if script is None:
            return None
        try:
            return Scored(replay(self.problem, script))
        except BrokenRuleError as reason:
            if self.trace is not None:
                self.trace(Trial(0, 0, f"refused: {reason}"))
            return None

    def _charge(self, current: Scored, models: list[Task]) -> None:
        """Spend the effort of a round: the longest of the solves, building, replaying."""
        if not models:
            return
        pieces = sum(len(run.pieces) for run in current.board.runs)
        choices = sum(task.model.choices for task in models)
        longest = max(task.model.deterministic_s for task in models)
        self.budget.spend(
            longest * SOLVE_EFFORT + choices * CHOICE_EFFORT + len(models) * pieces * PIECE_EFFORT
        )

    def _pick(self, board: Board, number: int) -> Neighbourhood | None:
        """Return the last stretch, a stretch with late runs to pull into it, or any stretch."""
        rigs = self._some_rigs()
        mine = sorted(
            (run for run in board.runs if run.panel is None and run.rig in rigs),
            key=lambda run: (run.start, run.rig),
        )
        if not mine:
            return None
        most = int(self.rng.integers(FEWEST_ATOMS, MOST_ATOMS + 1))
        kind = number % PULL
        if kind == 0:
            first = _reach_back(mine, most)
            start = self._before(board, rigs, mine[first].start)
            return self._free(board, rigs, start, FOREVER)
        if kind == 1:
            most = max(FEWEST_ATOMS, (2 * most) // 3)
        first = int(self.rng.integers(len(mine)))
        last = _reach_on(mine, first, most)
        end = mine[last].start if last < len(mine) else FOREVER
        start = self._before(board, rigs, mine[first].start)
        extra: tuple[DraftRun, ...] = ()
        if kind == 1 and end < FOREVER:
            extra = self._late(board, mine[first:last], end)
        return self._free(board, rigs, start, end, extra)

    def _pull(self, board: Board) -> tuple[Neighbourhood | None, int | None]:
        """Return a stretch in which one of the last zones could be sprayed, and the zone."""
        rigs = self._some_rigs()
        spray = sorted(
            (run for run in board.runs if run.panel is None),
            key=lambda run: (-run.end, run.rig),
        )
        if not spray:
            return None, None
        run = spray[int(self.rng.integers(min(LAST_RUNS, len(spray))))]
        piece = run.pieces[int(self.rng.integers(len(run.pieces)))]
        z = piece.zone
        job = self.problem.jobs[z][run.mix]
        before = [
            p.end for one in spray for p in one.pieces if p.zone == z and p.end <= piece.start
        ]
        since = max(before, default=self.problem.start)
        spans = [a for a, b in job.mid if a >= since and b < run.start]
        if not spans:
            return None, None
        at = spans[int(self.rng.integers(len(spans)))]
        others = sorted(
            (one for one in spray if one.rig in rigs and one is not run),
            key=lambda one: (one.start, one.rig),
        )
        first = next((n for n, one in enumerate(others) if one.end > at - DAY), len(others))
        if first >= len(others):
            return None, None
        most = int(self.rng.integers(*PULL_ATOMS))
        last = _reach_on(others, first, most)
        end = others[last].start if last < len(others) else FOREVER
        if end > run.start:
            return None, None
        start = self._before(board, rigs, others[first].start)
        return self._free(board, rigs, start, end, (run,)), z

    def _some_rigs(self) -> tuple[int, ...]:
        rigs = tuple(range(len(self.problem.rigs)))
        if len(rigs) > 1 and self.rng.random() < SOME_RIGS:
            chosen = self.rng.permutation(len(rigs))[: max(1, len(rigs) - 1)]
            rigs = tuple(sorted(int(r) for r in chosen))
        return rigs

    def _late(self, board: Board, inside: list[DraftRun], end: int) -> tuple[DraftRun, ...]:
        """Return late runs with zones that the stretch's set-ups reach, latest first."""
        reached: set[int] = set()
        for r, p in {(run.rig, run.position) for run in inside}:
            reached |= self.problem.reach_sets.get((r, p), frozenset())
        found: list[DraftRun] = []
        count = 0
        for run in sorted(board.runs, key=lambda run: -run.start):
            if run.start < end or count >= LATE_ATOMS:
                break
            if run.panel is None and any(piece.zone in reached for piece in run.pieces):
                found.append(run)
                count += len(run.pieces)
        return tuple(found)

    def _before(self, board: Board, rigs: tuple[int, ...], start: int) -> int:
        """Return how far back idle time may be used: to the end of the runs before."""
        ends = [run.end for run in board.runs if run.rig in rigs and run.end <= start]
        return max(ends, default=self.problem.start)

    def _free(
        self,
        board: Board,
        rigs: tuple[int, ...],
        start: int,
        end: int,
        extra: tuple[DraftRun, ...] = (),
    ) -> Neighbourhood | None:
        horizon = min(end, self.problem.end)
        if end >= FOREVER:
            horizon = min(self.problem.end, max(board.rig_last_run))
        return free(board, self.banned, rigs, start, horizon, extra)

    def _aim(self, near: Neighbourhood, current: Scored) -> Aim:
        cap = self.order.caps.get(Goal.FINISH)
        latest = FOREVER if cap is None else int(cap * HOUR + 1e-6)
        ends_plan = near.horizon >= max(current.board.rig_last_run)
        aims = {
            Goal.FINISH: Aim(end=20_000 if ends_plan else 0, move=2_000, latest=latest),
            Goal.RELOCATIONS: Aim(move=100_000_000, latest=latest),
            Goal.COST: Aim(end=1 if ends_plan else 0, money=10_000, latest=latest),
            Goal.LATE: Aim(late=20_000, move=2_000, latest=latest),
            Goal.NIGHT_RUNS: Aim(night=100_000_000, move=2_000, latest=latest),
            Goal.JOINTS: Aim(end=1 if ends_plan else 0, move=2_000, latest=latest),
        }
        return aims[self.goal]

    def _no_worse(self, found: Scored, current: Scored) -> bool:
        """Return whether the walk may go on from a plan: no worse up to this goal."""
        return self._head(found) <= self._head(current)

    def _head(self, scored: Scored) -> tuple[float, ...]:
        over = sum(max(0.0, scored.value(g) - cap) for g, cap in self.order.caps.items())
        volumes = tuple(-volume for volume in scored.volumes)
        return (*volumes, round(over, 6), scored.value(self.goal))


def _reach_back(runs: list[DraftRun], most: int) -> int:
    """Return the first of the last runs that hold so many spells."""
    count = len(runs[-1].pieces)
    first = len(runs) - 1
    while first > 0 and count + len(runs[first - 1].pieces) <= most:
        first -= 1
        count += len(runs[first].pieces)
    return first


def _reach_on(runs: list[DraftRun], first: int, most: int) -> int:
    """Return the run after those from ``first`` on that hold so many spells."""
    count = len(runs[first].pieces)
    last = first + 1
    while last < len(runs) and count + len(runs[last].pieces) <= most:
        count += len(runs[last].pieces)
        last += 1
    return last


def places_for(
    near: Neighbourhood, extra: int, rng: np.random.Generator, late: int | None = None
) -> dict[int, list[int]]:
    """Return the positions each freed rig may use: those it uses now, and some that reach much.

    Where a zone is to be pulled forward, also one or two that reach it.
    """
    problem = near.problem
    zones = {atom.zone for atom in near.atoms}
    found: dict[int, list[int]] = {}
    for r in near.rigs:
        now = {run.position for run in near.freed_runs if run.rig == r and run.end <= near.end}
        now |= {p for p in (near.first_place[r], near.last_place[r]) if p is not None}
        others = sorted(
            (
                p
                for (k, p), reached in problem.reach_sets.items()
                if k == r and reached & zones and p not in now
            ),
            key=lambda p: (-len(problem.reach_sets[r, p] & zones), p),
        )
        if others and extra:
            picks = rng.permutation(min(len(others), 3 * extra))[:extra]
            now |= {others[int(k)] for k in picks}
        if late is not None:
            ways = sorted({way.position for way in problem.ways[late] if way.rig == r})
            now |= {ways[int(k)] for k in rng.permutation(len(ways))[:2]}
        found[r] = sorted(now)
    return found
