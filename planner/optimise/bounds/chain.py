"""Bound on completion from one zone's own chain: layers, gaps, break-out, what comes before."""

from __future__ import annotations

from planner.core.spans import Spans
from planner.optimise.bounds.work import Work
from planner.optimise.problem import HOUR, Job, Problem


def earliest_ends(work: Work) -> list[int | None]:
    """Return for each zone a minute before which its last layer cannot end; None: never.

    Each layer starts no earlier than the spray spans, shifts, panels, the zones before it, the
    least gap after the layer before, and ready_from allow, lasts at least as long as from its
    quickest rig and position, and everything else is taken as free.  Layers that may be split
    are counted by the open minutes they need; zone changes between pieces are left out, and so
    is trimming, which only the zone's very last piece leaves time for.  Least times only, so the
    result holds for every valid plan.
    """
    problem = work.problem
    ends: list[int | None] = [None] * len(problem.zones)
    for z in _in_order(problem):
        if z in problem.complete:
            ends[z] = problem.first_end[z] or problem.start
            continue
        before = [ends[other] for other in problem.after[z]]
        if any(end is None for end in before):
            continue
        start = max([problem.start, *(end for end in before if end is not None)])
        found = [
            end
            for m, job in problem.jobs[z].items()
            if (end := _chain(work, z, m, job, start)) is not None
        ]
        ends[z] = min(found, default=None)
    return ends


def _chain(work: Work, z: int, m: int, job: Job, start: int) -> int | None:
    problem = work.problem
    tasks = work.zones.get(z, {}).get(m)
    if not tasks:
        return None
    at = _begin(problem, z, job, start)
    end: int | None = None
    for k, i in enumerate(tasks):
        if at is None:
            return None
        need = min(work.tasks[i].minutes.values()) - problem.zone_change
        split = work.tasks[i].piece is not None
        # only the very last piece of a zone leaves time for trimming, so pieces count in mid spans
        spans = _spans(work, m, job, last=k == len(tasks) - 1 and not split)
        end = _place(spans, at, need, split=split)
        at = None if end is None else end + job.gap_min
    return end


def _begin(problem: Problem, z: int, job: Job, start: int) -> int | None:
    """Return before which minute a zone's first spell cannot start; None: never."""
    first = problem.first_end[z]
    if first is not None:
        return max(start, first + (0 if job.layers[0].begun else job.gap_min))
    if problem.breaks_out and not problem.broken_out[z]:
        broken = _broken(problem, z)
        return None if broken is None else max(start, broken + problem.prepare)
    return start


def _spans(work: Work, m: int, job: Job, *, last: bool) -> Spans:
    """Return where a spell can lie when any rig that sprays the mix would do."""
    key = (m, job.last if last else job.mid)
    if key not in work.known_spans:
        work.known_spans[key] = key[1] & work.spray_time[m]
    return work.known_spans[key]


def _broken(problem: Problem, z: int) -> int | None:
    """Return the earliest end of a zone's break-out: all crews at once, when any is there."""
    crews = [crew for crew in problem.crews if not crew.sprays]
    rate = sum((crew.crew.rate_m3_h or 0.0) for crew in crews)
    if rate <= 0:
        return None
    need = int(HOUR * problem.full_volume[z] / rate)
    there = Spans((a, b) for crew in crews for a, b, _ in crew.pieces)
    spans = problem.shortened[z].clip(
        max(problem.start, problem.zones[z].ready_from_min or 0), problem.end
    )
    return (spans & there).nth_minute(need)


def _place(spans: Spans, at: int, need: int, *, split: bool) -> int | None:
    if split:
        return spans.clip(at, spans.ends[-1]).nth_minute(need) if spans else None
    start = spans.first_fit(at, need)
    return None if start is None else start + need


def _in_order(problem: Problem) -> list[int]:
    """Return the zones so that each comes after those it waits for."""
    order: list[int] = []
    seen: set[int] = set()

    def visit(z: int) -> None:
        stack = [(z, 0)]
        while stack:
            node, k = stack.pop()
            if k == 0 and node in seen:
                continue
            seen.add(node)
            if k < len(problem.after[node]):
                stack.append((node, k + 1))
                other = problem.after[node][k]
                if other not in seen:
                    stack.append((other, 0))
            else:
                order.append(node)

    for z in range(len(problem.zones)):
        visit(z)
    return order
