r"""Bounds on relocations and set-ups: positions from which all that is planned can be reached.

Let :math:`y_{rp} = 1` when rig :math:`r` works from :math:`p`.  Every task of every planned zone
is reached by some chosen pair.  A rig that works from :math:`k` distinct positions is relocated
at least :math:`k - 1` times; one that stands elsewhere at the start, at least :math:`k` times;
and each of those positions is set up at least once, but where the rig stands at the start.  So

.. math:: \min \sum_r \Bigl(c \bigl(\sum_{p \ne at_r} y_{rp} - f_r\bigr)
          + \sum_{p \ne at_r} s_p y_{rp}\Bigr), \qquad f_r \le \sum_p y_{rp},\; 0 \le f_r \le 1,

with :math:`f_r = 0` for rigs that stand somewhere, is a lower bound on relocations (:math:`c = 1,
s = 0`) and on what relocations and set-ups cost together.

Where plans have to finish by a minute, pairs :math:`Y` from which the work is proven not to
finish by then give a cut: :math:`\sum_{(r,p) \notin Y} y_{rp} \ge 1`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from planner.optimise.bounds.demand import VOLUME_NOISE
from planner.optimise.bounds.finish import is_refuted
from planner.optimise.bounds.lp import Model, Solver
from planner.optimise.bounds.tasks import Place
from planner.optimise.bounds.work import Work

MOST_NODES = 5000
MOST_SECONDS = 10.0
MOST_PLACES = 60
"""More places than this and no cuts are looked for [1]."""
MILLIONTHS = 1_000_000
NOISE = 1e-5
"""Relative error of a bound that rounding up forgives [1]."""
CHOSEN = 0.5


@dataclass
class SetUps:
    """Bounds on relocations and set-ups of plans of at least a volume of some zones.

    Attributes
    ----------
    minute
        By when they have to finish; None: no matter when [min].
    stop
        Asked often; true ends the search for cuts.
    """

    work: Work
    zones: frozenset[int]
    volume_m3: float
    minute: int | None = None
    stop: Callable[[], bool] = lambda: False
    cuts: list[frozenset[Place]] = field(default_factory=list)

    def fewest(self, effort: int) -> int:
        """Return a proven lower bound on relocations [1].

        Parameters
        ----------
        effort
            How many sets of places may be tried [1].
        """
        while self.minute is not None and effort > 0 and not self.stop():
            tried = self._cut(effort)
            if not tried:
                break
            effort -= tried
        return math.ceil(self._least(1.0, {}) - NOISE)

    def least_cost(self) -> float:
        """Return a proven lower bound on what relocations and set-ups cost together [money]."""
        campaign = self.work.problem.campaign
        set_up = {p: place.set_up_cost for p, place in enumerate(campaign.positions)}
        return self._least(campaign.prices.relocation, set_up)

    def _least(self, relocation: float, set_up: Mapping[int, float]) -> float:
        if relocation <= 0.0 and not any(set_up.values()):
            return 0.0
        model, _ = self._model(relocation, set_up)
        bound = model.proven(nodes=MOST_NODES, seconds=MOST_SECONDS) or 0.0
        return max(0.0, next_sum(bound, model.cost))

    def _cut(self, effort: int) -> int:
        """Look for one more cut; return how many sets of places were tried, 0 when none is left.

        The fewest relocations by the cuts so far need some places; if the work is proven not to
        finish from them, places are added as long as that can still be proven.
        """
        model, use = self._model(1.0, {})
        if len(use) > MOST_PLACES:
            return 0
        answer = model.solve(Solver.HIGHS, nodes=MOST_NODES, seconds=MOST_SECONDS)
        here = frozenset(
            place for place, k in use.items() if answer.columns and answer.columns[k] > CHOSEN
        )
        if not here or not self._is_refuted(here):
            return 0
        tried = 1
        for place in sorted(use):
            if tried < effort and place not in here and not self.stop():
                tried += 1
                if self._is_refuted(here | {place}):
                    here |= {place}
        self.cuts.append(here)
        return tried

    def _is_refuted(self, places: frozenset[Place]) -> bool:
        some = Work(self.work.problem, places)
        return self.minute is not None and is_refuted(
            some, self.zones, self.volume_m3, self.minute
        )

    def _model(
        self, relocation: float, set_up: Mapping[int, float]
    ) -> tuple[Model, dict[Place, int]]:
        model = Model()
        places = sorted({place for task in self.work.tasks for place in task.minutes})
        use: dict[Place, int] = {}
        for r, rig in enumerate(self.work.problem.rigs):
            mine = [place for place in places if place[0] == r]
            for place in mine:
                cost = 0.0 if place[1] == rig.at else relocation + set_up.get(place[1], 0.0)
                use[place] = model.column(1.0, cost, whole=True)
            if rig.at is None and mine:
                free = model.column(1.0, -relocation)
                model.row({free: 1.0, **{use[place]: -1.0 for place in mine}}, high=0.0)
        for cut in self.cuts:
            model.row({use[place]: 1.0 for place in places if place not in cut}, low=1.0)
        self._reach(model, use)
        return model, use

    def _reach(self, model: Model, use: Mapping[Place, int]) -> None:
        """Add the rows by which what is planned is reached; zones reached alike share one."""
        work = self.work
        volumes = {z: work.problem.left_volume[z] for z in sorted(self.zones)}
        whole = sum(volumes.values()) - self.volume_m3 <= VOLUME_NOISE
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
            _reach_one(model, use, done, mixes)
        if not whole:
            model.row(wanted, low=self.volume_m3 - VOLUME_NOISE)


def _reach_one(
    model: Model,
    use: Mapping[Place, int],
    done: int,
    mixes: frozenset[frozenset[frozenset[Place]]],
) -> None:
    """Add the rows of zones reached alike: on one of their mixes, every layer from some place."""
    chosen = {mix: model.column(1.0) for mix in sorted(mixes, key=_order)}
    model.row({done: -1.0, **dict.fromkeys(chosen.values(), 1.0)}, low=0.0)
    for mix, column in chosen.items():
        for reached in sorted(mix, key=sorted):
            model.row({column: -1.0, **{use[place]: 1.0 for place in sorted(reached)}}, low=0.0)
    any_mix = frozenset[Place]().union(*(reached for mix in mixes for reached in mix))
    model.row({done: -1.0, **{use[place]: 1.0 for place in sorted(any_mix)}}, low=0.0)


def _order(mix: frozenset[frozenset[Place]]) -> list[list[Place]]:
    return sorted(sorted(reached) for reached in mix)


def next_sum(bound: float, costs: Sequence[float]) -> float:
    """Return the least sum of whole numbers of costs that is not below a bound.

    Positions are used or not, and so are free first set-ups, so the least cost is such a sum: a
    multiple of the costs' greatest common divisor.
    """
    step = math.gcd(*(round(cost * MILLIONTHS) for cost in costs)) / MILLIONTHS
    noise = NOISE * max(1.0, abs(bound))
    return bound if step <= 2 * noise else math.ceil((bound - noise) / step) * step
