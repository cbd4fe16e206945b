"""From a campaign to a plan with its proof: goals in order, each with a bound.

Every goal is searched for with the goals before it as caps (value x (1 + may_worsen)), then
bounded over all plans that keep those caps; a goal whose bound is met is not searched on.
"""

from __future__ import annotations

import logging
from dataclasses import dataclass, replace

import numpy as np

from planner.access.windows import Access
from planner.core.progress import Listener, silent
from planner.model.campaign import Campaign
from planner.model.identifiers import Goal
from planner.optimise.bounds.claims import Claims
from planner.optimise.guide import starts
from planner.optimise.hand_rule import hand_rule
from planner.optimise.location import located
from planner.optimise.polish import Polish
from planner.optimise.problem import HOUR, Problem, build_problem
from planner.optimise.score import Order, Scored, allowed
from planner.optimise.search import (
    DRAFT_EFFORT,
    STEP_EFFORT,
    Found,
    improve,
    plan_of,
    settled,
)
from planner.optimise.watch import Budget, NoPlanInTimeError, Settings, Watch
from planner.options.build import Options
from planner.options.reasons import why_unplanned
from planner.plan.plan import Plan, Proof, Status, Unplanned
from planner.reach.hoses import Reach

__all__ = ["NoPlanInTimeError", "Settings", "optimise"]

LOG = logging.getLogger(__name__)
GOAL_SHARE = 0.55
"""Share of what is left of the effort that a goal gets, the last one all of it."""
FIRST_SHARE = 0.6
"""Share of a goal's effort before its bound is worked out."""
KEPT_SHARE = 0.45
"""Share of the time that the first goal's first search leaves for bounds and later goals."""
START_SHARE = 0.15
INSIST_ON = 12
FIRST_OF_ALL_MIN = 1e6
GUIDED_SHARE = 0.3
"""Share of the first goal's effort for the walk over guides."""
MET = 1e-6


@dataclass
class _Run:
    """One call of the optimiser."""

    problem: Problem
    watch: Watch
    claims: Claims
    best: Found
    caps: dict[Goal, float]
    bounds: dict[Goal, float]
    guided: bool = True

    @property
    def goals(self) -> tuple[Goal, ...]:
        return self.problem.campaign.goals

    def pursue(self, goal: Goal, fraction: float, rng: np.random.Generator, effort: float) -> None:
        """Search for one goal, bound it, search on where the bound is not met, and cap it.

        The bound is worked out in the middle: it is the quicker, the better the plan is by then,
        and some of the time is kept for it.
        """
        self.bounds[goal] = self._quick_bound(goal)
        order = Order(self.goals, dict(self.caps))
        self._tell(goal)
        self.watch.keep_s = self.watch.settings.seconds * KEPT_SHARE if not self.caps else 0.0
        self._search(goal, order, rng, effort * FIRST_SHARE, guides=True)
        self.watch.keep_s = 0.0
        if not self._enough(goal):
            self.watch.tell("proving a bound", goal=goal, now=True)
            found = self.claims.bound(goal, self.caps, self.best.scored)
            self.bounds[goal] = max(found, self.bounds[goal])
            self._tell(goal)
        self._search(goal, order, rng, effort * (1.0 - FIRST_SHARE), guides=False)
        cap = allowed(goal, self.best.scored.value(goal), fraction)
        self.caps[goal] = max(cap, self.watch.settings.caps.get(goal, 0.0))

    def _search(
        self, goal: Goal, order: Order, rng: np.random.Generator, effort: float, *, guides: bool
    ) -> None:
        """Improve the plan: ready guides and a walk over guides first, then exact repacking."""
        if guides and self.guided and not self._enough(goal):
            self._start_guides(goal, order, Budget(effort * START_SHARE))
        if guides and self.guided and not self._enough(goal):
            self.best = improve(
                self.problem,
                self.best,
                order,
                goal,
                rng=rng,
                watch=self.watch,
                budget=Budget(effort * GUIDED_SHARE),
                enough=lambda scored: self._is_enough(goal, scored),
                on_better=lambda found: self._better(goal, found.scored),
            )
            effort *= 1.0 - GUIDED_SHARE
        zones = range(len(self.problem.zones))
        out = frozenset(z for z in zones if not self.best.scored.board.is_done(z))
        polish = Polish(self.problem, order, goal, out, rng, self.watch, Budget(effort))
        scored = polish.run(
            self.best.scored,
            enough=lambda scored: self._is_enough(goal, scored),
            on_better=lambda scored: self._better(goal, scored),
        )
        self.guided = self.guided and scored is self.best.scored
        self.best = replace(self.best, scored=scored)

    def _insist(self, goal: Goal, order: Order, budget: Budget) -> None:
        """Plan each zone that is left out before all others, and see whether that holds more."""
        volume = self.problem.left_volume
        left_out = sorted(
            self.claims.possible & self.best.guide.banned,
            key=lambda z: (self.problem.zones[z].priority, -volume[z], z),
        )
        for z in left_out[:INSIST_ON]:
            if budget.is_spent or self.watch.must_stop():
                return
            keys = list(self.best.guide.keys)
            keys[z] = -FIRST_OF_ALL_MIN
            guide = replace(self.best.guide, keys=tuple(keys), banned=frozenset())
            found = plan_of(self.problem, guide, self.watch)
            budget.spend(found.scored.board.drafted * DRAFT_EFFORT + STEP_EFFORT)
            if order.key(found.scored) < order.key(self.best.scored):
                self.best = found
                self._tell(goal)

    def _better(self, goal: Goal, scored: Scored) -> None:
        self.best = replace(self.best, scored=scored)
        self._tell(goal)

    def _enough(self, goal: Goal) -> bool:
        return self._is_enough(goal, self.best.scored)

    def _is_enough(self, goal: Goal, scored: Scored) -> bool:
        return self.claims.is_whole(scored) and self._met(goal, scored)

    def _quick_bound(self, goal: Goal) -> float:
        """Return a bound that costs nothing: chains of layers and lifts."""
        if goal is Goal.FINISH and self.claims.is_whole(self.best.scored):
            ends = [self.claims.ends[z] for z in self.claims.possible]
            return max((end for end in ends if end is not None), default=0) / HOUR
        return 0.0

    def _start_guides(self, goal: Goal, order: Order, budget: Budget) -> None:
        """Try a handful of ready guides: few positions, scarce windows first, fuller runs."""
        guide = located(self.problem, self.best.guide, goal, self.watch)
        stays = dict.fromkeys([self.best.guide.stays, ((),) * len(self.problem.rigs)])
        if guide is not None:
            stays[guide.stays] = None
        ready = starts(self.problem, tuple(stays), self.claims.ends)
        if guide is not None and goal in (Goal.RELOCATIONS, Goal.COST):
            ready.insert(0, replace(guide, weights=replace(guide.weights, leave=False)))
        for one in ready:
            if budget.is_spent or self.watch.must_stop():
                return
            found = plan_of(self.problem, one, self.watch)
            budget.spend(found.scored.board.drafted * DRAFT_EFFORT + STEP_EFFORT)
            if order.key(found.scored) < order.key(self.best.scored):
                self.best = found if one.weights.roam > 0 else settled(found)
                self._tell(goal)
        self._insist(goal, order, budget)

    def close(self) -> None:
        """Take the noise of rounding out of bounds that are met; give up one that is beaten.

        A bound above the value of a valid plan is a fault of the planner: it is logged, and
        nothing is claimed for that goal.
        """
        for goal in self.goals:
            value = self.best.scored.value(goal)
            bound = self.bounds.setdefault(goal, 0.0)
            if abs(bound - value) <= MET:
                self.bounds[goal] = value
            elif bound > value:
                LOG.error("the bound %s on %s lies above a valid plan: %s", bound, goal, value)
                self.bounds[goal] = 0.0

    def _met(self, goal: Goal, scored: Scored) -> bool:
        slack = 1.0 / 60.0 - MET if goal is Goal.FINISH else MET
        return abs(scored.value(goal) - self.bounds[goal]) <= slack

    def _tell(self, goal: Goal) -> None:
        best = self.best.scored.value(goal)
        self.watch.tell("improving", goal=goal, best=best, bound=self.bounds[goal], now=True)

    def status(self) -> Status:
        """Return whether every goal's bound is met."""
        scored = self.best.scored
        if not self.claims.is_whole(scored):
            return Status.FEASIBLE
        met = all(self._met(goal, scored) for goal in self.goals)
        return Status.OPTIMAL if met else Status.FEASIBLE


