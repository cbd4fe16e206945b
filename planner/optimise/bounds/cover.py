r"""Bound on relocations: the fewest set-ups from which everything planned can be reached.

Let :math:`y_{rp} = 1` when rig :math:`r` works from :math:`p`.  Every planned zone is reached by
some chosen pair.  A rig that works from :math:`k` distinct positions is relocated at least
:math:`k - 1` times; one that stands elsewhere at the start, at least :math:`k` times.  So

.. math:: \min \sum_r \Bigl(\sum_{p \ne at_r} y_{rp} - f_r\Bigr), \qquad
          f_r \le \sum_p y_{rp},\; f_r \in \{0, 1\}

with :math:`f_r = 0` for rigs that stand somewhere, is a lower bound.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from ortools.sat.python import cp_model

from planner.optimise.bounds.work import Work
from planner.optimise.solving import Limits, solve

LIMIT_DETERMINISTIC = 20.0
LIMIT_WALL = 20.0
SAME_M3 = 1e-6
SCALE = 1_000_000


def fewest_relocations(
    work: Work,
    possible: frozenset[int],
    volume_m3: float,
    stop: Callable[[], bool] = lambda: False,
) -> int:
    """Return a proven lower bound on the relocations of plans of at least this volume [1].

    The solver's own bound is used, which is valid whether or not it closed the gap.
    """
    problem = work.problem
    model = cp_model.CpModel()
    pairs = sorted(problem.reach_sets)
    use = {pair: model.new_bool_var("") for pair in pairs}
    wanted = []
    for z in sorted(possible):
        reach = {(way.rig, way.position) for way in problem.ways[z]}
        done = model.new_bool_var("")
        model.add_bool_or([*(use[pair] for pair in sorted(reach)), done.negated()])
        wanted.append((done, problem.left_volume[z]))
    _ask_volume(model, wanted, volume_m3)
    cost: list[cp_model.LinearExprT] = []
    for r, rig in enumerate(problem.rigs):
        mine = [use[pair] for pair in pairs if pair[0] == r]
        if not mine:
            continue
        cost += [use[pair] for pair in pairs if pair[0] == r and pair[1] != rig.at]
        if rig.at is None:
            free = model.new_bool_var("")
            model.add(free <= sum(mine))
            cost.append(-free)
    model.minimize(sum(cost))
    limits = Limits(deterministic_s=LIMIT_DETERMINISTIC, seconds=LIMIT_WALL, workers=2, stop=stop)
    solver, status = solve(model, limits, ("max_lp", "reduced_costs"))
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return 0
    return max(0, math.ceil(solver.best_objective_bound - 1e-6))


def _ask_volume(
    model: cp_model.CpModel, wanted: list[tuple[cp_model.IntVar, float]], volume_m3: float
) -> None:
    """Ask for zones that hold at least a volume together; for all where that needs all."""
    total = sum(volume for _, volume in wanted)
    if total - volume_m3 <= SAME_M3:
        for done, _ in wanted:
            model.add(done == 1)
        return
    parts = [math.ceil(volume * SCALE) * done for done, volume in wanted]
    model.add(sum(parts) >= math.floor(volume_m3 * SCALE))
