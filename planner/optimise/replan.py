"""From an old plan to a new one that changes little: keep, complete, improve within that.

1. Of the old plan's future keep what stands (:mod:`planner.optimise.keeping`), issued shifts
   first; 2. complete it by the decoder, with lost work put into idle time or behind what stays;
   where not all the volume fits, keep only the part before some later minute; 3. improve the
   campaign's goals by exact neighbourhoods that never free an issued run and may change no more
   than the least changes found and what the user allows on top.

Plans compare by: issued spells that stay, volume by priority, ``changes``, then the goals.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace

import numpy as np

from planner.access.windows import Access
from planner.core.progress import Listener, silent
from planner.model.campaign import Campaign
from planner.model.identifiers import Goal
from planner.optimise.board import FOREVER, Board, DraftRun
from planner.optimise.bounds.claims import Claims
from planner.optimise.completing import complete
from planner.optimise.decode import decode, with_dependants
from planner.optimise.filling import fill_in
from planner.optimise.freeing import Neighbourhood
from planner.optimise.guide import Guide, Weights
from planner.optimise.hand_rule import FIRST_FIT
from planner.optimise.keeping import Kept, keep
from planner.optimise.old_plan import Key, OldPlan, old_plan
from planner.optimise.polish import Polish
from planner.optimise.problem import DAY, Problem, build_problem
from planner.optimise.replay import BrokenRuleError, replay
from planner.optimise.score import Order, Scored, allowed
from planner.optimise.watch import Budget, NoPlanInTimeError, Settings, Watch
from planner.options.build import Options
from planner.options.reasons import why_unplanned
from planner.plan.changes import Baseline, Changes, key_of
from planner.plan.plan import Plan, Proof, Spell, Status, Unplanned
from planner.reach.hoses import Reach

URGENT = 10_000.0
WAYS_TO_COMPLETE = (
    FIRST_FIT,
    Weights(),
    Weights(priority=URGENT, due=URGENT),
    Weights(close=0.5, roam=1.3),
)
KEPT_SHARES = (0.75, 0.5, 0.25, 0.0)
"""How much of the old plan after the issued part is kept where all of it leaves work out."""
MET = 1e-6
MOVED_ON = "It gave way so that more of the rest can be done."


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """An open spell of the old plan that is not in the new one; why, and whether it was issued."""

    spell: Spell
    issued: bool
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Replanned:
    """A new plan beside the old one.

    Attributes
    ----------
    plan, proof
        As of :func:`planner.optimise.engine.optimise`; bounds are over all plans, also those
        that change more.
    changes, changes_bound
        What is changed, and a proven bound on how little can be [1].
    moved
        Each old spell that did not stay, with the reason.
    issued_until_min
        Runs that begin before are issued [min].
    """

    plan: Plan
    proof: Proof
    changes: Changes
    changes_bound: int
    moved: tuple[Moved, ...]
    issued_until_min: int


def replan(
    campaign: Campaign,
    before: Plan,
    *,
    keep_days: float,
    settings: Settings,
    may_change: int = 0,
    listener: Listener = silent,
) -> Replanned:
    """Return the new plan from ``campaign.start_min`` on.

    Parameters
    ----------
    campaign
        With what is done; ``not_before_min`` says when now is.
    before
        The old plan, in minutes of this campaign.
    keep_days
        Shifts that begin within so many days are issued [d].
    may_change
        How many more changes than the fewest found the goals may use [1].

    Raises
    ------
    NoPlanInTimeError
        If the time or the stop flag ended the work before there was a plan.
    """
    watch = Watch(settings, listener)
    watch.tell("windows and reach", now=True)
    options = Options(campaign=campaign, access=Access(campaign), reach=Reach(campaign))
    problem = build_problem(options)
    work = _Replan(problem, before, _issued_until(problem, keep_days), watch)
    work.first()
    work.improve(may_change)
    return work.result(options)


def _issued_until(problem: Problem, keep_days: float) -> int:
    """Return the end of the last shift that begins within so many days."""
    day = problem.start + int(keep_days * DAY)
    ends = [b for crew in problem.crews for a, b, _ in crew.pieces if a < day]
    return max([day, *ends]) if keep_days > 0 else problem.start


@dataclass
class _Replan:
    """One re-plan under way."""

    problem: Problem
    before: Plan
    issued_until: int
    watch: Watch
    best: Scored | None = None
    kept: Kept | None = None
    bounds: dict[Goal, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        campaign = self.problem.campaign
        self.baseline = Baseline(campaign, self.before, self.problem.start)
        self.old: OldPlan = old_plan(self.problem, self.before)
        self.claims = Claims(self.problem, stop=self.watch.must_stop)
        keys = [key_of(spell) for spell in self.baseline.open]
        self.bound = sum(key in self.old.impossible for key in keys)
        starts = {run.run: run.start_min for run in self.before.runs}
        self.issued = frozenset(
            key_of(spell)
            for spell in self.baseline.open
            if starts.get(spell.run, spell.start_min) < self.issued_until
        )

    def changes(self, scored: Scored) -> int:
        """Return the value of ``changes``."""
        return self.baseline.of(scored.plan).count

    def key(self, scored: Scored) -> tuple[float, ...]:
        """Return the plan's place: lexicographically less is better."""
        there = {key_of(spell) for spell in scored.plan.spells}
        gone = sum(key not in there for key in self.issued)
        goals = (scored.value(goal) for goal in self.problem.campaign.goals)
        volumes = (-volume for volume in scored.volumes)
        return (float(gone), *volumes, float(self.changes(scored)), *goals)

    def first(self) -> None:
        """Find the plan that keeps the most: all that stands, or less where that holds more."""
        self.watch.tell("what stays of the old plan", now=True)
        self._try(FOREVER)
        last = max([self.issued_until, *(run.end for run in self.old.runs)])
        for share in KEPT_SHARES:
            if self.best is not None and self.claims.is_whole(self.best):
                break
            if self.watch.must_stop():
                break
            self._try(self.issued_until + int(share * (last - self.issued_until)))
        if self.best is None:
            self._whole_zones()
        if self.best is None:
            self._anew()

    def _whole_zones(self) -> None:
        """Keep the zones alone that stand whole; nothing is added."""
        kept = keep(self.problem, self.old, FOREVER)
        try:
            board = replay(self.problem, kept.script(frozenset()), whole=False)
            zones = range(len(self.problem.zones))
            short = {z for z in zones if z not in self.problem.complete and not board.is_done(z)}
            out = frozenset(with_dependants(self.problem, short))
            self.best, self.kept = Scored(replay(self.problem, kept.script(out))), kept
        except BrokenRuleError:
            return

    def _anew(self) -> None:
        """Plan as if there were no old plan: nothing of it can be completed."""
        board, _ = decode(self.problem, self._guide(Weights()), self.watch.must_stop)
        if self.watch.must_stop() and not board.runs:
            raise NoPlanInTimeError
        self.best = Scored(board)

    def _try(self, until: int) -> None:
        plain = keep(self.problem, self.old, until)
        filled = replace(
            plain, runs=list(plain.runs), moves=list(plain.moves), lost=dict(plain.lost)
        )
        fill_in(filled, self.old)
        for kept in (filled, plain):
            for weights in WAYS_TO_COMPLETE:
                board = complete(
                    self.problem, self._guide(weights), kept.script, self.watch.must_stop
                )
                if board is None:
                    continue
                scored = Scored(board)
                if self.best is None or self.key(scored) < self.key(self.best):
                    self.best, self.kept = scored, kept
                    self._tell()
                if self.watch.must_stop():
                    return

    def _guide(self, weights: Weights) -> Guide:
        zones, rigs = len(self.problem.zones), len(self.problem.rigs)
        return Guide(keys=(0.0,) * zones, stays=((),) * rigs, weights=weights)

    def _tell(self) -> None:
        if self.best is not None:
            self.watch.tell("changes", best=float(self.changes(self.best)), bound=self.bound)

    def improve(self, may_change: int) -> None:
        """Improve the campaign's goals in order, within the changes allowed; bound each."""
        campaign, settings = self.problem.campaign, self.watch.settings
        rng = np.random.default_rng(settings.seed)
        caps: dict[Goal, float] = {}
        most = self.changes(self._best) + may_change
        effort = settings.effort / max(1, len(campaign.goals))
        for goal, fraction in zip(campaign.goals, (*campaign.may_worsen, 0.0), strict=False):
            self.bounds[goal] = self.claims.bound(goal, caps, self._best)
            if not self.met(goal):
                self._polish(goal, caps, most, rng, Budget(effort))
            caps[goal] = allowed(goal, self._best.value(goal), fraction)

    def _polish(
        self,
        goal: Goal,
        caps: dict[Goal, float],
        most: int,
        rng: np.random.Generator,
        budget: Budget,
    ) -> None:
        zones = range(len(self.problem.zones))
        out = frozenset(z for z in zones if not self._best.board.is_done(z))
        order = _FewChanges(self.problem.campaign.goals, dict(caps), self.changes, most)
        polish = _Careful(
            self.problem, order, goal, out, rng, self.watch, budget, issued_until=self.issued_until
        )
        self.best = polish.run(
            self._best,
            enough=lambda scored: self.claims.is_whole(scored) and self.met(goal, scored),
            on_better=lambda scored: self.watch.tell(
                "improving", goal=goal, best=scored.value(goal), bound=self.bounds[goal]
            ),
        )

    @property
    def _best(self) -> Scored:
        if self.best is None:
            raise NoPlanInTimeError
        return self.best

    def met(self, goal: Goal, scored: Scored | None = None) -> bool:
        """Return whether a goal's bound is met."""
        slack = 1.0 / 60.0 - MET if goal is Goal.FINISH else MET
        return (scored or self._best).value(goal) - self.bounds[goal] <= slack

    def result(self, options: Options) -> Replanned:
        """Return the plan with what is proven, what is changed and why."""
        best, problem = self._best, self.problem
        changed = self.baseline.of(best.plan)
        goals = problem.campaign.goals
        whole = self.claims.is_whole(best)
        proven = whole and changed.count == self.bound and all(self.met(goal) for goal in goals)
        done = frozenset(row.zone for row in best.plan.spells)
        complete_now = {problem.zones[z].zone_id for z in problem.complete}
        unplanned = tuple(
            Unplanned(zone=zone.zone_id, reason=why_unplanned(options, zone, done))
            for zone in problem.zones
            if zone.zone_id not in done and zone.zone_id not in complete_now
        )
        settings = self.watch.settings
        proof = Proof(
            status=Status.OPTIMAL if proven else Status.FEASIBLE,
            planned_m3_bound=self.claims.volume_m3(best),
            bound={goal: self._closed(goal) for goal in goals},
            seed=settings.seed,
            workers=settings.workers,
            seconds=round(self.watch.elapsed_s(), 1),
            stopped_early=self.watch.stopped_early,
        )
        return Replanned(
            plan=replace(best.plan, unplanned=unplanned),
            proof=proof,
            changes=changed,
            changes_bound=self.bound,
            moved=tuple(self._why(spell, done) for spell in changed.moved),
            issued_until_min=self.issued_until,
        )

    def _closed(self, goal: Goal) -> float:
        """Return a bound without the noise of rounding; nothing where a valid plan beats it."""
        value, bound = self._best.value(goal), self.bounds.get(goal, 0.0)
        if abs(bound - value) <= MET:
            return value
        return bound if bound < value else 0.0

    def _why(self, spell: Spell, planned: frozenset[str]) -> Moved:
        key: Key = key_of(spell)
        lost = {} if self.kept is None else self.kept.lost
        why = lost.get(key) or self.old.lost.get(key)
        if why is None and spell.zone not in planned:
            why = f"Zone {spell.zone} cannot be completed any more, so none of it is (rule 14)."
        return Moved(spell=spell, issued=key in self.issued, why=why or MOVED_ON)


