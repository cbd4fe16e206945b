"""Bounds from breaking out and from limits on zones that are open."""

from __future__ import annotations

from bisect import bisect_left
from itertools import accumulate

from planner.core.spans import Spans
from planner.optimise.bounds.chain import least_spell
from planner.optimise.bounds.work import Work, count_steps
from planner.optimise.problem import HOUR, Problem

VOLUME_NOISE = 1e-6


def finish_after_break_out(work: Work, zones: frozenset[int]) -> int:
    """Return a minute before which zones that are all planned cannot be finished [min].

    All of their concrete has to be broken out by the break-out crews, in minutes in which a
    crew is there and some such zone is open to people; after the last of it comes the least
    time to prepare a zone, and its quickest spell.
    """
    problem = work.problem
    closed = [z for z in sorted(zones) if not problem.broken_out[z]]
    if not problem.breaks_out or not closed:
        return problem.start
    windows = dict.fromkeys(problem.shortened[z] for z in closed)
    open_at_all = Spans([pair for spans in windows for pair in spans])
    rated = [
        ((crew.crew.rate_m3_h or 0.0) / HOUR, Spans((a, b) for a, b, _ in crew.pieces))
        for crew in problem.crews
        if not crew.sprays
    ]
    volume = sum(problem.full_volume[z] for z in closed) - VOLUME_NOISE
    broken = _least_minute(problem, rated, open_at_all, volume)
    rest = min(
        min(sum(least_spell(work, i) for i in rows) for rows in work.zones[z].values())
        for z in closed
    )
    return broken + problem.prepare + rest


def _least_minute(
    problem: Problem, rated: list[tuple[float, Spans]], where: Spans, volume_m3: float
) -> int:
    """Return the least minute before which a volume can be broken out at all."""
    there = [(rate, spans & where) for rate, spans in rated]
    steps = count_steps([spans for _, spans in there])
    rates = [sum(rate for rate, spans in there if spans.touches(a, b)) for a, b, _ in steps]
    done = list(accumulate((b - a) * rate for (a, b, _), rate in zip(steps, rates, strict=True)))
    k = bisect_left(done, volume_m3)
    if k >= len(steps):
        return problem.end
    before = done[k - 1] if k else 0.0
    return steps[k][0] + int((volume_m3 - before) / rates[k]) if rates[k] else steps[k][1]


def finish_under_open_limits(work: Work, zones: frozenset[int]) -> int:
    """Return a minute before which zones that are all planned cannot be finished [min].

    Of a group never more than ``open_max`` zones are open at once, and each is open at least for
    its break-out, the time to prepare, its spells, the gaps between its layers and the hold.
    The times of all of them lie between the start of planning and the hold after the finish.
    Groups of which too many may be open at the start already are left aside.
    """
    problem = work.problem
    best = problem.start
    for group, most in problem.groups:
        begun = [z for z in group if problem.broken_out[z] or problem.first_end[z] is not None]
        if len(begun) > most:
            continue
        total = sum(_open_minutes(work, z) for z in group if z in zones)
        best = max(best, problem.start + -(-total // max(1, most)) - problem.hold)
    return best


def _open_minutes(work: Work, z: int) -> int:
    """Return for how long a zone is open at least, the hold included [min]."""
    problem = work.problem
    spraying = min(
        sum(least_spell(work, i) for i in rows) + (len(rows) - 1) * problem.jobs[z][m].gap_min
        for m, rows in work.zones[z].items()
    )
    breaking = 0
    if problem.breaks_out and not problem.broken_out[z]:
        rate = sum(crew.crew.rate_m3_h or 0.0 for crew in problem.crews if not crew.sprays)
        breaking = problem.prepare + (int(HOUR * problem.full_volume[z] / rate) if rate > 0 else 0)
    return breaking + spraying + problem.hold


def least_break_out_cost(work: Work, zones: frozenset[int]) -> float:
    """Return what the break-out crews' shifts cost at least for zones that are all planned.

    A crew's shift breaks out no more than its rate allows in the crew's longest shift.
    """
    problem = work.problem
    closed = [z for z in sorted(zones) if not problem.broken_out[z]]
    prices = []
    for crew in problem.crews:
        rate = crew.crew.rate_m3_h or 0.0
        if crew.sprays or rate <= 0 or not crew.pieces:
            continue
        shifts: dict[int, int] = {}
        for a, b, number in crew.pieces:
            shifts[number] = shifts.get(number, 0) + b - a
        longest = max(shifts.values())
        if crew.crew.duty_max_min is not None:
            rest = crew.crew.rest_min_min or 0
            longest = min(longest, max(crew.crew.duty_max_min, longest - rest))
        price = problem.campaign.prices.crew_shift.get(crew.crew.crew_id, 0.0)
        prices.append(price * HOUR / (rate * longest))
    if not prices or not problem.breaks_out:
        return 0.0
    return min(prices) * sum(problem.full_volume[z] for z in closed)
