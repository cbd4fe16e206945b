"""The linear programme that proposes multipliers for the capacity bound."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from planner.optimise.bounds.capacity import Capacity


def overload_multipliers(capacity: Capacity, horizon: int, volume_m3: float) -> list[float] | None:
    """Return row multipliers under which a horizon is too short, or None if it is not.

    Minimises the overload that all rows share; its dual values are the multipliers.  They are
    a proposal only: the bound is worked out from them anew.
    """
    from ortools.linear_solver import pywraplp  # noqa: PLC0415 - heavy

    solver = pywraplp.Solver.CreateSolver("GLOP")
    overload = solver.NumVar(-solver.infinity(), solver.infinity(), "overload")
    rows = []
    for curve in capacity.curves:
        row = solver.Constraint(-solver.infinity(), float(curve.before(horizon)))
        row.SetCoefficient(overload, -1.0)
        rows.append(row)
    index = {key: k for k, key in enumerate(capacity.rows)}
    sets = {
        r: [s for s, rigs in enumerate(capacity.sets) if r in rigs]
        for r in range(len(capacity.problem.rigs))
    }
    wanted = solver.Constraint(volume_m3 - 1e-6, solver.infinity())
    for z, by_mix in enumerate(capacity.work.minutes):
        if not by_mix:
            continue
        volume = capacity.problem.left_volume[z]
        done = solver.NumVar(0.0, 1.0, "")
        wanted.SetCoefficient(done, volume)
        share = solver.Constraint(0.0, 0.0)
        share.SetCoefficient(done, -1.0)
        for rigs in by_mix.values():
            mixed = solver.NumVar(0.0, 1.0, "")
            share.SetCoefficient(mixed, 1.0)
            for k in range(len(next(iter(rigs.values())))):
                layer = solver.Constraint(0.0, 0.0)
                layer.SetCoefficient(mixed, -1.0)
                for r, times in rigs.items():
                    part = solver.NumVar(0.0, 1.0, "")
                    layer.SetCoefficient(part, 1.0)
                    for v in capacity.of_zone[z]:
                        for s in sets[r]:
                            rows[index[s, v]].SetCoefficient(part, float(times[k]))
    solver.Minimize(overload)
    if solver.Solve() != pywraplp.Solver.OPTIMAL or overload.solution_value() <= 1e-6:  # noqa: PLR2004
        return None
    return [max(0.0, -row.dual_value()) for row in rows]
