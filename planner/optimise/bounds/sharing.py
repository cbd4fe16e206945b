r"""Bounds from what is shared (rule 16).

Let :math:`n` be how many there are of a resource.  Zones that are all planned use at least
:math:`w` minutes of it in all: the change and the nozzle time of every layer, each times what
zone, rig and crew take together with the least taking rig and crew, and the break-out, times what
crew and zone take.  All of these minutes lie where some such zone is open to people and some crew
is in its shift, a region :math:`R`.  At each minute at most :math:`n` are in use, so the finish
lies no earlier than the minute :math:`h` with :math:`n\,|R \cap [0, h)| \ge w`; and on a day on
which at most :math:`m` are in use at once, no more than :math:`m\,|R \cap \text{day}|` minutes are
used, so the sum of :math:`m` over the days, which is what is paid for, is at least :math:`w` by
the longest such day.

Needs of positions are left aside: two rigs at one position take them once.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from planner.core.rounding import DECIMALS
from planner.core.spans import Spans
from planner.model.identifiers import ResourceId
from planner.model.resource import Need, Resource
from planner.optimise.bounds.work import Work
from planner.optimise.problem import HOUR, CrewJob, Job, Problem


@dataclass(frozen=True, slots=True)
class Use:
    """What some zones use of a resource at least [min], and where all of that lies."""

    resource: Resource
    minutes: float
    region: Spans


def finish_under_sharing(work: Work, zones: frozenset[int]) -> int:
    """Return a minute before which zones that are all planned cannot be finished [min]."""
    best = work.problem.start
    for use in _uses(work.problem, zones):
        best = max(best, _least_minute(use, work.problem))
    return best


def least_resource_cost(work: Work, zones: frozenset[int]) -> float:
    """Return what resources cost at least for zones that are all planned [money]."""
    clock = work.problem.campaign.clock
    total = 0.0
    for use in _uses(work.problem, zones):
        if not use.resource.price_day or use.minutes <= 0.0:
            continue
        days = [use.region.clip(clock.day_start(d), clock.day_end(d)) for d in clock.calendar()]
        longest = max((spans.minutes() for spans in days), default=0)
        if longest:
            paid = math.ceil(round(use.minutes / longest, DECIMALS))
            total += use.resource.price_day * max(1, paid)
    return total


def _least_minute(use: Use, problem: Problem) -> int:
    """Return the least minute by which so much of a resource can have been used [min]."""
    left = math.ceil(round(use.minutes / use.resource.number, DECIMALS))
    if left <= 0:
        return problem.start
    for start, end in use.region:
        if left <= end - start:
            return start + left
        left -= end - start
    return problem.end


def _uses(problem: Problem, zones: frozenset[int]) -> Iterator[Use]:
    campaign = problem.campaign
    for resource in campaign.resources:
        name = resource.resource_id
        by_zone = {z: _of_zone(problem, z, name) for z in sorted(zones)}
        taking = [z for z, minutes in by_zone.items() if minutes > 0.0]
        if taking:
            windows = dict.fromkeys(problem.shortened[z] for z in taking)
            shifts = Spans((a, b) for crew in problem.crews for a, b, _ in crew.pieces)
            region = Spans(pair for spans in windows for pair in spans) & shifts
            region = region.clip(problem.start, problem.end)
            yield Use(resource, math.fsum(by_zone[z] for z in taking), region)


def _count(needs: tuple[Need, ...], name: ResourceId) -> int:
    return sum(need.count for need in needs if need.resource_id == name)


def _of_zone(problem: Problem, z: int, name: ResourceId) -> float:
    """Return what one zone uses of a resource at least [min]."""
    own = _count(problem.zones[z].needs, name)
    jobs = problem.jobs[z].values()
    spraying = min((_spraying(problem, z, job, name, own) for job in jobs), default=0.0)
    return spraying + _breaking(problem, z, name, own)


def _spraying(problem: Problem, z: int, job: Job, name: ResourceId, own: int) -> float:
    """Return change and nozzle time of a zone's layers times what is taken meanwhile [min]."""
    kind = (job.mix, problem.zones[z].orientation)
    crews = [crew for crew in problem.crews if kind in crew.can]
    by_crew = min((_count(crew.crew.needs, name) for crew in crews), default=0)
    found = [
        (rate, own + by_crew + _count(problem.rigs[r].rig.needs, name))
        for r, rate in _rates(problem, z, job.mix)
    ]
    if not found:
        return 0.0
    change = problem.zone_change * min(count for _, count in found)
    volume = math.fsum(layer.volume_m3 for layer in job.layers)
    return len(job.layers) * change + volume * min(HOUR * count / rate for rate, count in found)


def _rates(problem: Problem, z: int, mix: int) -> Iterator[tuple[int, float]]:
    """Yield the rigs that may spray a zone with a mix, some of its layers at least, with rates."""
    for way in problem.ways[z]:
        if way.mix == mix:
            yield way.rig, way.rate
    rigs = {rig.rig.rig_id: r for r, rig in enumerate(problem.rigs)}
    key = (problem.zones[z].zone_id, problem.mixes[mix])
    for option, _ in problem.options.partly.get(key, ()):
        yield rigs[option.rig], option.rate_m3_h


def _breaking(problem: Problem, z: int, name: ResourceId, own: int) -> float:
    """Return what breaking a zone out uses: crews one by one, the zone once for all [min]."""
    if problem.broken_out[z] or not problem.breaks_out:
        return 0.0
    crews = [crew for crew in problem.crews if _breaks(crew)]
    if not crews:
        return 0.0
    rates = [crew.crew.rate_m3_h or 0.0 for crew in crews]
    by_crew = min(
        _count(crew.crew.needs, name) / rate for crew, rate in zip(crews, rates, strict=True)
    )
    return HOUR * problem.full_volume[z] * (own / math.fsum(rates) + by_crew)


def _breaks(crew: CrewJob) -> bool:
    return not crew.sprays and bool(crew.crew.rate_m3_h)
