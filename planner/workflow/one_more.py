"""What one more of something could bring: the bounds are worked out again with it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from planner.access.windows import Access
from planner.core.clock import MINUTES_PER_HOUR
from planner.core.rounding import DECIMALS, up
from planner.explain.one_more import Change, Gain, changes
from planner.model.campaign import Campaign
from planner.model.identifiers import ZoneId
from planner.optimise.bounds.claims import Claims
from planner.optimise.bounds.volume import most_volume_m3
from planner.optimise.problem import build_problem
from planner.options.build import Options
from planner.plan import measures
from planner.plan.plan import Plan
from planner.reach.hoses import Reach

NOISE_M3 = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """How long proofs may take.

    Attributes
    ----------
    clock
        Seconds that only go forward [s].
    until_s
        By that clock, when the last proof ends [s].
    stop
        Asked often; true ends the proofs.
    """

    clock: Callable[[], float]
    until_s: float
    stop: Callable[[], bool] = lambda: False


def one_more(
    campaign: Campaign, plan: Plan, limits: Limits, *, proven_h: float | None = None
) -> Iterator[Gain]:
    """Yield the bounds of the campaign as it is, then those with one more of each thing.

    What is missing at the end was not reached in the time.

    Parameters
    ----------
    plan
        A valid plan of the campaign with at least one spell.
    proven_h
        Bound on the finish that is proven already for plans of this volume [h]; None: none.

    Raises
    ------
    ValueError
        If the plan holds no spell.
    """
    if measures.finish_min(plan) is None:
        msg = "nothing is planned, so no finish could come forward"
        raise ValueError(msg)
    found = [Change(code="", what="the campaign as it is", campaign=campaign), *changes(campaign)]
    base: Gain | None = None
    known = measures.finish_min(plan) or 0
    if proven_h is not None:
        known = min(known, up(proven_h * MINUTES_PER_HOUR))
    for number, change in enumerate(found):
        left_s = limits.until_s - limits.clock()
        if number and (left_s <= 0.0 or limits.stop()):
            return
        ends_s = limits.clock() + left_s / (len(found) - number)
        gain = _bounded(change, plan, limits, ends_s, known)
        if base is None:
            low = gain.finish_bound_min if proven_h is None else known
            kept = gain.rests_on if low <= gain.finish_bound_min else None
            base = gain = replace(gain, finish_bound_min=low, rests_on=kept)
            known = low
        yield replace(gain, volume_bound_m3=max(gain.volume_bound_m3, base.volume_bound_m3))


def _bounded(change: Change, plan: Plan, limits: Limits, ends_s: float, known_min: int) -> Gain:
    """Return the bounds of one campaign over plans of at least the plan's volume.

    Nothing later than ``known_min`` is asked: what a campaign with more can do no sooner than
    one with less is no gain.
    """
    campaign = change.campaign
    finish = measures.finish_min(plan) or 0
    volume = measures.planned_m3(plan)
    asked = False

    def must_stop() -> bool:
        nonlocal asked
        asked = asked or limits.stop() or limits.clock() >= ends_s
        return asked

    options = Options(campaign=campaign, access=Access(campaign), reach=Reach(campaign))
    problem = build_problem(options)
    claims = Claims(problem, stop=must_stop)
    done = {spell.zone for spell in plan.spells}
    whole = all(problem.zones[z].zone_id in done for z in claims.possible)
    bound = claims.finish_min(volume, known_min, whole=whole)
    most = volume if whole else most_volume_m3(claims.work, claims.possible)
    return Gain(
        code=change.code,
        what=change.what,
        finish_bound_min=min(bound, known_min),
        finish_min=finish,
        volume_bound_m3=max(volume, round(most, DECIMALS)),
        planned_m3=volume,
        ended_early=asked,
        rests_on=_last_chain(claims, bound) if whole else None,
    )


def _last_chain(claims: Claims, bound: int) -> ZoneId | None:
    """Return the zone whose own chain alone sets a bound on the finish, if one does."""
    ends = [(end, -z) for z in claims.possible if (end := claims.ends[z]) is not None]
    last, zone = max(ends, default=(0, 0))
    return claims.problem.zones[-zone].zone_id if ends and last >= bound else None
