"""What is left to be sprayed, layer by layer, with the least time that each way of doing it takes.

A *task* is one layer of one zone on one mix.  All bounds are built on tasks.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from planner.core.spans import Spans
from planner.optimise.problem import HOUR, Job, Problem

Place = tuple[int, int]
"""A rig and a position."""


@dataclass(frozen=True, slots=True)
class Task:
    """One layer, or what is left of it.

    Attributes
    ----------
    zone, mix, layer
        Indices; the layer counts from 0 among those left.
    spans
        Every spell of the layer lies, with its zone change, inside one of these (rules 1 to 3).
    minutes
        Least minutes of zone change and spells by rig and position, however the layer is split.
    spell
        Minutes of the unsplit spell before rounding up, by rig and position.
    piece
        Least length of a piece; None: the layer is one spell [min].
    """

    zone: int
    mix: int
    layer: int
    spans: Spans
    minutes: dict[Place, int]
    spell: dict[Place, float]
    piece: int | None


def tasks_of(problem: Problem) -> tuple[Task, ...]:
    """Return every task that some valid plan might hold, zone by zone, mix by mix, in order.

    A zone's layers may be sprayed from different places, so a place counts for a layer that fits
    there even where another layer of the zone does not.
    """
    change = problem.zone_change
    known: dict[Spans, Spans] = {}

    def grown(spans: Spans) -> Spans:
        if spans not in known:
            known[spans] = spans.grow(before=change)
        return known[spans]

    rates = _rates(problem)
    found = []
    for z, jobs in enumerate(problem.jobs):
        for m, job in jobs.items() if z not in problem.complete else ():
            rows = [
                _task(problem, job, z, k, rates.get((z, m), []), grown(_spans(problem, job, z, k)))
                for k in range(len(job.layers))
            ]
            if all(task.minutes for task in rows):
                found += rows
    return tuple(found)


def _spans(problem: Problem, job: Job, z: int, k: int) -> Spans:
    """Return where every spell of a layer lies: only a zone's very last leaves time to trim."""
    split = job.layers[k].begun or problem.zones[z].joint_allowed
    return job.mid if split else job.spans(k)


Rate = tuple[Place, float, tuple[int, ...], tuple[bool, ...] | None]
"""A place, its placing rate [m³/h], the layers' minutes, and which layers fit (None: all)."""


def _rates(problem: Problem) -> dict[tuple[int, int], list[Rate]]:
    found: dict[tuple[int, int], list[Rate]] = {}
    for z, ways in enumerate(problem.ways):
        for way in ways:
            row: Rate = ((way.rig, way.position), way.rate, way.minutes, None)
            found.setdefault((z, way.mix), []).append(row)
    rigs = {rig.rig.rig_id: r for r, rig in enumerate(problem.rigs)}
    places = {place.position_id: p for p, place in enumerate(problem.campaign.positions)}
    zones = {zone.zone_id: z for z, zone in enumerate(problem.zones)}
    for (zone, mix), rows in problem.options.partly.items():
        key = (zones[zone], problem.mixes.index(mix))
        for option, fits in rows:
            place = (rigs[option.rig], places[option.position])
            found.setdefault(key, []).append((place, option.rate_m3_h, option.minutes, fits))
    return found


def _task(problem: Problem, job: Job, z: int, k: int, rates: list[Rate], spans: Spans) -> Task:
    layer = job.layers[k]
    mine = [row for row in rates if row[3] is None or row[3][k]]
    lengths = [minutes[k] for _, _, minutes, _ in mine]
    piece = None
    if layer.begun or problem.zones[z].joint_allowed:
        piece = min([problem.spell_min, *lengths])
    more = problem.zone_change - _spare(problem.zone_change, piece, lengths)
    return Task(
        zone=z,
        mix=job.mix,
        layer=k,
        spans=spans,
        minutes={place: minutes[k] + more for place, _, minutes, _ in mine},
        spell={place: HOUR * layer.volume_m3 / rate for place, rate, _, _ in mine},
        piece=piece,
    )


def _spare(change: int, piece: int | None, lengths: list[int]) -> int:
    r"""Return what a split layer may save against its unsplit spell by rounding [min].

    A share :math:`f < 1` of a layer takes :math:`\lceil f s \rceil` and a zone change
    :math:`c`, which may be less than :math:`f (\lceil s \rceil + c)` by less than a minute.  It is
    not where :math:`(1 - f) c \ge f`, and since the other pieces last at least ``piece``, that is
    so when :math:`c\,(\text{piece} - 1) \ge \max s`.
    """
    if piece is None:
        return 0
    return 0 if change * (piece - 1) >= max(lengths, default=0) else 1


Zones = dict[int, dict[int, tuple[int, ...]]]
"""Indices of tasks by zone and mix."""


def by_zone(tasks: tuple[Task, ...]) -> Zones:
    """Return the tasks' indices by zone and mix, in order of their layers."""
    found: dict[int, dict[int, list[int]]] = {}
    for i, task in enumerate(tasks):
        found.setdefault(task.zone, {}).setdefault(task.mix, []).append(i)
    return {z: {m: tuple(rows) for m, rows in mixes.items()} for z, mixes in found.items()}


def tasks_at(tasks: tuple[Task, ...], places: frozenset[Place]) -> tuple[Task, ...]:
    """Return the tasks as done from some places only; mixes with a layer out of reach left out."""
    found = []
    for mixes in by_zone(tasks).values():
        for rows in mixes.values():
            mine = [
                replace(
                    tasks[i],
                    minutes={p: m for p, m in tasks[i].minutes.items() if p in places},
                    spell={p: m for p, m in tasks[i].spell.items() if p in places},
                )
                for i in rows
            ]
            if all(task.minutes for task in mine):
                found += mine
    return tuple(found)
