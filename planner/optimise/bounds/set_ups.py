r"""Bounds on relocations and set-ups: positions from which all that is planned can be reached.

Let :math:`y_{rp} = 1` when rig :math:`r` works from :math:`p`.  Every task of every planned zone
is reached by some chosen pair.  A rig that works from :math:`k` distinct positions is relocated
at least :math:`k - 1` times; one that stands elsewhere at the start, at least :math:`k` times;
and each of those positions is set up at least once, but where the rig stands at the start.  So

.. math:: \min \sum_r \Bigl(c \bigl(\sum_{p \ne at_r} y_{rp} - f_r\bigr)
          + \sum_{p \ne at_r} s_p y_{rp}\Bigr), \qquad f_r \le \sum_p y_{rp},\; 0 \le f_r \le 1,

with :math:`f_r = 0` for rigs that stand somewhere, is a lower bound on relocations (:math:`c = 1,
s = 0`) and on what relocations and set-ups cost together.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from planner.optimise.bounds.demand import VOLUME_NOISE
from planner.optimise.bounds.lp import Model
from planner.optimise.bounds.tasks import Place
from planner.optimise.bounds.work import Work

MOST_NODES = 5000
MOST_SECONDS = 20.0
COUNT_NOISE = 1e-5


def fewest_relocations(work: Work, zones: frozenset[int], volume_m3: float) -> int:
    """Return a proven lower bound on the relocations of plans of at least a volume [1]."""
    found = _least(work, zones, volume_m3, relocation=1.0, set_up={})
    return max(0, math.ceil(found - COUNT_NOISE))


def least_moving_cost(work: Work, zones: frozenset[int], volume_m3: float) -> float:
    """Return a proven lower bound on what relocations and set-ups cost together [money]."""
    campaign = work.problem.campaign
    set_up = {p: place.set_up_cost for p, place in enumerate(campaign.positions)}
    return _least(work, zones, volume_m3, relocation=campaign.prices.relocation, set_up=set_up)


def _least(
    work: Work,
    zones: frozenset[int],
    volume_m3: float,
    *,
    relocation: float,
    set_up: Mapping[int, float],
) -> float:
    if relocation <= 0.0 and not any(set_up.values()):
        return 0.0
    model = Model()
    places = sorted({place for task in work.tasks for place in task.minutes})
    use: dict[Place, int] = {}
    for r, rig in enumerate(work.problem.rigs):
        mine = [place for place in places if place[0] == r]
        for place in mine:
            cost = 0.0 if place[1] == rig.at else relocation + set_up.get(place[1], 0.0)
            use[place] = model.column(1.0, cost, whole=True)
        if rig.at is None and mine:
            free = model.column(1.0, -relocation)
            model.row({free: 1.0, **{use[place]: -1.0 for place in mine}}, high=0.0)
    _reach(model, work, zones, volume_m3, use)
    return max(0.0, model.proven(nodes=MOST_NODES, seconds=MOST_SECONDS) or 0.0)


def _reach(
    model: Model, work: Work, zones: frozenset[int], volume_m3: float, use: Mapping[Place, int]
) -> None:
    """Add the rows by which what is planned is reached; zones that are reached alike share one."""
    volumes = {z: work.problem.left_volume[z] for z in sorted(zones)}
    whole = sum(volumes.values()) - volume_m3 <= VOLUME_NOISE
    alike: dict[frozenset[frozenset[frozenset[Place]]], list[int]] = {}
    for z in volumes:
        mixes = frozenset(
            frozenset(frozenset(work.tasks[i].minutes) for i in rows)
            for rows in work.zones[z].values()
        )
        alike.setdefault(mixes, []).append(z)
    wanted: dict[int, float] = {}
    for mixes, members in alike.items():
        done = model.column(1.0, low=1.0 if whole else 0.0)
        wanted[done] = sum(volumes[z] for z in members)
        chosen = {mix: model.column(1.0) for mix in sorted(mixes, key=_order)}
        model.row({done: -1.0, **dict.fromkeys(chosen.values(), 1.0)}, low=0.0)
        for mix, column in chosen.items():
            for reached in sorted(mix, key=sorted):
                model.row(
                    {column: -1.0, **{use[place]: 1.0 for place in sorted(reached)}}, low=0.0
                )
        any_mix = frozenset[Place]().union(*(reached for mix in mixes for reached in mix))
        model.row({done: -1.0, **{use[place]: 1.0 for place in sorted(any_mix)}}, low=0.0)
    if not whole:
        model.row(wanted, low=volume_m3 - VOLUME_NOISE)


def _order(mix: frozenset[frozenset[Place]]) -> list[list[Place]]:
    return sorted(sorted(reached) for reached in mix)