@dataclass(frozen=True)
class _FewChanges(Order):
    """The order of plans, with a cap on changes before all goals."""

    changes: Callable[[Scored], int]
    most: int

    def over(self, scored: Scored) -> float:
        """Return by how much a plan changes more than it may."""
        return float(max(0, self.changes(scored) - self.most))

    def key(self, scored: Scored) -> tuple[float, ...]:
        """Return the plan's place: lexicographically less is better."""
        volumes = len(scored.volumes)
        plain = Order(self.goals, self.caps).key(scored)
        return (*plain[:volumes], self.over(scored), *plain[volumes:])


@dataclass
class _Careful(Polish):
    """Exact neighbourhoods that leave issued runs alone and keep changes few."""

    issued_until: int = 0

    def _free(
        self,
        board: Board,
        rigs: tuple[int, ...],
        start: int,
        end: int,
        extra: tuple[DraftRun, ...] = (),
    ) -> Neighbourhood | None:
        first = max(start, self.issued_until)
        later = tuple(run for run in extra if run.start >= first)
        return super()._free(board, rigs, first, end, later) if end > first else None

    def _head(self, scored: Scored) -> tuple[float, ...]:
        plain = super()._head(scored)
        over = self.order.over(scored) if isinstance(self.order, _FewChanges) else 0.0
        volumes = len(scored.volumes)
        return (*plain[:volumes], over, *plain[volumes:])
