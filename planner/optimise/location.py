r"""Where to set up: the cheapest positions from which every planned zone is reached.

.. math:: \min \sum_{rp} w_{rp} y_{rp} \quad \text{with} \quad
          \sum_{(r,p) \text{ reaches } z} y_{rp} \ge 1 \text{ for every planned } z

with the weight of a relocation and of a set-up there.  It gives the search a start whose
positions are few or cheap; who goes where, and in which order, is then spread over the rigs.
"""

from __future__ import annotations

from dataclasses import replace

from planner.model.identifiers import Goal
from planner.optimise.guide import Guide
from planner.optimise.problem import Problem
from planner.optimise.solving import LEAST_S, Limits, solve
from planner.optimise.watch import Watch

DETERMINISTIC_S = 4.0
WALL_S = 20.0
SCALE = 1000
SUBSOLVERS = ("max_lp", "reduced_costs")

Pair = tuple[int, int]


def located(problem: Problem, guide: Guide, goal: Goal, watch: Watch) -> Guide | None:
    """Return a guide whose rigs work from the cheapest set of positions, or None."""
    if watch.left_s() < LEAST_S:
        return None
    zones = [z for z in range(len(problem.zones)) if problem.ways[z] and z not in problem.complete]
    pairs = _cheapest(problem, zones, goal, watch)
    if not pairs:
        return None
    stays = _spread(problem, zones, pairs)
    return replace(guide, stays=tuple(_tour(problem, r, row) for r, row in enumerate(stays)))


def _cheapest(problem: Problem, zones: list[int], goal: Goal, watch: Watch) -> list[Pair]:
    from ortools.sat.python import cp_model  # noqa: PLC0415 - heavy

    model = cp_model.CpModel()
    use = {pair: model.new_bool_var("") for pair in sorted(problem.reach_sets)}
    for z in zones:
        model.add_bool_or(
            [use[pair] for pair in sorted({(w.rig, w.position) for w in problem.ways[z]})]
        )
    model.minimize(sum(_weight(problem, pair, goal) * on for pair, on in use.items()))
    limits = Limits(
        deterministic_s=DETERMINISTIC_S,
        seconds=min(WALL_S, watch.left_s()),
        workers=len(SUBSOLVERS),
        stop=watch.must_stop,
    )
    solver, status = solve(model, limits, SUBSOLVERS)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return []
    return [pair for pair, on in use.items() if solver.boolean_value(on)]


def _weight(problem: Problem, pair: Pair, goal: Goal) -> int:
    r, p = pair
    stands = problem.rigs[r].at == p
    if goal is not Goal.COST:
        return 0 if stands else SCALE
    prices = problem.campaign.prices
    money = 0.0 if stands else prices.relocation + problem.campaign.positions[p].set_up_cost
    return 1 + round(money * SCALE)


def _spread(problem: Problem, zones: list[int], pairs: list[Pair]) -> list[list[int]]:
    """Return the positions of each rig, the longest work first to the rig with least so far."""
    places = sorted({p for _, p in pairs})
    chosen = {z: _place_of(problem, z, set(places)) for z in zones}
    load = [0.0] * len(problem.rigs)
    stays: list[list[int]] = [[] for _ in problem.rigs]
    work = {p: sum(_minutes(problem, z, p) for z in zones if chosen[z] == p) for p in places}
    must = {p: {r for r, q in pairs if q == p} for p in places}
    for p in sorted(places, key=lambda p: (-work[p], p)):
        able = [
            r
            for r in range(len(problem.rigs))
            if r in must[p] or _serves(problem, r, p, [z for z in zones if chosen[z] == p])
        ]
        r = min(able, key=lambda r: (problem.rigs[r].at != p, load[r], r))
        stays[r].append(p)
        load[r] += work[p]
    return stays


def _place_of(problem: Problem, z: int, places: set[int]) -> int:
    ways = [way for way in problem.ways[z] if way.position in places]
    return min(ways, key=lambda way: (sum(way.minutes), way.position)).position


def _minutes(problem: Problem, z: int, p: int) -> int:
    return min(sum(way.minutes) for way in problem.ways[z] if way.position == p)


def _serves(problem: Problem, r: int, p: int, zones: list[int]) -> bool:
    return set(zones) <= problem.reach_sets.get((r, p), frozenset())


def _tour(problem: Problem, r: int, places: list[int]) -> tuple[int, ...]:
    """Return positions in nearest-neighbour order from where the rig stands."""
    left = sorted(places)
    here = problem.rigs[r].at
    tour: list[int] = []
    while left:
        origin = here
        if origin is None or origin in left:
            step = left[0] if origin is None else origin
        else:
            step = min(left, key=lambda p: (problem.moves[r, origin, p], p))
        left.remove(step)
        tour.append(step)
        here = step
    return tuple(tour)