def optimise(
    campaign: Campaign, *, settings: Settings, listener: Listener = silent
) -> tuple[Plan, Proof]:
    """Return the best plan found and what is proven about it.

    Raises
    ------
    NoPlanInTimeError
        If the time or the stop flag ended the work before there was a first plan.
    """
    watch = Watch(settings, listener)
    watch.tell("windows and reach", now=True)
    options = Options(campaign=campaign, access=Access(campaign), reach=Reach(campaign))
    problem = build_problem(options)
    if watch.must_stop():
        raise NoPlanInTimeError
    watch.tell("first plan by the hand rule", now=True)
    board, guide = hand_rule(problem, watch.must_stop)
    first = settled(Found(Scored(board), guide))
    run = _Run(problem, watch, Claims(problem, stop=watch.must_stop), first, {}, {})
    rng = np.random.default_rng(settings.seed)
    fractions = (*campaign.may_worsen, 0.0)
    left = settings.effort
    for number, (goal, fraction) in enumerate(zip(campaign.goals, fractions, strict=False)):
        share = left if number + 1 == len(campaign.goals) else left * GOAL_SHARE
        left -= share
        run.pursue(goal, fraction, rng, share)
    run.close()
    return _finished(run, options), _proof(run, settings)


def _finished(run: _Run, options: Options) -> Plan:
    problem = run.problem
    plan = run.best.scored.plan
    done = frozenset(row.zone for row in plan.spells)
    complete = {problem.zones[z].zone_id for z in problem.complete}
    left_out = tuple(
        Unplanned(zone=zone.zone_id, reason=why_unplanned(options, zone, done))
        for zone in problem.zones
        if zone.zone_id not in done and zone.zone_id not in complete
    )
    return replace(plan, unplanned=left_out)


def _proof(run: _Run, settings: Settings) -> Proof:
    return Proof(
        status=run.status(),
        planned_m3_bound=run.claims.volume_m3(run.best.scored),
        bound={goal: run.bounds[goal] for goal in run.goals},
        seed=settings.seed,
        workers=settings.workers,
        seconds=round(run.watch.elapsed_s(), 1),
        stopped_early=run.watch.stopped_early,
    )
