"""Relocations against finish: the extremes are searched for first, then points between them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from planner.core.progress import Listener, Progress, silent
from planner.core.rounding import DECIMALS
from planner.model.campaign import Campaign
from planner.model.identifiers import Goal
from planner.optimise.engine import NoPlanInTimeError, Settings
from planner.plan import measures
from planner.plan.plan import Plan
from planner.plan.trade_off import Outcome, TradePoint, between, trade_points
from planner.workflow.loading import Loaded, with_goals
from planner.workflow.planning import Planned, PlannerFaultError, closing_s, plan_scenario

POINTS = 8
BY_MOVES = (Goal.RELOCATIONS, Goal.FINISH, Goal.COST)
BY_FINISH = (Goal.FINISH, Goal.RELOCATIONS, Goal.COST)
NO_LIMIT_S = 1e7
FIRST_PARTS = 4
"""Each end of the trade-off gets one of so many parts of the time; what is between shares two."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TradeOff:
    """The points of a trade-off, fewest relocations first.

    Attributes
    ----------
    fewest_bound
        No plan of the most volume that was found has fewer relocations [1].
    stopped_early
        Whether a clock or an interrupt ended any search; points may then be missing.
    """

    points: tuple[TradePoint, ...]
    fewest_bound: float
    stopped_early: bool


class _Search:
    """The searches of one trade-off, which share a time limit and a voice."""

    def __init__(self, loaded: Loaded, settings: Settings, listener: Listener) -> None:
        self.loaded = loaded
        self.settings = settings
        self.listener = listener
        self.ends_s = settings.clock() + settings.seconds
        self.outcomes: list[Outcome] = []
        self.proofs: list[Planned] = []

    def run(self, goals: tuple[Goal, ...], what: str, *, left: int, cap: int | None) -> Outcome:
        """Search once, with an even share of the time for each of the searches that are left.

        Raises
        ------
        NoPlanInTimeError
            If it ended before there was a plan.
        """
        asked = with_goals(self.loaded, goals)
        campaign = asked.campaign
        left_s = self.ends_s - self.settings.clock()
        caps: Mapping[Goal, float] = {} if cap is None else {Goal.RELOCATIONS: float(cap)}
        settings = replace(self.settings, seconds=left_s / left - closing_s(campaign), caps=caps)
        planned = plan_scenario(asked, settings, lambda report: self._tell(report, what))
        if planned.violations:
            msg = f"a plan breaks {len(planned.violations)} rules; no trade-off is shown"
            raise PlannerFaultError(msg)
        self.proofs.append(planned)
        moves = measures.relocations(planned.plan)
        limit = None if goals == BY_FINISH else moves if cap is None else cap
        self.outcomes.append(_outcome(campaign, planned, limit))
        return self.outcomes[-1]

    def _tell(self, report: Progress, what: str) -> None:
        self.listener(replace(report, stage=f"{what}: {report.stage}"))


def _outcome(campaign: Campaign, planned: Planned, cap: int | None) -> Outcome:
    plan, bound = planned.plan, planned.proof.bound
    return Outcome(
        cap=cap,
        plan=plan,
        volumes_m3=_volumes(campaign, plan),
        relocations=measures.relocations(plan),
        finish_h=round(measures.value(campaign, plan, Goal.FINISH), DECIMALS),
        cost=round(measures.cost(campaign, plan), DECIMALS),
        finish_bound_h=bound[Goal.FINISH],
        cost_bound=bound[Goal.COST],
    )


def _volumes(campaign: Campaign, plan: Plan) -> tuple[float, ...]:
    priority = {zone.zone_id: zone.priority for zone in campaign.zones}
    found = dict.fromkeys(sorted(priority.values()), 0.0)
    for spell in plan.spells:
        found[priority[spell.zone]] += spell.volume_m3
    return tuple(round(volume, DECIMALS - 1) for volume in found.values())


def trade_off(
    loaded: Loaded,
    settings: Settings,
    *,
    points: int = POINTS,
    listener: Listener = silent,
) -> TradeOff:
    """Return for numbers of relocations between the extremes the best finish, then its cost.

    The fewest relocations come from a search for them first, the most that are worth having from
    a search for the finish first; between them each number is a cap for a search of its own.

    Parameters
    ----------
    settings
        Effort of each search; ``seconds`` bounds all of them together.
    points
        Most points, the extremes among them; at least 2.

    Raises
    ------
    NoPlanInTimeError
        If there was no time for one plan.
    PlannerFaultError
        If a plan breaks a rule.
    """
    search = _Search(loaded, settings, listener)
    fewest = search.run(BY_MOVES, "fewest moves", left=FIRST_PARTS, cap=None)
    allowed = [fewest.relocations]
    try:
        soonest = search.run(BY_FINISH, "soonest", left=FIRST_PARTS - 1, cap=None)
        allowed = between(
            min(fewest.relocations, soonest.relocations), soonest.relocations, points
        )
        middle = allowed[1:-1]
        for number, most in enumerate(middle):
            if settings.stop():
                break
            search.run(BY_MOVES, f"{most} moves", left=len(middle) - number, cap=most)
    except NoPlanInTimeError:
        pass  # what was found until then is shown, and marked
    proofs = [planned.proof for planned in search.proofs]
    done = len(search.proofs) == len(allowed) or len(allowed) == 1
    return TradeOff(
        points=tuple(trade_points(search.outcomes, allowed)),
        fewest_bound=proofs[0].bound[Goal.RELOCATIONS],
        stopped_early=any(proof.stopped_early for proof in proofs) or not done,
    )
