"""What a zone's own chain asks for: layers, gaps, break-out, what comes before and after it."""

from __future__ import annotations

from dataclasses import dataclass

from planner.core.spans import Spans
from planner.optimise.bounds.work import Work
from planner.optimise.problem import HOUR, Job, Problem

STEP = 15
"""Earliest and latest times are rounded to so many minutes [min]."""
KEPT = 0.95
"""Spans that keep at least this share of their minutes are not cut [1]."""


@dataclass(frozen=True)
class Heads:
    """Earliest times by zones' own chains; None: it cannot be done.

    Attributes
    ----------
    ends
        Before which minute each zone's last layer cannot end.
    starts
        Before which minute each task's first spell cannot start.
    """

    ends: list[int | None]
    starts: list[int | None]


def heads_of(work: Work) -> Heads:
    """Return the earliest times of zones and tasks.

    Each layer starts no earlier than the spray spans, shifts, panels, the zones before it, the
    least gap after the layer before, and ready_from allow, lasts at least as long as from its
    quickest rig and position, and everything else is taken as free.  Layers that may be split
    are counted by the open minutes they need; zone changes between pieces are left out, and so
    is trimming, which only the zone's very last piece leaves time for.  Least times only, so the
    result holds for every valid plan.
    """
    problem = work.problem
    ends: list[int | None] = [None] * len(problem.zones)
    starts: list[int | None] = [None] * len(work.tasks)
    for z in zones_in_order(problem):
        if z in problem.complete:
            ends[z] = problem.first_end[z] or problem.start
            continue
        before = [ends[other] for other in problem.after[z]]
        if any(end is None for end in before):
            continue
        start = max([problem.start, *(end for end in before if end is not None)])
        found = [
            end
            for m, tasks in work.zones.get(z, {}).items()
            if (end := _forwards(work, problem.jobs[z][m], tasks, start, starts)) is not None
        ]
        ends[z] = min(found, default=None)
    return Heads(ends, starts)


def _forwards(
    work: Work, job: Job, tasks: tuple[int, ...], start: int, starts: list[int | None]
) -> int | None:
    at = _begin(work.problem, work.tasks[tasks[0]].zone, job, start)
    end: int | None = None
    for i in tasks:
        if at is None:
            return None
        spans = spell_spans(work, i)
        need = least_spell(work, i)
        split = work.tasks[i].piece is not None
        starts[i] = spans.first_fit(at, 1 if split else need)
        end = _end(spans, at, need, split=split)
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


def _end(spans: Spans, at: int, need: int, *, split: bool) -> int | None:
    """Return the earliest end of so many minutes from a minute on, in one piece or in several."""
    if split:
        return spans.clip(at, spans.ends[-1]).nth_minute(need) if spans else None
    start = spans.first_fit(at, need)
    return None if start is None else start + need


def latest_ends(work: Work, minute: int, planned: frozenset[int]) -> list[int] | None:
    """Return after which minute each task cannot end if all ends by a minute; None: impossible.

    The mirror of :func:`heads_of`: a zone ends before those that come after it start, a layer
    ends the least gap before the next one starts.  Zones that come after count only where they
    are known to be planned and finished by then.

    Parameters
    ----------
    planned
        Zones that every plan in question holds and finishes by the minute.
    """
    problem = work.problem
    ends = [minute] * len(work.tasks)
    start_by = [minute] * len(problem.zones)
    for z in reversed(zones_in_order(problem)):
        if z not in work.zones:
            continue
        found = []
        for m, tasks in work.zones[z].items():
            start = _backwards(work, problem.jobs[z][m], tasks, start_by[z], ends)
            if start is not None:
                found.append(start)
        if z not in planned:
            continue
        if not found:
            return None
        for other in problem.after[z]:
            start_by[other] = min(start_by[other], max(found))
    return ends


def _backwards(
    work: Work, job: Job, tasks: tuple[int, ...], end: int, ends: list[int]
) -> int | None:
    """Write the latest ends of a zone's tasks; return its first spell's latest start."""
    at = end
    start: int | None = None
    for i in reversed(tasks):
        spans = spell_spans(work, i)
        ends[i] = at
        need = least_spell(work, i)
        if work.tasks[i].piece is None:
            start = spans.last_fit(at, need)
        else:
            left = spans.minutes_before(at) - need
            last = spans.nth_minute(left + 1) if left >= 0 else None
            start = None if last is None else last - 1
        if start is None:
            for k in tasks:
                ends[k] = min(ends[k], work.problem.start)
            return None
        at = start - job.gap_min
    return start


def trimmed(work: Work, heads: Heads, ends: list[int] | None, until: int) -> tuple[Spans, ...]:
    """Return the spans of every task between its earliest start and its latest end.

    The zone change before a spell may come before the earliest start.  Times are rounded outwards
    to steps, and spans that lose little are left as they are, so that tasks that are nearly
    alike stay alike.
    """
    known: dict[tuple[Spans, int, int], Spans] = {}
    found = []
    for i, task in enumerate(work.tasks):
        head = heads.starts[i]
        if head is None:
            found.append(Spans())
            continue
        low = (head - work.problem.zone_change) // STEP * STEP
        high = until if ends is None else -(-ends[i] // STEP) * STEP
        key = (task.spans, low, high)
        if key not in known:
            known[key] = _cut(task.spans, low, high, until)
        found.append(known[key])
    return tuple(found)


def _cut(spans: Spans, low: int, high: int, until: int) -> Spans:
    kept = spans.minutes_before(min(high, until)) - spans.minutes_before(low)
    if kept >= KEPT * spans.minutes_before(until):
        return spans
    return spans.clip(low, high) if low < high else Spans()


def spell_spans(work: Work, i: int) -> Spans:
    """Return where a spell of a task can lie when any rig that sprays the mix would do."""
    task = work.tasks[i]
    key = (task.mix, task.spans)
    if key not in work.known_spans:
        spells = task.spans.shrink(first=work.problem.zone_change)
        work.known_spans[key] = spells & work.spray_time[task.mix]
    return work.known_spans[key]


def least_spell(work: Work, i: int) -> int:
    """Return the least minutes of a task's spells [min]."""
    return min(work.tasks[i].minutes.values()) - work.problem.zone_change


def zones_in_order(problem: Problem) -> list[int]:
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
